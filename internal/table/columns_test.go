package table

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

var someFields = []Field{
	{"number", []string{"part_no", "Artikel-Nr.", "Teilenummer", "number"}},
	{"price", []string{"Preis", "price", "EK"}},
	{"inner", []string{"Inner Ø", "ID", "inner_mm", "Innendurchmesser"}},
	{"role", []string{"Größe der Rolle", "use"}},
}

func TestMatch(t *testing.T) {
	for _, tt := range []struct {
		header []string
		want   Columns
	}{
		{[]string{"price", "part_no"}, Columns{At: map[string]int{"price": 0, "number": 1}}},
		{[]string{"PART NO", "Artikelgruppe", ""}, Columns{At: map[string]int{"number": 0}, Unknown: []string{"Artikelgruppe"}}},
		{[]string{"artikel nr", "Preis (EUR)"}, Columns{At: map[string]int{"number": 0, "price": 1}, Units: map[string]string{"price": "EUR"}}},
		{[]string{"ID mm", "Preis in €"}, Columns{At: map[string]int{"inner": 0, "price": 1}, Units: map[string]string{"inner": "mm", "price": "€"}}},
		{[]string{"Inner Ø [mm]", "Preis/Stk."}, Columns{At: map[string]int{"inner": 0, "price": 1}, Units: map[string]string{"inner": "mm", "price": "Stk"}}},
		{[]string{"inner ⌀ (in mm)", "price_EUR"}, Columns{At: map[string]int{"inner": 0, "price": 1}, Units: map[string]string{"inner": "mm", "price": "EUR"}}},
		{[]string{"inner_mm", "Preis EUR/Stk"}, Columns{At: map[string]int{"inner": 0, "price": 1}, Units: map[string]string{"price": "EUR/Stk"}}},
		{[]string{"Preis (brutto)", "price net"}, Columns{Unknown: []string{"Preis (brutto)", "price net"}}},
		{[]string{"Preis", "EK", "ID", "Price (CHF)"}, Columns{At: map[string]int{"inner": 2}, Twice: map[string][]int{"price": {0, 1, 3}}}},
		{[]string{"Groesse der Rolle"}, Columns{At: map[string]int{"role": 0}}},
		{[]string{"GRÖSSE DER ROLLE"}, Columns{At: map[string]int{"role": 0}}},
		{[]string{"Gro\u0308ße der Rolle"}, Columns{At: map[string]int{"role": 0}}},
		{[]string{"***", "mm"}, Columns{Unknown: []string{"***", "mm"}}},
	} {
		got := Match(tt.header, someFields)
		if tt.want.At == nil {
			tt.want.At = map[string]int{}
		}
		if tt.want.Units == nil {
			tt.want.Units = map[string]string{}
		}
		if tt.want.Twice == nil {
			tt.want.Twice = map[string][]int{}
		}
		if diff := cmp.Diff(tt.want, got); diff != "" {
			t.Errorf("Match(%q): %s", tt.header, diff)
		}
	}
}
