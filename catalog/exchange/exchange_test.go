package exchange

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/table"
)

// A header word means one column of a kind only, or Match could not tell.
func TestHeaderWordsAreClear(t *testing.T) {
	for _, k := range Kinds {
		for _, f := range k.fields() {
			for _, w := range f.Words {
				found := table.Match([]string{w}, k.fields())
				if _, ok := found.At[f.Name]; !ok {
					t.Errorf("%s: header %q means %v, want %s", k.Name, w, found.At, f.Name)
				}
			}
		}
	}
}

// Every kind reads the header that the shop writes for it as its own.
func TestOwnHeaders(t *testing.T) {
	for _, k := range Kinds {
		got, err := Guess("x.csv", k.Header())
		if err != nil || got != k {
			t.Errorf("Guess(%v) = %v, %v, want %s", k.Header(), got, err, k.Name)
		}
		found := table.Match(k.Header(), k.fields())
		if len(found.At) != len(k.Header()) {
			t.Errorf("%s: of %v only %v are found", k.Name, k.Header(), found.At)
		}
	}
}

func TestGuess(t *testing.T) {
	for _, tt := range []struct {
		header string
		want   string // kind, or the kind of error
	}{
		{"Artikelnummer;Bezeichnung;VPE;Nettopreis", "prices"},
		{"part_no;price", "prices"},
		{"Teilenummer;Hersteller;Teileart;Bezeichnung;Innen;Außen;Höhe", "parts"},
		{"Motorradmarke;Modell;Baujahr von;Baujahr bis;Gabel", "fitments"},
		{"Strichcode;Teilenummer;Hersteller;Menge", "codes"},
		{"Teilenummer;Hersteller;Lagerfach;Bestand", "stock"},
		{"Auftrag;Datum;Gabel;Teilenummer;Menge", "jobs"},
		{"Gabel;Bauart;Standrohrdurchmesser;Teileart", "forks"},
		{"alte Nummer;Hersteller;neue Nummer", "replacements"},
		{"Satz;Teilenummer;Menge", "kits"},
		{"Wetter;Temperatur", string(fault.Invalid)},
	} {
		k, err := Guess("x.csv", strings.Split(tt.header, ";"))
		got := string(fault.KindOf(err))
		if k != nil {
			got = k.Name
		}
		if got != tt.want {
			t.Errorf("Guess(%s) = %s (%v), want %s", tt.header, got, err, tt.want)
		}
	}
}

func open(t *testing.T, kind, text string) (*File, error) {
	t.Helper()
	k, err := Named(kind)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "x.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	f, err := Open(path, Options{Kind: k, Currency: "EUR"})
	if err == nil {
		t.Cleanup(func() { f.Close() })
	}
	return f, err
}

// read gives what a file of one row tells, by column, and its flaws.
func read(t *testing.T, kind, text string) (map[string]string, []string) {
	t.Helper()
	f, err := open(t, kind, text)
	if err != nil {
		t.Fatal(err)
	}
	row, flaws, _, err := f.Next()
	if err != nil {
		t.Fatal(err)
	}
	cells := map[string]string{}
	for i, c := range f.Kind.Columns {
		if row.Cells[i] != "" {
			cells[c.Name] = row.Cells[i]
		}
	}
	if row.Note != "" {
		cells["+"] = row.Note
	}
	var bad []string
	for _, f := range flaws {
		what := f.Column + " " + f.Why.ID
		if f.Row {
			what += " row"
		}
		bad = append(bad, what)
	}
	return cells, bad
}

func TestCells(t *testing.T) {
	for _, tt := range []struct {
		kind, text string
		want       map[string]string
		bad        []string
	}{
		{ // units in the header and in the cell; a decimal comma
			"parts", "number;maker;role;inner [in];outer;height (mm)\nA-1;Tolmek;Gabeldichtring;1,535;2 in;\"9,5\"\n",
			map[string]string{"number": "A-1", "maker": "Tolmek", "role": "Gabeldichtring", "inner_mm": "38.989", "outer_mm": "50.8", "height_mm": "9.5"},
			nil,
		},
		{ // a bad cell that the row can do without
			"parts", "number,maker,role,minimum,inner\nA-1,Tolmek,wiper,some,x\n",
			map[string]string{"number": "A-1", "maker": "Tolmek", "role": "wiper"},
			[]string{"inner measure.bad_length", "minimum table.no_number"},
		},
		{ // and one that it needs
			"prices", "part no,net\n4.00638E+12,1\n", map[string]string{"net_price": "100"}, []string{"part no table.harm.scientific row"},
		},
		{"prices", "part no,net (USD)\nA-1,1\n", map[string]string{"supplier_number": "A-1"}, []string{"net (USD) exchange.currency"}},
		{
			"prices", "part no,net,ean\nA-1,-1,9520120000000\n",
			map[string]string{"supplier_number": "A-1"},
			[]string{"net exchange.negative", "ean exchange.bad_gtin"},
		},
		{ // what no column takes is kept; a GTIN becomes 14 digits
			"prices", "part no,net,ean,colour,origin\nA-1,1.50,9520123456788,red,EU\n",
			map[string]string{"supplier_number": "A-1", "net_price": "150", "ean": "09520123456788", "+": "colour: red; origin: EU"},
			nil,
		},
		{"jobs", "Auftrag;Datum;Teilenummer;Menge\n7;31.03.2026;A-1;2\n", map[string]string{"job": "7", "day": "2026-03-31", "number": "A-1", "amount": "2"}, nil},
		{
			"jobs", "Auftrag;Datum;Teilenummer;Menge\n7;3/4/2026;A-1;2\n",
			map[string]string{"job": "7", "number": "A-1", "amount": "2"},
			[]string{"Datum exchange.bad_day row"},
		},
		{
			"replacements", "number,maker,by number,both ways\nA,Tolmek,B,ja\n",
			map[string]string{"number": "A", "maker": "Tolmek", "by_number": "B", "both_ways": "yes"},
			nil,
		},
		{"stock", "number,amount\nA,2.5\n", map[string]string{"number": "A"}, []string{"amount table.no_integer row"}},
		{"stock", "number,amount\nTotal,7\n", map[string]string{}, []string{" exchange.total row"}},
	} {
		got, bad := read(t, tt.kind, tt.text)
		if diff := cmp.Diff(got, tt.want) + cmp.Diff(bad, tt.bad); diff != "" {
			t.Errorf("%q (-got +want)\n%s", tt.text, diff)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	for _, tt := range []struct{ kind, text, want string }{
		{"parts", "number,colour\nA,red\n", "exchange.no_column"},
		{"parts", "number,part number,maker\nA,B,C\n", "exchange.twice"},
	} {
		_, err := open(t, tt.kind, tt.text)
		if e := fault.Of(err); e == nil || e.Message.ID != tt.want || e.Kind != fault.Invalid {
			t.Errorf("Open(%q) = %v, want %s", tt.text, err, tt.want)
		}
	}
	if _, err := Named("weather"); fault.KindOf(err) != fault.Invalid || len(fault.Of(err).Candidates) != len(Kinds) {
		t.Errorf("Named(weather) = %v", err)
	}
}

// One number written three ways with different prices is told of; equal rows,
// and rows of other numbers, are not.
func TestTwice(t *testing.T) {
	f, err := open(t, "prices", "part no,net\nAB-1,1\nC,1\nab 1,2\nC,1.00\nAB1,3\n")
	if err != nil {
		t.Fatal(err)
	}
	twice := NewTwice(f.Kind)
	var rows []Row
	for {
		row, _, _, err := f.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		twice.See(&row)
		rows = append(rows, row)
	}
	got := map[int]any{}
	for _, row := range rows {
		if flaw, bad := twice.Flaw(&row); bad {
			got[row.Line] = flaw.Why.Args[1]
		}
	}
	if diff := cmp.Diff(got, map[int]any{2: 4, 4: 2, 6: 2}); diff != "" {
		t.Errorf("lines told of, with the other line (-got +want)\n%s", diff)
	}
}

// Header words of the trade, English and German; common practice, no source.
func TestStockHeaders(t *testing.T) {
	for column, words := range map[string][]string{
		"cure": {
			"Vulkanisiert", "Vulkanisiert am", "Vulkanisierdatum", "Härtedatum", "gehärtet", "Herstelldatum", "cured", "Cure date", "cured on",
			"vulcanised", "date of manufacture",
		},
		"use_by": {"MHD", "Verfallsdatum", "Ablaufdatum", "expiry date", "best before"},
		"batch":  {"Chargen-Nr.", "Chargennummer", "batch no"},
		"since":  {"Eingangsdatum", "im Lager seit", "received"},
		"amount": {"Stückzahl", "Istbestand", "gezählt", "stock level"},
		"bin":    {"Schublade", "Regalfach", "bin location"},
	} {
		for _, word := range words {
			header := []string{"Teilenummer", word}
			if column != "amount" {
				header = append(header, "Menge")
			}
			kind, err := Named("stock")
			if err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), "list.csv")
			if err := os.WriteFile(path, []byte(strings.Join(header, ";")+"\nKB-39;1;1\n"), 0o600); err != nil {
				t.Fatal(err)
			}
			f, err := Open(path, Options{Kind: kind})
			if err != nil {
				t.Errorf("%s: %v", word, err)
				continue
			}
			if !f.Has(column) {
				t.Errorf("%q is no header of %s", word, column)
			}
			f.Close()
		}
	}
}
