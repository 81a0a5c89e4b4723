package catalog_test

import (
	"context"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// mixed is a fork with air in one leg, and the damper and a spring in the other.
func mixed() catalog.Fork {
	return catalog.Fork{
		Name: "Orlo 44", Layout: "upside-down", Leg: 44 * measure.Millimetre,
		Legs: []catalog.Leg{
			{Leg: "left", Damping: "none", Springing: "air", Cap: "air"},
			{Leg: "right", Damping: "open_cartridge", Springing: "coil", Cap: "damping"},
		},
		Looks: catalog.Looks{CapShape: "hexagon", CapFlats: 46_000, CapThread: "M48x1.5", Axle: 22_000, Centres: 200_000},
	}
}

// What is seen of a fork is kept, and read back as it was.
func TestLooksAreKept(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		f, err := catalog.AddFork(ctx, tx, mixed())
		if err != nil {
			return err
		}
		got, err := catalog.ForkNamed(ctx, tx, "orlo44")
		if err != nil {
			return err
		}
		if diff := cmp.Diff(got, f); diff != "" {
			t.Errorf("added (-got +want)\n%s", diff)
		}
		f.Looks, f.Legs[0].Cap = catalog.Looks{CapShape: "round", Axle: 20_000}, ""
		if err := catalog.ChangeFork(ctx, tx, f); err != nil {
			return err
		}
		if got, _, err = catalog.ForkByID(ctx, tx, f.ID); err != nil {
			return err
		}
		if diff := cmp.Diff(got, f); diff != "" {
			t.Errorf("changed (-got +want)\n%s", diff)
		}
		return nil
	})
}

// Each look is somebody's word: told, told otherwise, and taken back.
func TestLooksAreClaims(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		const person = "Mika"
		if err := addPeople(ctx, tx); err != nil {
			return err
		}
		f, err := catalog.AddFork(ctx, tx, mixed())
		if err != nil {
			return err
		}
		told := catalog.Word{How: "bench", Person: person, Decides: true}
		if err := catalog.TellFork(ctx, tx, catalog.Fork{}, f, told); err != nil {
			return err
		}
		claims, err := catalog.Claims(ctx, tx, catalog.AboutFork, f.ID)
		if err != nil {
			return err
		}
		got := map[string]string{}
		for _, c := range claims {
			got[c.Field] = c.Value
		}
		want := map[string]string{
			"leg": "44", "cap_shape": "hexagon", "cap_flats": "46", "cap_thread": "M48x1.5", "axle": "22", "centres": "200",
			"left_cap": "air", "right_cap": "damping", "layout": "upside-down", "left_damping": "none", "right_damping": "open_cartridge",
		}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("claims (-got +want)\n%s", diff)
		}
		of9 := catalog.Claim{About: catalog.AboutFork, Subject: f.ID, Field: "axle", Value: "20", Word: list("list 9")}
		if _, err := catalog.Claimed(ctx, tx, of9); err != nil {
			return err
		}
		if got, _, _ := catalog.ForkByID(ctx, tx, f.ID); got.Axle != 22_000 {
			t.Errorf("a list has changed the axle to %v", got.Axle)
		}
		for _, c := range claims {
			if c.Field != "axle" && c.Field != "right_cap" {
				continue
			}
			if err := catalog.Withdraw(ctx, tx, c, "misread", person); err != nil {
				return err
			}
		}
		after, _, err := catalog.ForkByID(ctx, tx, f.ID)
		if after.Axle != 20_000 || after.Legs[1].Cap != "" || after.Legs[0].Cap != "air" || after.CapFlats != 46_000 {
			t.Errorf("withdrawn: %+v", after)
		}
		for _, c := range claims {
			if c.Field == "leg" {
				if err := catalog.Withdraw(ctx, tx, c, "misread", person); fault.KindOf(err) != fault.Invalid {
					t.Errorf("a fork without leg diameter: %v", err)
				}
			}
		}
		return err
	})
}

func TestLooksThatCannotBe(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		for name, spoil := range map[string]func(*catalog.Fork){
			"shape":                            func(f *catalog.Fork) { f.CapShape = "star" },
			"flats":                            func(f *catalog.Fork) { f.CapFlats = 101_000 },
			"axle":                             func(f *catalog.Fork) { f.Axle = -1 },
			"centres":                          func(f *catalog.Fork) { f.Centres = 501_000 },
			"thread":                           func(f *catalog.Fork) { f.CapThread = "wide" },
			"cap":                              func(f *catalog.Fork) { f.Legs[0].Cap = "red" },
			"an air valve over a steel spring": func(f *catalog.Fork) { f.Legs[1].Cap = "air_damping" },
			"an adjuster over no damping":      func(f *catalog.Fork) { f.Legs[0].Cap = "air_damping" },
		} {
			f := mixed()
			spoil(&f)
			if _, err := catalog.AddFork(ctx, tx, f); fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s: %v", name, err)
			}
		}
		return nil
	})
}
