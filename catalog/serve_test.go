package catalog_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

func place(seq int, role catalog.Role, size string, perLeg int64) catalog.Position {
	p := catalog.Position{Seq: seq, Role: role, Leg: "both", PerLeg: perLeg, Renew: "always", Fitted: "yes"}
	if size != "" {
		p.Size = must(measure.ParseSize(size))
	}
	return p
}

// must is for sizes and threads that stand in the tests.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func brings(id string, role catalog.Role, size string, pieces int64) catalog.Content {
	return catalog.Content{Part: catalog.Part{ID: id, Role: role, Size: place(0, role, size, 1).Size}, Pieces: pieces}
}

// screws is a kit's two bottom bolts.
func screws(id, thread string, length measure.Length) catalog.Content {
	c := brings(id, catalog.BottomBolt, "", 2)
	c.Part.Thread, c.Part.Size.Height = thread, length
	return c
}

// said gives what a kit does for a fork in one line.
func said(s catalog.Served) string {
	text := fmt.Sprint(s.Kits)
	for _, u := range s.Fits {
		text += fmt.Sprintf(" fits:%s*%d", u.Part.Role, u.Pieces)
	}
	for _, l := range s.Lacks {
		text += fmt.Sprintf(" lacks:%s*%d", l.Place.Role, l.Missing)
	}
	for _, u := range s.Foreign {
		text += fmt.Sprintf(" foreign:%s*%d(%s %s)", u.Part.Role, u.Pieces, u.Verdict, u.Why[0].ID)
	}
	return text
}

// What kits bring and leave out: common practice, no source.
func TestServe(t *testing.T) {
	seal, washer := place(1, catalog.OilSeal, "39x52x11", 1), place(2, catalog.BottomWasher, "10/16x1.5", 1)
	bolt := catalog.Position{Seq: 3, Role: catalog.BottomBolt, Leg: "both", PerLeg: 1, Fitted: "yes", Thread: "M10x1.25"}
	absent, unsure, unknown := seal, seal, place(4, catalog.Wiper, "", 1)
	absent.Fitted, unsure.Fitted = "no", "unknown"
	named := unknown
	named.Parts = []catalog.NamedPart{{Part: "w"}}
	long, doubted, either := bolt, seal, place(1, catalog.Wiper, "39x52", 1)
	long.Size.Height = 60_000
	doubted.Against = map[string]catalog.Doubt{"a": {Verdict: catalog.Near, Why: []fault.Message{fault.Say("claim.not_fit")}}}
	either.Parts = []catalog.NamedPart{{Part: "y"}}
	left, right := seal, seal
	left.Leg, right.Leg = "left", "right"
	right.Size = must(measure.ParseSize("39x53x11"))
	for name, tt := range map[string]struct {
		contents []catalog.Content
		legs     int
		places   []catalog.Position
		want     string
	}{
		"what a kit without bolts and washers lacks": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 2)},
			2,
			[]catalog.Position{seal, washer, bolt},
			"1 fits:oil_seal*2 lacks:bottom_washer*2 lacks:bottom_bolt*2",
		},
		"a kit for one leg, twice": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 1)}, 1, []catalog.Position{seal}, "2 fits:oil_seal*2",
		},
		"not told for how many legs": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 1)},
			0,
			[]catalog.Position{seal},
			"1 fits:oil_seal*1 lacks:oil_seal*1",
		},
		"too tall": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x13", 2)},
			2,
			[]catalog.Position{seal},
			"1 lacks:oil_seal*2 foreign:oil_seal*2(no catalog.too_tall)",
		},
		"one height not stated": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52", 2)},
			2,
			[]catalog.Position{seal},
			"1 lacks:oil_seal*2 foreign:oil_seal*2(near catalog.not_stated)",
		},
		"by role and size": {
			[]catalog.Content{brings("", catalog.OilSeal, "39x52x11", 2)}, 2, []catalog.Position{seal}, "1 fits:oil_seal*2",
		},
		"no such place": {
			[]catalog.Content{brings("a", catalog.Clip, "?x53x1.5", 2)},
			2,
			[]catalog.Position{seal},
			"1 lacks:oil_seal*2 foreign:clip*2(no catalog.no_such_place)",
		},
		"not on this fork": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 2)},
			2,
			[]catalog.Position{absent},
			"1 foreign:oil_seal*2(no fitted.no)",
		},
		"not known whether fitted": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 1)}, 2, []catalog.Position{unsure}, "1 fits:oil_seal*1",
		},
		"more than the job takes": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 4)},
			2,
			[]catalog.Position{seal},
			"1 fits:oil_seal*2 foreign:oil_seal*2(fits catalog.left_over)",
		},
		"a place of no known size": {
			[]catalog.Content{brings("w", catalog.Wiper, "39x52", 2)},
			2,
			[]catalog.Position{unknown},
			"1 lacks:wiper*2 foreign:wiper*2(near catalog.place_unknown)",
		},
		"a place of which only the bore is known": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x53x11", 2)},
			2,
			[]catalog.Position{place(1, catalog.OilSeal, "39x?", 1)},
			"1 lacks:oil_seal*2 foreign:oil_seal*2(near catalog.place_open)",
		},
		"a place of which only the thread is known": {
			[]catalog.Content{screws("b", "M10x1.25", 60_000)},
			2,
			[]catalog.Position{bolt},
			"1 lacks:bottom_bolt*2 foreign:bottom_bolt*2(near catalog.place_open)",
		},
		"a place of which the head is not known": {
			[]catalog.Content{screws("b", "M10x1.25", 60_000)},
			2,
			[]catalog.Position{long},
			"1 fits:bottom_bolt*2",
		},
		"seen not to fit": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 2)},
			2,
			[]catalog.Position{doubted},
			"1 lacks:oil_seal*2 foreign:oil_seal*2(near claim.not_fit)",
		},
		"named for the place": {
			[]catalog.Content{brings("w", catalog.Wiper, "39x52", 2)}, 2, []catalog.Position{named}, "1 fits:wiper*2",
		},
		"legs that differ": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 2)},
			2,
			[]catalog.Position{left, right},
			"1 fits:oil_seal*1 lacks:oil_seal*1 foreign:oil_seal*1(fits catalog.left_over)",
		},
		"two seals a leg": {
			[]catalog.Content{brings("a", catalog.OilSeal, "39x52x11", 4)},
			2,
			[]catalog.Position{seal, seal},
			"1 fits:oil_seal*2 fits:oil_seal*2",
		},
		"the place with the least choice first": {
			[]catalog.Content{brings("y", catalog.Wiper, "39x53", 2), brings("x", catalog.Wiper, "39x52", 2)},
			2,
			[]catalog.Position{either, place(2, catalog.Wiper, "39x53", 1)},
			"1 fits:wiper*2 fits:wiper*2",
		},
		"an empty kit": {nil, 2, []catalog.Position{washer}, "1 lacks:bottom_washer*2"},
	} {
		if got := said(catalog.Serve(tt.contents, tt.legs, tt.places)); got != tt.want {
			t.Errorf("%s: %s, want %s", name, got, tt.want)
		}
	}
}

// What a kit brings and what it lacks are together what the job needs; what
// fits and what is foreign are together what the kits bring.
func TestServeAddsUp(t *testing.T) {
	sizes := []string{"", "39x52x11", "39x52x9.5", "41x54x11", "39x52", "?x52x1.5"}
	roles := []catalog.Role{catalog.OilSeal, catalog.Wiper, catalog.Clip}
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 1))
		var places []catalog.Position
		for i := range r.IntN(7) {
			p := place(i+1, pick(r, roles), pick(r, sizes), 1+r.Int64N(3))
			p.Leg, p.Fitted = pick(r, catalog.Sides), pick(r, catalog.Fitteds)
			if r.IntN(2) == 0 {
				p.Parts = []catalog.NamedPart{{Part: "0"}}
			}
			places = append(places, p)
		}
		var contents []catalog.Content
		for i := range r.IntN(6) {
			contents = append(contents, brings(fmt.Sprint(i), pick(r, roles), pick(r, sizes), 1+r.Int64N(5)))
		}
		got := catalog.Serve(contents, r.IntN(3), places)
		kept := map[string]int64{}
		var given, lacking int64
		for _, u := range append(got.Fits, got.Foreign...) {
			kept[u.Part.ID] += u.Pieces
		}
		for _, u := range got.Fits {
			given += u.Pieces
		}
		for _, l := range got.Lacks {
			lacking += l.Missing
		}
		for _, c := range contents {
			if kept[c.Part.ID] != c.Pieces*got.Kits {
				t.Fatalf("seed %d: of %s %d pieces were told of, want %d", seed, c.Part.ID, kept[c.Part.ID], c.Pieces*got.Kits)
			}
		}
		var sure, most int64
		for _, p := range places {
			if p.Fitted == "yes" {
				sure += p.PerJob()
			}
			if p.Fitted != "no" {
				most += p.PerJob()
			}
		}
		if given+lacking < sure || given+lacking > most {
			t.Fatalf("seed %d: given %d and lacking %d, but the job takes %d to %d", seed, given, lacking, sure, most)
		}
	}
}

func pick[T any](r *rand.Rand, of []T) T { return of[r.IntN(len(of))] }

func TestContents(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		kit, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "K", Maker: "Pelmora", Role: catalog.Kit, Unit: catalog.Piece})
		if err != nil {
			return err
		}
		ring, err := catalog.AddPart(ctx, tx, seal("S", "Orbenta", 39, 52, 11))
		if err != nil {
			return err
		}
		clip := catalog.Content{Part: catalog.Part{Role: catalog.Clip, Unit: catalog.Piece, Size: must(measure.ParseSize("?x53x1.5"))}, Pieces: 2}
		want := []catalog.Content{{Part: ring, Pieces: 2}, clip, {Part: catalog.Part{Role: catalog.Oil, Unit: catalog.Millilitre}, Pieces: 500}}
		if err := catalog.SetContents(ctx, tx, kit, want); err != nil {
			return err
		}
		if got, err := catalog.Contents(ctx, tx, kit.ID); err != nil || !cmp.Equal(got, want) {
			t.Errorf("Contents: %v\n%s", err, cmp.Diff(want, got))
		}
		for _, tt := range []struct {
			kit  catalog.Part
			all  []catalog.Content
			want fault.Kind
		}{
			{ring, nil, fault.Invalid},
			{kit, []catalog.Content{{Part: ring}}, fault.Invalid},
			{kit, []catalog.Content{{Part: kit, Pieces: 1}}, fault.Invalid},
			{kit, []catalog.Content{{Part: catalog.Part{Role: "x"}, Pieces: 1}}, fault.Invalid},
			{kit, []catalog.Content{clip, clip}, fault.Conflict},
			{kit, []catalog.Content{{Part: ring, Pieces: 1}, {Part: ring, Pieces: 2}}, fault.Conflict},
		} {
			if err := catalog.SetContents(ctx, tx, tt.kit, tt.all); fault.KindOf(err) != tt.want {
				t.Errorf("SetContents(%v) = %v, want %s", tt.all, err, tt.want)
			}
		}
		for legs, want := range map[int]fault.Kind{0: fault.Invalid, 1: "", 2: "", 3: fault.Invalid} {
			if err := catalog.SetLegs(ctx, tx, kit, legs); fault.KindOf(err) != want {
				t.Errorf("SetLegs(%d) = %v", legs, err)
			}
		}
		return nil
	})
}
