package scanner

import (
	"context"
	"slices"
	"testing"

	"forkstock/scanner/sample"
)

// A few pictures of each set of the trial, which reads them in full number:
// of those with a symbol or many none is read wrong and most are read, of
// those without one none is read at all.
func TestSamples(t *testing.T) {
	const few = 25
	look := func(p sample.Picture) (missing, extra []string) {
		found, err := Decode(context.Background(), p.Grey, Options{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range found {
			got = append(got, s.Text)
		}
		missing, extra = compare(got, p.Want)
		if len(extra) > 0 {
			t.Errorf("%s: read %q, which is not there or not so often", p.Name, extra)
		}
		if len(missing) > 0 {
			t.Logf("%s: unread %q", p.Name, missing)
		}
		return missing, extra
	}
	unread := 0
	for i := range few {
		missing, _ := look(sample.Made(2, 7*i)) // 7 is prime to kinds and harms
		unread += len(missing)
		look(sample.Bare(2, i))
	}
	if most := few / 5; unread > most {
		t.Errorf("%d of %d symbols unread, at most %d", unread, few, most)
	}
	missing, _ := look(sample.Slip{Symbols: 12, DPI: 200, Tilt: -7, Thou: 10}.Picture(2))
	if len(missing) > 0 {
		t.Errorf("%d symbols of a slip unread", len(missing))
	}
}

// What a sample says it is, it is: the clean ones of every kind are read with
// the symbology and text that were drawn.
func TestSampleKinds(t *testing.T) {
	seen := map[string]bool{}
	for i := 0; !seen[sample.Made(3, i).Kind]; i++ {
		p := sample.Made(3, i)
		seen[p.Kind] = true
		found, err := Decode(context.Background(), p.Grey, Options{})
		if err != nil || len(found) != 1 || found[0].Symbology != p.Kind || !slices.Equal(p.Want, []string{found[0].Text}) {
			t.Errorf("%s: %+v, %v, want %q", p.Name, found, err, p.Want)
		}
	}
}
