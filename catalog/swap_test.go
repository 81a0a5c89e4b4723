package catalog_test

import (
	"context"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// mika adds the person who acts in tests.
func mika(ctx context.Context, tx *store.Tx) error {
	_, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Mika', '')`)
	return err
}

// The last word on a bike counts, and what was said before stays in the file.
func TestSwaps(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A", "B")
		if err != nil {
			return err
		}
		if err := mika(ctx, tx); err != nil {
			return err
		}
		add := func(bike, fork string) error {
			return catalog.AddSwap(ctx, tx, catalog.Swap{Bike: bike, Fork: ids[fork], Note: "from a wreck"}, "p")
		}
		for _, tt := range []struct {
			do   func() error
			want fault.Kind
		}{
			{func() error { return add("V4-05120", "A") }, ""},
			{func() error { return add("v4 05120", "B") }, fault.Conflict},
			{func() error { return add("--", "A") }, fault.Invalid},
			{func() error { return add("Anna's blue one", "B") }, ""},
			{func() error { return add(strings.Repeat("x", 61), "A") }, fault.Invalid},
			{func() error { return catalog.EndSwap(ctx, tx, "V405120", "p") }, ""},
			{func() error { return catalog.EndSwap(ctx, tx, "V405120", "p") }, fault.NotFound},
			{func() error { return add("V4-05120", "B") }, ""},
		} {
			if err := tt.do(); fault.KindOf(err) != tt.want {
				t.Errorf("%v, want %q", err, tt.want)
			}
		}
		got, ok, err := catalog.SwapOf(ctx, tx, "v405120")
		if err != nil || !ok || got.Fork != ids["B"] || got.Bike != "V4-05120" || got.Person != "Mika" || got.At.IsZero() {
			t.Errorf("SwapOf = %+v, %v, %v", got, ok, err)
		}
		if _, ok, err := catalog.SwapOf(ctx, tx, ""); ok || err != nil {
			t.Errorf("SwapOf nothing = %v, %v", ok, err)
		}
		all, err := catalog.SwapsTo(ctx, tx, ids["B"])
		if err != nil || len(all) != 2 || all[0].Bike != "Anna's blue one" {
			t.Errorf("SwapsTo = %+v, %v", all, err)
		}
		var rows int
		if _, err := tx.One(ctx, store.Into(&rows), `SELECT count(*) FROM swap`); err != nil || rows != 3 {
			t.Errorf("%d rows are kept, %v, want 3", rows, err)
		}
		return nil
	})
}

func TestTightenings(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A")
		if err != nil {
			return err
		}
		if err := mika(ctx, tx); err != nil {
			return err
		}
		m, err := catalog.AddFitment(ctx, tx, catalog.Fitment{Make: "Kaldrin", Model: "Velda", YearFrom: 2001, Fork: ids["A"]})
		if err != nil {
			return err
		}
		for _, tt := range []struct {
			joint, manual string
			bike, again   bool
			torque        measure.Torque
			want          fault.Kind
		}{
			{joint: "bottom_bolt", torque: 25_000, want: fault.Invalid}, // no manual
			{joint: "bottom_bolt", manual: "WM 2", torque: 25_000},
			{joint: "bottom_bolt", manual: "WM 2", torque: 30_000, want: fault.Conflict},
			{joint: "bottom_bolt", manual: "WM 3", torque: 30_000, again: true},
			{joint: "cap", manual: "WM 3", torque: 22_000, again: true, want: fault.NotFound},
			{joint: "axle", manual: "WM 2", torque: 65_000, want: fault.Invalid},                    // the bike's
			{joint: "bottom_bolt", manual: "WM 2", torque: 25_000, bike: true, want: fault.Invalid}, // the fork's
			{joint: "axle", manual: "WM 2", torque: 65_000, bike: true},
			{joint: "wheel", manual: "WM 2", torque: 65_000, bike: true, want: fault.Invalid},
		} {
			v := catalog.Tightening{Fork: ids["A"], Joint: tt.joint, Torque: tt.torque, Manual: tt.manual}
			if tt.bike {
				v.Fork, v.Fitment = "", m.ID
			}
			if err := catalog.SetTightening(ctx, tx, v, "p", tt.again); fault.KindOf(err) != tt.want {
				t.Errorf("%+v: %v, want %q", tt, err, tt.want)
			}
		}
		all, err := catalog.Tightenings(ctx, tx, ids["A"], m.ID)
		if err != nil || len(all) != 2 || all[0].Torque != 30_000 || all[0].Manual != "WM 3" || all[1].Joint != "axle" {
			t.Errorf("Tightenings = %+v, %v", all, err)
		}
		drop := catalog.Tightening{Fitment: m.ID, Joint: "axle"}
		if err := catalog.DropTightening(ctx, tx, drop); err != nil {
			return err
		}
		if err := catalog.DropTightening(ctx, tx, drop); fault.KindOf(err) != fault.NotFound {
			t.Errorf("dropped twice: %v", err)
		}
		return nil
	})
}

// A place told by hand keeps its own word; any other follows the shop's, and
// common practice where the shop has none. Common practice, no source.
func TestRenewals(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids, err := addForks(ctx, tx, "A")
		if err != nil {
			return err
		}
		for i, p := range []catalog.Position{
			{Role: catalog.Wiper, Renew: "judge"},
			{Role: catalog.Wiper, Renew: "damage"}, // not common practice: somebody's word
			{Role: catalog.Wiper, Renew: "judge", Told: true},
			{Role: catalog.OilSeal, Renew: "always"},
		} {
			p.Seq, p.Leg, p.PerLeg, p.Fitted = i+1, "both", 1, "yes"
			if _, err := catalog.AddPosition(ctx, tx, ids["A"], p); err != nil {
				return err
			}
		}
		check := func(want string) {
			t.Helper()
			all, err := catalog.Positions(ctx, tx, ids["A"])
			var got []string
			for _, p := range all {
				got = append(got, p.Renew)
			}
			if said := strings.Join(got, " "); said != want || err != nil {
				t.Errorf("renewed: %s, %v; want %s", said, err, want)
			}
		}
		check("judge damage judge always")
		if err := catalog.SetRenewal(ctx, tx, catalog.Wiper, "always"); err != nil {
			return err
		}
		check("always damage judge always")
		all, err := catalog.Positions(ctx, tx, ids["A"])
		if err != nil {
			return err
		}
		all[0].Note = "lip up" // changing another fact makes the shop's habit nobody's word
		if err := catalog.ChangePosition(ctx, tx, all[0]); err != nil {
			return err
		}
		if own, err := catalog.ShopRenewals(ctx, tx); err != nil || len(own) != 1 || own[catalog.Wiper] != "always" {
			t.Errorf("ShopRenewals = %v, %v", own, err)
		}
		if err := catalog.SetRenewal(ctx, tx, catalog.Wiper, ""); err != nil {
			return err
		}
		check("judge damage judge always")
		for _, tt := range [][2]string{{"wiper", "often"}, {"kit", "always"}, {"tyre", "always"}} {
			if err := catalog.SetRenewal(ctx, tx, catalog.Role(tt[0]), tt[1]); fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s %s: %v, want invalid", tt[0], tt[1], err)
			}
		}
		return nil
	})
}
