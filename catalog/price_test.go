package catalog_test

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"

	"forkstock/catalog"
)

// Worked by hand, by the price of a piece.
func TestJump(t *testing.T) {
	for _, test := range []struct {
		was, now catalog.Price
		percent  int64
		jumped   bool
	}{
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 1000}, 0, false},
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 1200}, 20, false}, // not more than 20
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 1201}, 20, true},
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 800}, -20, false},
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 799}, -20, true},
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 2, Minor: 2000}, 0, false}, // two for twice as much
		{catalog.Price{Pack: 2, Minor: 1000}, catalog.Price{Pack: 1, Minor: 1000}, 100, true},
		{catalog.Price{Pack: 3, Minor: 1000}, catalog.Price{Pack: 2, Minor: 1000}, 50, true},
		{catalog.Price{Pack: 1, Minor: 200}, catalog.Price{Pack: 1, Minor: 201}, 1, false}, // half a percent
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{Pack: 1, Minor: 0}, -100, true},
		{catalog.Price{Pack: 1, Minor: 0}, catalog.Price{Pack: 1, Minor: 1000}, 0, false}, // no percentage of nothing
		{catalog.Price{}, catalog.Price{Pack: 1, Minor: 1000}, 0, false},
		{catalog.Price{Pack: 1, Minor: 1000}, catalog.Price{}, 0, false},
		{catalog.Price{Pack: 1_000_000, Minor: 1 << 50}, catalog.Price{Pack: 1_000_000, Minor: 1 << 51}, 100, true},
	} {
		if percent, jumped := test.was.Jump(test.now); percent != test.percent || jumped != test.jumped {
			t.Errorf("%v to %v: %d %%, %v, want %d %%, %v", test.was, test.now, percent, jumped, test.percent, test.jumped)
		}
	}
}

// The rule of JumpAt in fractions of math/big, for any prices.
func TestJumpIsAFifth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		price := func(name string, least int64) catalog.Price {
			return catalog.Price{
				Pack: rapid.Int64Range(1, 1_000_000).Draw(t, name+" pack"), Minor: rapid.Int64Range(least, 1_000_000_000).Draw(t, name),
			}
		}
		was, now := price("was", 1), price("now", 0)
		change := new(big.Rat).Quo(big.NewRat(now.Minor, now.Pack), big.NewRat(was.Minor, was.Pack))
		change.Sub(change, big.NewRat(1, 1))
		percent, jumped := was.Jump(now)
		if want := new(big.Rat).Abs(change).Cmp(big.NewRat(1, 5)) > 0; jumped != want {
			t.Fatalf("%v to %v changes by %v: %v", was, now, change, jumped)
		}
		off := new(big.Rat).Sub(big.NewRat(percent, 100), change)
		if off.Abs(off).Cmp(big.NewRat(1, 200)) > 0 {
			t.Fatalf("%v to %v: %d %% is not %v", was, now, percent, change)
		}
	})
}
