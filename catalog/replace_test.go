package catalog_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

// ref reads MAKER/NUMBER; a bare number is Tolmek's.
func ref(name string) catalog.Ref {
	if !strings.Contains(name, "/") {
		name = "Tolmek/" + name
	}
	maker, number, _ := strings.Cut(name, "/")
	return catalog.Ref{Maker: maker, Number: number}
}

// replace says that each number was replaced by the next; "=" before it: both ways.
func replace(ctx context.Context, tx *store.Tx, numbers ...string) error {
	for i, n := range numbers[1:] {
		number, both := strings.CutPrefix(n, "=")
		_, err := catalog.AddReplacement(ctx, tx, catalog.Replacement{
			Old: ref(strings.TrimPrefix(numbers[i], "=")), New: ref(number), BothWays: both,
		})
		if err != nil {
			return err
		}
	}
	return nil
}

func TestReplacementRefuses(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.AddPart(ctx, tx, seal("P-1", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		if _, err := catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: p.ID, Ref: ref("Vaskuro/V-1")}); err != nil {
			return err
		}
		if err := errors.Join(replace(ctx, tx, "A", "B", "=C", "D"), replace(ctx, tx, "P-1", "Q")); err != nil {
			return err
		}
		for _, tt := range []struct {
			old, by, since string
			kind           fault.Kind
			says           string // last argument of the message
		}{
			{"D", "A", "", fault.Conflict, "Tolmek/D -> Tolmek/A -> Tolmek/B -> Tolmek/C -> Tolmek/D"},
			{"c", "b", "", fault.Conflict, ""}, // C was replaced by D already
			{"D", "C", "", fault.Conflict, "Tolmek/D -> Tolmek/C -> Tolmek/D"},
			{"D", "B", "", fault.Conflict, "Tolmek/D -> Tolmek/B -> Tolmek/C -> Tolmek/D"}, // through a both-ways one
			{"Q", "Vaskuro/V-1", "", fault.Conflict, "Tolmek/Q -> Vaskuro/V-1 -> Tolmek/Q"},
			{"A", "E", "", fault.Conflict, ""},
			{"A.", "b", "", fault.Conflict, ""}, // told already
			{"Vaskuro/V-1", "P-1", "", fault.Conflict, "Tolmek/P-1"},
			{"E", "e-", "", fault.Conflict, "Tolmek/e-"},
			{"E", "F", "2019-13", fault.Invalid, "2019-13"},
			{"E", "F", "2019-02-29", fault.Invalid, "2019-02-29"},
			{"E", "--", "", fault.Invalid, ""},
			{"E", "F", "2019-02", "", ""},
			{"D", "F", "2020", "", ""}, // a second one that F replaces
		} {
			_, err := catalog.AddReplacement(ctx, tx, catalog.Replacement{Old: ref(tt.old), New: ref(tt.by), Since: tt.since})
			if fault.KindOf(err) != tt.kind {
				t.Errorf("%s by %s = %v, want %q", tt.old, tt.by, err, tt.kind)
			}
			if e := fault.Of(err); e != nil && tt.says != "" && e.Message.Args[len(e.Message.Args)-1] != tt.says {
				t.Errorf("%s by %s says %v, want %s", tt.old, tt.by, e.Message.Args, tt.says)
			}
		}
		// A further number must not close a circle either.
		for number, want := range map[string]fault.Kind{"Q": fault.Conflict, "P-1": fault.Conflict, "R": ""} {
			_, err := catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: p.ID, Ref: ref(number)})
			if fault.KindOf(err) != want {
				t.Errorf("AddOtherNumber %s = %v, want %q", number, err, want)
			}
		}
		return nil
	})
}

func TestLongCycle(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		var long []string
		for i := range 60 {
			long = append(long, fmt.Sprint("L", i))
		}
		if err := replace(ctx, tx, long...); err != nil {
			return err
		}
		err := replace(ctx, tx, "L59", "L0")
		if e := fault.Of(err); e == nil || e.Kind != fault.Conflict || strings.Count(e.Message.Args[0].(string), "->") != 60 {
			t.Errorf("a circle of 60 = %v", err)
		}
		// One that a hand-run SQL made ends, too.
		if _, err := tx.Exec(ctx, `INSERT INTO replacement (id, maker, maker_norm, number, number_norm, by_maker, by_maker_norm,
			by_number, by_number_norm, both_ways) VALUES ('x', 'Tolmek', 'TOLMEK', 'L59', 'L59', 'Tolmek', 'TOLMEK', 'L0', 'L0', 0)`); err != nil {
			return err
		}
		chain, err := catalog.Chain(ctx, tx, ref("L7"))
		if len(chain) != 60 {
			t.Errorf("%d links of a circle, want 60", len(chain))
		}
		return err
	})
}

// What is usable instead: everything newer, and what is replaced both ways.
func TestChain(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.AddPart(ctx, tx, seal("C", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		if err := errors.Join(replace(ctx, tx, "A", "=B", "C", "=D"), replace(ctx, tx, "X", "C"), replace(ctx, tx, "Y", "=D")); err != nil {
			return err
		}
		for asked, want := range map[string]string{
			"A": "A+ B+ X C+ Y+ D+", // either way A = B; B by C = D; Y = D
			"B": "A+ B+ X C+ Y+ D+",
			"C": "A B X C+ Y+ D+",
			"D": "A B X C+ Y+ D+",
			"Z": "Z+",
		} {
			chain, err := catalog.Chain(ctx, tx, ref(asked))
			if err != nil {
				return err
			}
			var got []string
			for _, l := range chain {
				mark := ""
				if l.Usable {
					mark = "+"
				}
				got = append(got, l.Number+mark)
				if (l.Part == p.ID) != (l.Number == "C") || (l.By.New.Number == "") != (l.Number == "D" || l.Number == "Z") {
					t.Errorf("link %+v", l)
				}
			}
			if diff := cmp.Diff(strings.Join(got, " "), want); diff != "" {
				t.Errorf("%s (-got +want)\n%s", asked, diff)
			}
		}
		return nil
	})
}

// Whatever was told and whatever was refused, every chain is the same from each
// of its members, and ends at the one number that nothing replaced.
func TestChainsEndAlike(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "db"), sqlite.Options{Create: true, Synchronous: "OFF"})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	rollback := errors.New("rollback")
	rapid.Check(t, func(rt *rapid.T) {
		number := rapid.SampledFrom([]string{"A", "B", "C", "D", "E", "F", "P/1", "P/2", "Q/1"})
		err := db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			p, err := catalog.AddPart(ctx, tx, seal("1", "P", 39, 52, 11))
			if err != nil {
				return err
			}
			if _, err := catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: p.ID, Ref: ref("P/2")}); err != nil {
				return err
			}
			for range rapid.IntRange(0, 12).Draw(rt, "n") {
				_, err := catalog.AddReplacement(ctx, tx, catalog.Replacement{
					Old: ref(number.Draw(rt, "old")), New: ref(number.Draw(rt, "by")), BothWays: rapid.Bool().Draw(rt, "both"),
				})
				if k := fault.KindOf(err); k != "" && k != fault.Conflict {
					return err
				}
			}
			chain, err := catalog.Chain(ctx, tx, ref(number.Draw(rt, "asked")))
			if err != nil {
				return err
			}
			for i, l := range chain {
				if (l.By.ID == "") != (i == len(chain)-1) {
					rt.Fatalf("link %d of %d was replaced by %v", i, len(chain), l.By.New)
				}
				again, err := catalog.Chain(ctx, tx, l.Ref)
				if err != nil {
					return err
				}
				if len(again) != len(chain) || again[len(again)-1].Name() != chain[len(chain)-1].Name() {
					rt.Fatalf("from %s: %v, from %s: %v", chain[0].Name(), chain, l.Name(), again)
				}
			}
			return rollback
		})
		if !errors.Is(err, rollback) {
			rt.Fatal(err)
		}
	})
}

func TestPartForAnyNumber(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		for _, p := range []catalog.Part{seal("KO-1O", "Tolmek", 39, 52, 11), seal("NEW", "Tolmek", 39, 52, 11), seal("OWN", "Orbenta", 39, 52, 11)} {
			added, err := catalog.AddPart(ctx, tx, p)
			if err != nil {
				return err
			}
			if p.Number == "NEW" {
				for _, n := range []string{"Vaskuro/V 11-1", "Vaskuro/OWN"} {
					if _, err := catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: added.ID, Ref: ref(n)}); err != nil {
						return err
					}
				}
			}
		}
		if err := errors.Join(replace(ctx, tx, "12-345", "12-346", "NEW"), replace(ctx, tx, "88-1", "88-2"), replace(ctx, tx, "Orbenta/77", "NEW"), replace(ctx, tx, "Vaskuro/77", "NEW")); err != nil {
			return err
		}
		for _, tt := range []struct {
			name, want, how string
			kind            fault.Kind
			alike           string
		}{
			{"new", "Tolmek/NEW", "", "", ""},
			{"v11.1", "Tolmek/NEW", "catalog.other_number_of", "", ""},
			{"vaskuro/V111", "Tolmek/NEW", "catalog.other_number_of", "", ""},
			{"OWN", "Orbenta/OWN", "", "", ""}, // its own number goes before another's further one
			{"Vaskuro/OWN", "Tolmek/NEW", "catalog.other_number_of", "", ""},
			{"12345", "Tolmek/NEW", "catalog.was_replaced", "", ""},
			{"12.346", "Tolmek/NEW", "catalog.was_replaced", "", ""},
			{"77", "", "", fault.Ambiguous, "Orbenta/77 Vaskuro/77"},
			{"88-1", "", "", fault.NotFound, ""},
			{"88-2", "", "", fault.NotFound, ""},
			// Look-alikes are told, and are no match.
			{"K0-10", "", "", fault.NotFound, "Tolmek/KO-1O"},
			{"Tolmek/KO-IO", "", "", fault.NotFound, "Tolmek/KO-1O"},
			{"Orbenta/KO-IO", "", "", fault.NotFound, ""},
			{"VII-I", "", "", fault.NotFound, "Vaskuro/V 11-1"},
			{"I2-345", "", "", fault.NotFound, "Tolmek/12-345"},
		} {
			p, how, err := catalog.PartFor(ctx, tx, tt.name)
			if fault.KindOf(err) != tt.kind || err == nil && p.Name() != tt.want || how.ID != tt.how {
				t.Errorf("PartFor(%q) = %s, %v, %v", tt.name, p.Name(), how, err)
			}
			var alike []string
			if e := fault.Of(err); e != nil {
				for _, c := range e.Candidates {
					alike = append(alike, c.Name)
				}
			}
			if got := strings.Join(alike, " "); got != tt.alike {
				t.Errorf("PartFor(%q) suggests %q, want %q", tt.name, got, tt.alike)
			}
		}
		for begins, want := range map[bool]int{false: 0, true: 1} {
			alike, err := catalog.LookAlikes(ctx, tx, "K0-1", begins)
			if err != nil || len(alike) != want {
				t.Errorf("LookAlikes(K0-1, %v) = %v, %v", begins, alike, err)
			}
		}
		return nil
	})
}

// An old version stands last and is no fit, unless it is marked for the fork or
// does for the new one both ways; what replaced it is offered unless its sizes
// speak against it.
// A place of which only the bore is known, or only the thread, tells of nothing
// that it fits, nor does the part that it fits it.
func TestPartsForOpenPlaces(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Open", Layout: "conventional", Leg: 39_000})
		if err != nil {
			return err
		}
		for i, part := range []catalog.Part{
			seal("S-53", "Tolmek", 39, 53, 11),
			{Number: "B-60", Maker: "Tolmek", Role: catalog.BottomBolt, Thread: "M10x1.25", Size: measure.Size{Height: 60_000}, Unit: catalog.Piece},
		} {
			if part, err = catalog.AddPart(ctx, tx, part); err != nil {
				return err
			}
			pos, err := catalog.AddPosition(ctx, tx, f.ID, catalog.Position{
				Seq: i + 1, Role: part.Role, Leg: "both", PerLeg: 1, Renew: catalog.Renewal(part.Role), Fitted: "yes",
				Size: measure.Size{Inner: part.Size.Inner}, Thread: part.Thread,
			})
			if err != nil {
				return err
			}
			matches, err := catalog.PartsFor(ctx, tx, pos)
			if err != nil {
				return err
			}
			if len(matches) != 1 || matches[0].Verdict != catalog.Near || matches[0].Why[0].ID != "catalog.place_open" {
				t.Errorf("%s: %+v, want near", part.Number, matches)
			}
			if forks, err := catalog.ForksTaking(ctx, tx, part); err != nil || len(forks) != 0 {
				t.Errorf("%s fits %v, %v, want no fork", part.Number, forks, err)
			}
		}
		one := catalog.Part{Number: "B-1", Maker: "Pelmora", Role: catalog.BottomBolt, Thread: "M10x1.25", Unit: catalog.Piece}
		other := one
		other.Maker = "Vaskuro"
		_, err = catalog.AddPart(ctx, tx, other)
		if same, err2 := catalog.Equivalents(ctx, tx, one); err2 != nil || len(same) != 0 {
			t.Errorf("of bolts without a length: %+v, %v, want none", same, err2)
		}
		return err
	})
}

func TestPartsForOldVersions(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		ids := map[string]string{}
		for _, p := range []catalog.Part{
			seal("A-OLD", "Tolmek", 39, 52, 11),
			{Number: "A-NEW", Maker: "Tolmek", Role: catalog.OilSeal, Unit: catalog.Piece},
			seal("B-OLD", "Tolmek", 39, 52, 11), seal("B-NEW", "Tolmek", 39, 52, 12),
			seal("C-OLD", "Tolmek", 39, 52, 11), seal("D", "Tolmek", 39, 52, 11), seal("E-OLD", "Tolmek", 39, 52, 9),
		} {
			added, err := catalog.AddPart(ctx, tx, p)
			if err != nil {
				return err
			}
			ids[p.Number] = added.ID
		}
		if err := errors.Join(replace(ctx, tx, "A-OLD", "A-NEW"), replace(ctx, tx, "B-OLD", "B-NEW"), replace(ctx, tx, "C-OLD", "=C-NEW"), replace(ctx, tx, "E-OLD", "E-NEW")); err != nil {
			return err
		}
		for _, name := range []string{"One", "Two"} {
			f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: name, Layout: "conventional", Leg: 39000})
			if err != nil {
				return err
			}
			if name == "Two" {
				if err := catalog.AddUsable(ctx, tx, ids["A-OLD"], f.ID, catalog.Told{Source: "bench"}); err != nil {
					return err
				}
			}
			if _, err := catalog.AddPosition(ctx, tx, f.ID, catalog.Position{
				Seq: 1, Role: catalog.OilSeal, Leg: "both", PerLeg: 1, Renew: "always", Fitted: "yes",
				Size: measure.Size{Inner: 39000, Outer: 52000, Height: 11000},
			}); err != nil {
				return err
			}
			positions, err := catalog.Positions(ctx, tx, f.ID)
			if err != nil {
				return err
			}
			matches, err := catalog.PartsFor(ctx, tx, positions[0])
			if err != nil {
				return err
			}
			var got []string
			for _, m := range matches {
				got = append(got, fmt.Sprintf("%s %s %v %s", m.Part.Number, m.Verdict, m.Old, m.Why[len(m.Why)-1].ID))
			}
			want := []string{
				"C-OLD fits true catalog.still_does", "D fits false catalog.same_size", "A-NEW fits false catalog.replaces",
				"B-NEW near false catalog.too_tall", "A-OLD no true catalog.old_version", "B-OLD no true catalog.old_version",
				"E-OLD no true catalog.old_version",
			}
			if name == "Two" {
				want[4] = want[3]
				want[3], want[2], want[1] = want[2], want[1], want[0]
				want[0] = "A-OLD fits true catalog.still_usable"
				want[3], want[4] = "A-NEW fits false catalog.replaces", "B-NEW near false catalog.too_tall"
			}
			if diff := cmp.Diff(got, want); diff != "" {
				t.Errorf("fork %s (-got +want)\n%s", name, diff)
			}
		}
		return nil
	})
}

// A number that is a further number of one part is no other part's own: it
// would mean two things. The refusal names the part that has it.
func TestAddPartRefusesFurtherNumber(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.AddPart(ctx, tx, seal("P-1", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		if _, err := catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: p.ID, Ref: ref("Vaskuro/V-1")}); err != nil {
			return err
		}
		_, err = catalog.AddPart(ctx, tx, seal("v 1", "vaskuro", 41, 54, 11))
		if e := fault.Of(err); err == nil || e.Kind != fault.Conflict || e.Message.ID != "catalog.number_twice" ||
			e.Message.Args[1] != "Tolmek/P-1" || e.Hint.IsZero() {
			t.Errorf("a further number as an own one: %v", err)
		}
		if _, err := catalog.AddPart(ctx, tx, seal("V-1", "Other", 41, 54, 11)); err != nil {
			t.Errorf("another maker's number: %v", err)
		}
		return nil
	})
}
