package catalog_test

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Told are the parts that fit, that come near by what they state, and that may
// be taken for one that fits: not those that are another size altogether, and
// not what is for another use.
func TestFitting(t *testing.T) {
	printed := func(text string) measure.Size {
		s, err := measure.ParseSize(text)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	with(t, func(ctx context.Context, tx *store.Tx) error {
		for _, row := range [][3]string{
			{"SAME", "oil_seal", "39x52x11"},
			{"LOW", "oil_seal", "39x52x9.5"},
			{"TALL", "oil_seal", "39x52x13"},
			{"NEXT-BORE", "oil_seal", "41x52x11"},
			{"NEXT-OUTSIDE", "oil_seal", "39x54x11"},
			{"FAR", "oil_seal", "39x56x11"},
			{"TWO-OFF", "oil_seal", "41x54x11"},
			{"OPEN", "oil_seal", "39x?x11"},
			{"NO-SIZE", "oil_seal", ""},
			{"WIPER", "wiper", "39x52x11"},
			{"SHAFT", "other", "39x52x11"},
			{"SHAFT-2", "other", "39x52x12"},
			{"SHAFT-3", "other", "39x?x?/3"},
			{"OLD", "oil_seal", "39x52x11"},
			{"NEW", "oil_seal", "39x52x11"},
			{"STILL", "oil_seal", "39x52x11"},
			{"USABLE", "oil_seal", "39x52x11"},
			{"MERGED", "oil_seal", "39x52x11"},
		} {
			p := catalog.Part{Number: row[0], Maker: "Tolmek", Role: catalog.Role(row[1]), Unit: catalog.Piece}
			if row[2] != "" {
				p.Size = printed(row[2])
			}
			if _, err := catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
		}
		for old, both := range map[string]bool{"OLD": false, "STILL": true, "USABLE": false} {
			if _, err := catalog.AddReplacement(ctx, tx, catalog.Replacement{
				Old: catalog.Ref{Maker: "Tolmek", Number: old}, New: catalog.Ref{Maker: "Tolmek", Number: "NEW"}, BothWays: both,
			}); err != nil {
				return err
			}
		}
		if err := someForkTakes(ctx, tx, "USABLE"); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `UPDATE part SET merged_into = (SELECT id FROM part WHERE number = 'SAME')
			WHERE number = 'MERGED'`); err != nil {
			return err
		}
		got := map[string]string{}
		matches, err := catalog.Fitting(ctx, tx, catalog.Wanted{Role: catalog.OilSeal, Size: printed("39x52x11")})
		for _, m := range matches {
			var why []string
			for _, r := range m.Why {
				why = append(why, strings.TrimPrefix(r.ID, "catalog."))
			}
			got[m.Part.Number] = string(m.Verdict) + " " + strings.Join(why, " ")
		}
		want := map[string]string{
			"SAME": "fits ", "NEW": "fits ", "STILL": "fits still_does", "LOW": "near too_short", "TALL": "no too_tall",
			"NEXT-BORE": "no differs", "NEXT-OUTSIDE": "no differs", "OPEN": "near not_stated", "SHAFT": "near use_unknown",
			"OLD": "no old_version", "USABLE": "near old_but",
		}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("(-got +want)\n%s", diff)
		}
		return err
	})
}

// someForkTakes marks an old part usable for a fork.
func someForkTakes(ctx context.Context, tx *store.Tx, part string) error {
	p, err := catalog.PartNamed(ctx, tx, part)
	if err != nil {
		return err
	}
	fork, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Corva 39", Layout: "conventional", Leg: 39_000})
	if err != nil {
		return err
	}
	return catalog.AddUsable(ctx, tx, p.ID, fork.ID, catalog.Told{Source: "bench"})
}
