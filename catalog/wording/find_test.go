package wording

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestWords(t *testing.T) {
	got := Words("FORK SEAL 39X52X11, Gabelöl für Velda-400 ab 2001 (fork seal)")
	want := []string{"fork", "seal", "39x52x11", "gabeloel", "fuer", "velda"}
	if diff := cmp.Diff(got, want); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
}
