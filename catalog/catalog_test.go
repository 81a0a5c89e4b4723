package catalog_test

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

func with(t *testing.T, f func(context.Context, *store.Tx) error) {
	t.Helper()
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "db"), sqlite.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Write(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

func seal(number, maker string, inner, outer, height measure.Length) catalog.Part {
	return catalog.Part{
		Number: number, Maker: maker, Role: catalog.OilSeal, Unit: catalog.Piece,
		Size: measure.Size{Inner: inner * 1000, Outer: outer * 1000, Height: height * 1000},
	}
}

func TestPartNamed(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		for _, p := range []catalog.Part{seal("S-39/1", "Tolmek", 39, 52, 11), seal("S.39", "Tolmek", 39, 52, 11), seal("s39", "Orbenta", 39, 52, 11)} {
			if _, err := catalog.AddPart(ctx, tx, p); err != nil {
				return err
			}
		}
		for _, tt := range []struct {
			name string
			want string
			kind fault.Kind
		}{
			{"s 39-1", "Tolmek/S-39/1", ""}, // a slash of its own
			{"S39", "", fault.Ambiguous},
			{"orbenta/S-39", "Orbenta/s39", ""},
			{"TOLMEK/S39", "Tolmek/S.39", ""},
			{"nobody/S39", "", fault.NotFound},
			{"S40", "", fault.NotFound},
			{"", "", fault.NotFound},
		} {
			p, err := catalog.PartNamed(ctx, tx, tt.name)
			if got := fault.KindOf(err); got != tt.kind || err == nil && p.Name() != tt.want {
				t.Errorf("PartNamed(%q) = %s, %v", tt.name, p.Name(), err)
			}
		}
		_, err := catalog.PartNamed(ctx, tx, "S39")
		if n := len(fault.Of(err).Candidates); n != 2 {
			t.Errorf("%d candidates, want 2", n)
		}
		for _, bad := range []catalog.Part{
			seal("S 39", "tolmek", 1, 2, 3), seal("--", "T", 1, 2, 3), seal("1", "", 1, 2, 3), seal("2", "T", 52, 39, 11),
			{Number: "3", Maker: "T", Role: "gizmo", Unit: catalog.Piece},
			{Number: "4", Maker: "T", Role: catalog.Clip, Unit: "box"},
		} {
			if _, err := catalog.AddPart(ctx, tx, bad); err == nil {
				t.Errorf("AddPart took %+v", bad)
			}
		}
		return nil
	})
}

// A place finds what a source names and what has its size, what comes near
// last, and never what does not fit.
func TestPartsFor(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids := map[string]string{}
		wiper := seal("W", "Tolmek", 39, 52, 11)
		wiper.Role = catalog.Wiper
		for _, p := range []catalog.Part{
			seal("NEAR", "Tolmek", 39, 52, 9), seal("SAME", "Tolmek", 39, 52, 11), seal("TALL", "Tolmek", 39, 52, 12),
			seal("OTHER", "Tolmek", 41, 54, 11),
			{Number: "NAMED", Maker: "Tolmek", Role: catalog.OilSeal, Unit: catalog.Piece},
			{Number: "BARE", Maker: "Tolmek", Role: catalog.OilSeal, Unit: catalog.Piece},
			wiper,
		} {
			p, err := catalog.AddPart(ctx, tx, p)
			if err != nil {
				return err
			}
			ids[p.Number] = p.ID
		}
		fork, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Corva 39", Layout: "conventional", Leg: 39000})
		if err != nil {
			return err
		}
		if _, err := catalog.AddPosition(ctx, tx, fork.ID, catalog.Position{
			Seq: 1, Role: catalog.OilSeal, Leg: "both", PerLeg: 1, Renew: "always", Fitted: "yes",
			Size: measure.Size{Inner: 39000, Outer: 52000, Height: 11000}, Parts: []catalog.NamedPart{{Part: ids["NAMED"], Source: "a list"}},
		}); err != nil {
			return err
		}
		positions, err := catalog.Positions(ctx, tx, fork.ID)
		if err != nil {
			return err
		}
		matches, err := catalog.PartsFor(ctx, tx, positions[0])
		var got [][2]string
		for _, m := range matches {
			got = append(got, [2]string{m.Part.Number, string(m.Verdict)})
		}
		want := [][2]string{{"NAMED", "fits"}, {"SAME", "fits"}, {"NEAR", "near"}}
		if diff := cmp.Diff(got, want); diff != "" {
			t.Errorf("PartsFor (-got +want)\n%s", diff)
		}
		for number, want := range map[string][]string{"SAME": {"Corva 39"}, "NAMED": {"Corva 39"}, "NEAR": {}, "W": {}, "BARE": {}} {
			p, _, err := catalog.PartByID(ctx, tx, ids[number])
			if err != nil {
				return err
			}
			forks, err := catalog.ForksTaking(ctx, tx, p)
			if diff := cmp.Diff(forks, want); diff != "" || err != nil {
				t.Errorf("ForksTaking(%s): %v %s", number, err, diff)
			}
		}
		if got := positions[0].PerJob(); got != 2 {
			t.Errorf("a job on both legs takes %d, want 2", got)
		}
		return err
	})
}

func TestForksOf(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		var forks []catalog.Fork
		for _, name := range []string{"One 41", "Two 41"} {
			f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: name, Layout: "conventional", Leg: 41000})
			if err != nil {
				return err
			}
			forks = append(forks, f)
		}
		for _, m := range []catalog.Fitment{
			{Make: "Kaldrin", Model: "Nordane 650", YearFrom: 1999, YearTo: 2004, Fork: forks[0].ID},
			{Make: "Kaldrin", Model: "Nordane 650", YearFrom: 2004, Fork: forks[1].ID},
		} {
			if _, err := catalog.AddFitment(ctx, tx, m); err != nil {
				return err
			}
		}
		for _, tt := range []struct {
			model string
			year  int
			want  int
			kind  fault.Kind
		}{
			{"nordane-650", 1999, 1, ""},
			{"NORDANE 650", 2004, 2, ""},
			{"Nordane 650", 2030, 1, ""},
			{"Nordane 650", 0, 2, ""},
			{"Nordane 650", 1998, 0, fault.NotFound},
			{"Nordane", 2004, 0, fault.NotFound},
		} {
			got, _, err := catalog.ForksOf(ctx, tx, catalog.BikeQuery{Make: "KALDRIN", Model: tt.model, Year: tt.year})
			if len(got) != tt.want || fault.KindOf(err) != tt.kind {
				t.Errorf("ForksOf(%s %d) = %d, %v", tt.model, tt.year, len(got), err)
			}
		}
		if _, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "one-41", Layout: "conventional", Leg: 41000}); fault.KindOf(err) != fault.Conflict {
			t.Errorf("a fork name twice = %v", err)
		}
		return nil
	})
}

// The newest link of a code counts; the code does not change its part unasked.
func TestLinkCode(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Mika', '')`); err != nil {
			return err
		}
		a, err := catalog.AddPart(ctx, tx, seal("A", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		b, err := catalog.AddPart(ctx, tx, seal("B", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		for _, tt := range []struct {
			link    catalog.Link
			instead bool
			want    fault.Kind
		}{
			{catalog.Link{Code: "X", Part: a.ID, Pieces: 1}, false, ""},
			{catalog.Link{Code: "X", Part: a.ID, Pieces: 1}, false, ""},
			{catalog.Link{Code: "X", Part: a.ID, Pieces: 2}, false, ""},
			{catalog.Link{Code: "X", Part: b.ID, Pieces: 2}, false, fault.Conflict},
			{catalog.Link{Code: "X", Pieces: 1}, false, fault.Conflict},
			{catalog.Link{Code: "X", Part: b.ID, Pieces: 5}, true, ""},
			{catalog.Link{Code: "X", Part: b.ID, Pieces: 0}, true, fault.Invalid},
			{catalog.Link{Part: b.ID, Pieces: 1}, true, fault.Invalid},
		} {
			if err := catalog.LinkCode(ctx, tx, tt.link, "p", tt.instead); fault.KindOf(err) != tt.want {
				t.Errorf("LinkCode(%+v, %v) = %v, want %q", tt.link, tt.instead, err, tt.want)
			}
		}
		got, ok, err := catalog.LinkOf(ctx, tx, "X")
		if !ok || got.Part != b.ID || got.Pieces != 5 {
			t.Errorf("LinkOf = %+v, %v", got, ok)
		}
		if links, err := catalog.Links(ctx, tx); len(links) != 1 || err != nil {
			t.Errorf("Links = %v, %v", links, err)
		}
		if links, err := catalog.LinksOf(ctx, tx, a.ID); len(links) != 0 || err != nil {
			t.Errorf("LinksOf the part before = %v, %v", links, err)
		}
		return err
	})
}
