package sheet

import (
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

func TestParseGrid(t *testing.T) {
	for text, want := range map[string]Grid{
		"A4 3x8 64x34 margin 7x12.5 gap 2x0":          {"A4", 3, 8, 64000, 34000, 7000, 12500, 2000, 0},
		"a4 3×8 64×34 gap 2x0 margin 7x12,5":          {"A4", 3, 8, 64000, 34000, 7000, 12500, 2000, 0},
		"A4 3x8 70x36 Rand 0x4.5":                     {"A4", 3, 8, 70000, 36000, 0, 4500, 0, 0},
		"A4 2x2 105x148 rand 0x0 abstand 0x0":         {"A4", 2, 2, 105000, 148000, 0, 0, 0, 0},
		`letter 3x10 2.625inx1in margin 3/16inx1/2in`: {"Letter", 3, 10, 66675, 25400, 4762, 12700, 0, 0}, // 4.7625 mm, half to even
		"roll 57x32":    {"", 1, 1, 57000, 32000, 0, 0, 0, 0},
		"Rolle 25,4x54": {"", 1, 1, 25400, 54000, 0, 0, 0, 0},
	} {
		got, err := ParseGrid(text)
		if err != nil || got != want {
			t.Errorf("%q: %+v, %v, want %+v", text, got, err, want)
			continue
		}
		if back, err := ParseGrid(got.String()); err != nil || back != got {
			t.Errorf("%q: %q reads back as %+v, %v", text, got, back, err)
		}
	}
}

func TestParseGridRefuses(t *testing.T) {
	for text, id := range map[string]string{
		"": "sheet.bad_grid", "A4": "sheet.bad_grid", "A4 3x8": "sheet.bad_grid", "A5 3x8 64x34": "sheet.bad_grid",
		"A4 3x8 64x34 margin": "sheet.bad_grid", "A4 3x8 64x34 margin 7": "sheet.bad_grid", "A4 3 64x34": "sheet.bad_grid",
		"A4 3x8 64x34 margin 1x1 rand 2x2": "sheet.bad_grid", "A4 3x8 64x34 edge 1x1": "sheet.bad_grid", "roll 57": "sheet.bad_grid",
		"roll 57x32 margin 1x1": "sheet.bad_grid", "A4 3x8 -64x34": "sheet.bad_grid", "A4 3.5x8 10x10": "sheet.bad_grid",
		"A4 3x8 0x34": "sheet.bad_label", "roll 57x0": "sheet.bad_label", "roll 1001x50": "sheet.bad_label",
		"A4 0x8 64x34": "sheet.bad_count", "A4 3x-1 64x34": "sheet.bad_count", "A4 101x1 1x1": "sheet.bad_count",
		"A4 9999999999999999999x1 1x1": "sheet.bad_grid",
		// 3 · 70 + 7 = 217 mm; 2 · 2 + 3 · 69 = 211 mm; 215.9 mm is Letter's.
		"A4 3x8 70x36 margin 7x0": "sheet.too_wide", "A4 3x8 69x36 gap 2x0": "sheet.too_wide", "Letter 3x8 72x30": "sheet.too_wide",
		// 8 · 37.2 = 297.6 mm.
		"A4 3x8 70x37.2": "sheet.too_high", "Letter 1x1 10x279.5": "sheet.too_high",
	} {
		_, err := ParseGrid(text)
		e := fault.Of(err)
		if e == nil || e.Kind != fault.Invalid || e.Message.ID != id || e.Hint.IsZero() {
			t.Errorf("%q: %v, want %s with a hint", text, err, id)
		}
	}
	_, err := ParseGrid("A4 3x8 70x36 margin 7x0 gap 1.5x0")
	want := []any{3, measure.Length(70000), measure.Length(1500), measure.Length(7000), measure.Length(220000), "A4", measure.Length(210000)}
	for i, arg := range fault.Of(err).Message.Args {
		if arg != want[i] {
			t.Errorf("argument %d of the refusal is %v, want %v", i, arg, want[i])
		}
	}
}

// Places go row by row, and the last one ends where columns, rows and gaps say.
func TestPlace(t *testing.T) {
	g, err := ParseGrid("A4 3x8 64x34 margin 7x12.5 gap 2x1.5")
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]Box{
		0: {7, 12.5, 64, 34}, 1: {73, 12.5, 64, 34}, 3: {7, 48, 64, 34}, 23: {139, 12.5 + 7*35.5, 64, 34},
	} {
		if got := g.Place(n); got != want {
			t.Errorf("label %d lies at %+v, want %+v", n, got, want)
		}
	}
	if g.Labels() != 24 || g.Roll() || g.Page() != A4 {
		t.Errorf("%d labels on %v", g.Labels(), g.Page())
	}
}

func FuzzParseGrid(f *testing.F) {
	for _, text := range []string{"A4 3x8 64x34 margin 7x12.5 gap 2x0", "roll 57x32", "Letter 2x2 1inx3/8in rand 0x0", "A4 × x"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		g, err := ParseGrid(text)
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("%q: %v", text, err)
			}
			return
		}
		back, err := ParseGrid(g.String())
		if err != nil || back != g {
			t.Errorf("%q: %q reads back as %+v, %v", text, g, back, err)
		}
		last, page := g.Place(g.Labels()-1), g.Page()
		if last.X+last.Width > page.Width+1e-3 || last.Y+last.Height > page.Height+1e-3 {
			t.Errorf("%q: the last label ends outside of the page: %+v", text, last)
		}
	})
}
