package demo

import (
	"context"
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// The stack from one end to the other (common practice, no source).
var order = map[string][]catalog.Role{
	"conventional": {
		catalog.TubeBushing, catalog.LowerBushing, catalog.BackupWasher, catalog.OilSeal, catalog.Clip, catalog.Wiper,
		catalog.BottomBolt, catalog.BottomWasher, catalog.DrainScrew, catalog.DrainWasher, catalog.CapORing,
	},
	"upside-down": {
		catalog.Wiper, catalog.Clip, catalog.OilSeal, catalog.BackupWasher, catalog.LowerBushing, catalog.TubeBushing,
		"protector", catalog.BottomBolt, catalog.BottomWasher, catalog.DrainScrew, catalog.DrainWasher, catalog.CapORing,
	},
}

func testForks(t *testing.T, db *store.DB) {
	for _, name := range list(t, db, `SELECT name FROM fork ORDER BY leg_um, name`) {
		look(t, db, func(ctx context.Context, tx *store.Tx) error {
			f, err := catalog.ForkNamed(ctx, tx, name)
			if err != nil {
				return err
			}
			if f.Note == "" || len(f.Legs) != 2 || f.Leg < 31*measure.Millimetre || f.Leg > 50*measure.Millimetre {
				t.Errorf("%+v", f)
			}
			bikes, err := catalog.FitmentsOfFork(ctx, tx, f.ID)
			if err != nil || len(bikes) == 0 {
				t.Errorf("%s: no bike carries it, %v", name, err)
			}
			positions, err := catalog.Positions(ctx, tx, f.ID)
			var roles []catalog.Role
			for _, p := range positions {
				roles = append(roles, p.Role)
				testPlace(ctx, t, tx, f, p)
			}
			var stack []catalog.Role
			for _, r := range roles {
				if slices.Contains(order[f.Layout], r) && !slices.Contains(stack, r) {
					stack = append(stack, r)
				}
			}
			if !slices.Equal(stack, order[f.Layout]) || !slices.Contains(roles, catalog.Oil) {
				t.Errorf("%s: %q", name, roles)
			}
			return err
		})
	}
}

// testPlace holds that something fits every place, and nothing one that is not
// there.
func testPlace(ctx context.Context, t *testing.T, tx *store.Tx, f catalog.Fork, p catalog.Position) {
	t.Helper()
	matches, err := catalog.PartsFor(ctx, tx, p)
	fits := 0
	for _, m := range matches {
		if m.Verdict == catalog.Fits {
			fits++
		}
		if m.Part.Role != p.Role {
			t.Errorf("%s: %s for %s", f.Name, m.Part.Role, p.Role)
		}
	}
	if err != nil || (fits > 0) != (p.Fitted != "no") {
		t.Errorf("%s: %d parts for %s %s, fitted %s, %v", f.Name, fits, p.Role, p.Size, p.Fitted, err)
	}
	if p.Role == catalog.OilSeal && p.Size.Inner != f.Leg {
		t.Errorf("%s: seal %s on a leg of %s", f.Name, p.Size, f.Leg)
	}
	if _, err := measure.ParseThread(p.Thread); p.Thread != "" && err != nil {
		t.Error(f.Name, err)
	}
}

func testSizes(t *testing.T, db *store.DB) {
	var sizes []string
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		parts, err := catalog.Parts(ctx, tx)
		for _, p := range parts {
			if err := p.Size.Check(); err != nil {
				t.Error(p.Name(), err)
			}
			if _, err := measure.ParseThread(p.Thread); p.Thread != "" && err != nil {
				t.Error(p.Name(), err)
			}
			if strings.ContainsAny(p.Description, "{}?") {
				t.Errorf("%s: %q", p.Name(), p.Description)
			}
			if p.Role == catalog.OilSeal {
				sizes = append(sizes, p.Size.String())
			}
		}
		return err
	})
	// Usual sizes: common practice, no source. The last ones are near one another.
	for _, want := range []string{
		"33x46x11", "35x48x11", "37x50x11", "38x50x11", "39x52x11", "41x54x11", "43x55x9.5/10.5", "43x54x11", "45x58x11",
		"46x58x9.5", "47x58x10", "48x58x9", "49x60x10", "50x63x11", "48x57.7x9/10.3", "48x57.9x9.5", "48x58.1x8.5/10.5",
	} {
		if !slices.Contains(sizes, want) {
			t.Errorf("no oil seal %s", want)
		}
	}
}

// Prefixes: GS1 General Specifications, 952 for demonstrations, 040 to 049 for
// use inside a company.
func testCodes(t *testing.T, db *store.DB) {
	count := map[string]int{}
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		links, err := catalog.Links(ctx, tx)
		for _, l := range links {
			key, gtin := gs1.Key("", l.Code)
			kind := "text"
			switch {
			case gtin && l.Code[:4] == "0952":
				kind = "952"
			case gtin && l.Code[:3] == "004":
				kind = "own"
			case gtin || strings.Trim(l.Code, "0123456789") == "":
				t.Errorf("code %s is of nobody", l.Code)
			}
			count[kind]++
			if key != l.Code {
				t.Errorf("%s would be filed as %s", l.Code, key)
			}
			switch l.Pieces {
			case 2:
				count["pair"]++
			case 10:
				count["ten"]++
			}
		}
		return err
	})
	for kind, least := range map[string]int{"952": 300, "own": 40, "text": 60, "pair": 20, "ten": 40} {
		if count[kind] < least {
			t.Errorf("%d codes of kind %s, want at least %d", count[kind], kind, least)
		}
	}
	bare := list(t, db, `SELECT id FROM part WHERE id NOT IN (SELECT part FROM code_link)`)
	two := list(t, db, `SELECT part FROM code_link GROUP BY part HAVING count(*) > 1`)
	if len(bare) < 30 || len(two) < 5 {
		t.Errorf("%d parts have no code and %d have two", len(bare), len(two))
	}
}

func testStory(t *testing.T, db *store.DB) {
	s := Story()
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		bikes, _, err := catalog.ForksOf(ctx, tx, catalog.BikeQuery{Make: s.Bike.Make, Model: s.Bike.Model, Year: s.Bike.Year})
		if err != nil || len(bikes) != 1 {
			t.Fatalf("%v carries %d forks, %v", s.Bike, len(bikes), err)
		}
		f, _, err := catalog.ForkByID(ctx, tx, bikes[0].Fork)
		if err != nil || f.Name != s.Fork {
			t.Errorf("%v carries %s, %v", s.Bike, f.Name, err)
		}
		testLift(ctx, t, tx, f)
		seal, err := catalog.PartNamed(ctx, tx, s.Seal)
		if n, _ := inventory.OnHand(ctx, tx, seal.ID); err != nil || n != seals || seal.Size.String() != s.Size {
			t.Errorf("%d of %s %s, %v", n, s.Seal, seal.Size, err)
		}
		if _, err := catalog.PartNamed(ctx, tx, s.SharedNumber); fault.KindOf(err) != fault.Ambiguous {
			t.Errorf("%s: %v", s.SharedNumber, err)
		}
		two, _, err := catalog.ForksOf(ctx, tx, catalog.BikeQuery{Make: s.TwoForks.Make, Model: s.TwoForks.Model, Year: s.TwoForks.Year})
		if err != nil || len(two) != 2 {
			t.Errorf("%v carries %d forks, %v", s.TwoForks, len(two), err)
		}
		if s.LinkPart != s.Washer {
			t.Errorf("the code is for %s, the fork lacks %s", s.LinkPart, s.Washer)
		}
		return testParcel(ctx, t, tx)
	})
}

// testLift holds that the fork on the lift lacks its bottom washers, and that
// there is enough of all else for two jobs.
func testLift(ctx context.Context, t *testing.T, tx *store.Tx, f catalog.Fork) {
	t.Helper()
	positions, err := catalog.Positions(ctx, tx, f.ID)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range positions {
		matches, err := catalog.PartsFor(ctx, tx, p)
		if err != nil {
			t.Fatal(err)
		}
		var most int64
		for _, m := range matches {
			n, _ := inventory.OnHand(ctx, tx, m.Part.ID)
			most = max(most, n)
			if p.Role == catalog.BottomWasher && n != 0 {
				t.Errorf("%d of %s", n, m.Part.Name())
			}
		}
		if p.Role != catalog.BottomWasher && p.Fitted == "yes" && most < 2*p.PerJob() {
			t.Errorf("%d for %s, two jobs take %d", most, p.Role, 2*p.PerJob())
		}
	}
}

// testParcel holds that the shop knows every code of the pictures but one.
func testParcel(ctx context.Context, t *testing.T, tx *store.Tx) error {
	codes := []string{pairCode, ringCode}
	for _, l := range packed {
		codes = append(codes, l.code)
	}
	for _, code := range codes {
		key, _ := gs1.Key("", code)
		l, known, err := catalog.LinkOf(ctx, tx, key)
		if err != nil {
			return err
		}
		if known == (key == Story().UnknownCode) {
			t.Errorf("%s: known %v", key, known)
		}
		if want := map[string]int64{pairCode: 2, ringCode: 10, clipCode: 10, oilCode: 1000}[code]; known && l.Pieces != max(want, 1) {
			t.Errorf("%s stands for %d, want %d", code, l.Pieces, want)
		}
		if part, _, _ := catalog.PartByID(ctx, tx, l.Part); known && part.HomeBin == "" {
			t.Errorf("%s has no bin", part.Name())
		}
	}
	return nil
}
