//go:build trials

package inventory_test

import (
	"testing"

	"pgregory.net/rapid"
)

func TestTrialHistory(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) { playHistory(t, rt, 200) })
}

func TestTrialWriters(t *testing.T) { playWriters(t, 10_000) }
