package demo

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// The demo has a chain one way, one both ways and one of three, old stock that
// is usable and old stock that is not, and one pair of records to be merged; in
// every copy of the catalog.
func TestReplaced(t *testing.T) {
	db := filled(t, Options{Seed: 1, End: wednesday, Scale: 2})
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		for _, copy := range []string{"", "-V1"} {
			for asked, want := range map[string]string{
				"Tolmek/TL 36-15":   "TL 36-15A TL 36-15+",
				"Tolmek/TL 36-15A":  "TL 36-15A+ TL 36-15+",
				"Jostwin/4105902":   "41059+ 4105902+",
				"Vaskuro/VK11-801":  "VK11-801+ VK11-802+ VK11-016B+",
				"Vaskuro/VK11-016B": "VK11-801 VK11-802 VK11-016B+",
			} {
				maker, number, _ := strings.Cut(asked, "/")
				chain, err := catalog.Chain(ctx, tx, catalog.Ref{Maker: maker, Number: number + copy})
				if err != nil {
					return err
				}
				var got []string
				for _, l := range chain {
					mark := ""
					if l.Usable {
						mark = "+"
					}
					got = append(got, strings.TrimSuffix(l.Number, copy)+mark)
				}
				if diff := cmp.Diff(strings.Join(got, " "), want); diff != "" {
					t.Errorf("%s%s (-got +want)\n%s", asked, copy, diff)
				}
			}
		}
		proposals, err := catalog.Proposals(ctx, tx)
		var got []string
		for _, p := range proposals {
			got = append(got, p.Kept.Name()+" "+p.Gone.Name())
		}
		want := []string{"Orbenta/OB455811 Orbenta/0B455811", "Orbenta/OB455811-V1 Orbenta/0B455811-V1"}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("proposals (-got +want)\n%s", diff)
		}
		return err
	})
}
