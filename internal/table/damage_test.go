package table

import "testing"

// What spreadsheets show of numbers and dates: common practice, no source; seen
// in what LibreOffice 7.4 saved (testdata/guessed.xlsx) in part.
func TestDamage(t *testing.T) {
	for want, texts := range map[string][]string{
		"table.harm.scientific": {"4.00638E+12", "4,00638E+12", "9.52e+12", "1E+11", "3.00E+05", "3.00E-05", "-4.0E+12", "12.5E+03"},
		"table.harm.date": {
			"10-Mar", "Mar-10", "3-Oct-25", "03-Oct-2025", "10. Mrz", "10.Mrz", "Mrz 10", "1. Mär 2025", "Dez. 05", "5-Sept", "1/May",
			"03.10.2025", "3/10/2025", "10-03-2025", "2025-03-10", "2025/03/10", "2025-03-10 00:00:00", "2025-03-10T07:30:00Z", "10.03.2025 00:00",
		},
		"table.harm.floated": {"4006381333931.0", "9520123456788,00"},
		"table.harm.failed":  {"#N/A", "#NV", "#REF!", "#BEZUG!", "#ref!", "########"},
		"": {
			"", "0391", "391", "10-1234", "3-10", "3E5", "12E4", "1E-05", "2E-10", "5E12", "E+12", "12.04.20", "39-52-11", "10/12", "1/2",
			"MAR-10", "DEC-12", "10-MAR", "Mar", "Marke-10", "10-2034", "2025-13-40", "31.31.2025", "45.67.2025", "03.10.1825", "2025-03",
			"AB-2025-03-10", "9520123456788", "391.0", "39.5", "#12", "#", "39x52x11", "340123450000000018",
		},
	} {
		for _, text := range texts {
			if got := Damage(Cell{Text: text}); got.ID != want {
				t.Errorf("Damage(%q) = %q, want %q", text, got.ID, want)
			}
		}
	}
	for _, tt := range []struct {
		c    Cell
		want string
	}{
		{Cell{Text: "2026-03-10", Kind: Date}, "table.harm.date"},
		{Cell{Text: "07:30:00", Kind: Date}, "table.harm.date"},
		{Cell{Text: "340123450000000018", Kind: Number}, "table.harm.digits"},
		{Cell{Text: "123456789012345", Kind: Number}, ""},
		{Cell{Text: "9520123456788", Kind: Number}, ""},
		{Cell{Text: "=A1*2", Kind: Formula}, "table.harm.formula"},
		{Cell{Text: "0391", Kind: Guarded}, ""},
	} {
		if got := Damage(tt.c); got.ID != tt.want {
			t.Errorf("Damage(%+v) = %q, want %q", tt.c, got.ID, tt.want)
		}
	}
}

func TestTotal(t *testing.T) {
	for _, tt := range []struct {
		cells []string
		want  bool
	}{
		{[]string{"Total", "2", "19.90"}, true},
		{[]string{"", "SUMME:", "", "19,90 €"}, true},
		{[]string{"Zwischensumme", ""}, true},
		{[]string{"Total", "Oil seal", "19.90"}, false},
		{[]string{"0391", "Total", "19.90"}, false},
		{[]string{"0391", "2", "19.90"}, false},
		{[]string{"", ""}, false},
	} {
		var r Row
		for _, text := range tt.cells {
			r.Cells = append(r.Cells, Cell{Text: text})
		}
		if got := r.Total(); got != tt.want {
			t.Errorf("Total(%q) = %v", tt.cells, got)
		}
	}
}
