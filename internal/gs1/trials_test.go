//go:build trials

package gs1

import (
	"encoding/json"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// The check values lie beside the project, in ../shared/checks/gs1, with their
// sources and licences in its README.
const beside = "../../../shared/checks/gs1/"

// load reads a file of vectors and fails where fewer than fewest are there.
func load[V any](t *testing.T, name, list string, fewest int) []V {
	t.Helper()
	data, err := os.ReadFile(beside + name)
	if err != nil {
		t.Fatal(err)
	}
	var file map[string]json.RawMessage
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	var all []V
	if err := json.Unmarshal(file[list], &all); err != nil {
		t.Fatal(err)
	}
	if len(all) < fewest {
		t.Fatalf("%s: %d vectors, want %d", name, len(all), fewest)
	}
	return all
}

// names are our checks by the dictionary's names.
var names = map[string]string{
	"csum": "sum", "csumalpha": "pair", "gcppos1": "owner", "gcppos2": "owner2", "yymmd0": "month", "yymmdd": "day",
	"yyyymmdd": "fullday", "hhmi": "clock", "hh": "hour", "mi": "minute", "ss": "minute", "iso3166": "country",
	"iso3166999": "anycountry", "iso3166alpha2": "country2", "iso4217": "currency", "iban": "iban", "pcenc": "percent",
	"yesno": "yesno", "zero": "zero", "nonzero": "nonzero", "nozeroprefix": "nolead", "winding": "winding",
	"pieceoftotal": "piece", "posinseqslash": "turn", "importeridx": "index", "packagetype": "package",
	"mediatype": "medium", "iso5218": "sex", "hyphen": "minus", "latitude": "latitude", "longitude": "longitude",
	"couponcode": "coupon", "couponposoffer": "offer", "hasnondigit": "letter",
}

// reasons are our reasons for the dictionary's errors, the first that matches.
var reasons = []struct{ theirs, ours string }{
	{"COUPON_.*(MISSING|TRUNCATED|TOO_SHORT)", "coupon_cut"},
	{"COUPON_INVALID_.*DATE|COUPON_EXPIRATION_BEFORE", "coupon_date"},
	{"COUPON_INVALID_.*LENGTH", "coupon_length"},
	{"COUPON_INVALID", "coupon_code"},
	{"COUPON_EXCESS", "coupon_excess"},
	{"NON_DIGIT", "digits"},
	{"CSET64_PADDING", "padding"},
	{"INVALID_CSET", "letters"},
	{"CHECK_DIGIT", "check_digit"},
	{"CHECK_PAIR", "check_pair"},
	{"GCP", "owner"},
	{"IMPORT_IDX", "index"},
	{"IBAN", "iban"},
	{"ILLEGAL_ZERO_VALUE", "zero"},
	{"ILLEGAL_ZERO_PREFIX", "leading_zero"},
	{"NOT_ZERO_OR_ONE", "yesno"},
	{"NOT_ZERO", "not_zero"},
	{"WINDING", "winding"},
	{"ISO3166", "country"},
	{"ISO4217", "currency"},
	{"DATE_TOO", "date"},
	{"MONTH", "month"},
	{"DAY", "day"},
	{"HOUR|MINUTE|SECOND", "time"},
	{"PIECE", "piece"},
	{"PERCENT", "percent"},
	{"LATITUDE|LONGITUDE", "coordinate"},
	{"HYPHEN", "minus"},
	{"SEX", "sex"},
	{"POSITION", "turn"},
}

// reason gives our id for an error of the dictionary.
func reason(t *testing.T, theirs string) string {
	for _, r := range reasons {
		if regexp.MustCompile(r.theirs).MatchString(theirs) {
			return "gs1.why." + r.ours
		}
	}
	t.Errorf("no reason of ours for %s", theirs)
	return ""
}

func TestTrialChecks(t *testing.T) {
	ran := map[string]int{}
	for _, v := range load[struct {
		Linter, In, Err string
		OK              bool
	}](t, "linters.json", "vectors", 3321) {
		check := checks[names[v.Linter]]
		switch v.Linter {
		case "cset39":
			check = piece{class: 'y'}.strange
		case "cset82":
			check = piece{class: 'x'}.strange
		case "csetnumeric":
			check = piece{class: 'n'}.strange
		case "yyyymmd0": // stands in the dictionary for no AI
			check = func(text string) string { return fullDay(text, true) }
		case "gcppos1", "gcppos2":
			// All four ask a service for company prefixes, which a workshop
			// has not, what it says of a prefix made up for the test.
			continue
		}
		ran[v.Linter]++
		got := check(v.In)
		if v.OK != (got == "") {
			t.Errorf("%s %q = %q, want %q", v.Linter, v.In, got, v.Err)
			continue
		}
		// A check that is asked for a piece of the wrong length or with a
		// letter in it, which the pieces of the table never give it, may say
		// so in its own way.
		if want := v.Err; want != "" && !strings.Contains(want, "NON_DIGIT") && !strings.Contains(want, "CSET") && got != reason(t, want) {
			t.Errorf("%s %q says %s, want %s", v.Linter, v.In, got, want)
		}
	}
	if len(ran) < 24 {
		t.Errorf("%d linters, want 24: %v", len(ran), ran)
	}
}

// verdict gives why elements are not taken without a word, "" where they are.
func verdict(es Elements, err error) string {
	if err != nil {
		return fmt.Sprint(err)
	}
	for _, e := range es {
		if why := formats[e.AI].odd(e.Value); why != "" {
			return why
		}
	}
	return ""
}

func TestTrialElements(t *testing.T) {
	for _, v := range load[struct {
		In string
		OK bool
	}](t, "ai_raw_process.json", "vectors", 79) {
		// Texts without FNC1 in front are no element strings to the engine.
		// Here the caller says which text is one, so they are.
		if v.In == "991234" {
			continue
		}
		es, err := Parse(strings.ReplaceAll(v.In, "^", string(GS)))
		if v.OK != (err == nil) {
			t.Errorf("%q = %v, %v, want %v", v.In, es, err, v.OK)
		}
	}
	for _, v := range load[struct {
		In, Out string
		OK      bool
	}](t, "ai_bracketed_parse.json", "vectors", 27) {
		es, err := ParseBracketed(v.In)
		if v.OK != (err == nil) {
			t.Errorf("%q = %v, %v, want %v", v.In, es, err, v.OK)
			continue
		}
		if !v.OK {
			continue
		}
		raw, err := Parse(strings.ReplaceAll(v.Out, "^", string(GS)))
		if err != nil || !slices.Equal(es, raw) {
			t.Errorf("%q = %v, want %v, %v", v.In, es, raw, err)
		}
	}
	for _, v := range load[struct{ In, Err string }](t, "ai_linters.json", "vectors", 99) {
		es, err := ParseBracketed(v.In)
		got := verdict(es, err)
		if v.Err == "OK" && got != "" || v.Err != "OK" && !strings.Contains(got, reason(t, v.Err)) {
			t.Errorf("%q = %q, want %s", v.In, got, v.Err)
		}
	}
}

// Vectors with AI 89, which nobody has given out, stand for themselves: the
// engine can be told to let it pass, and the rule they show is that of values
// that differ. So does AI 3338: the dictionary ends at 3335.
func TestTrialAssociations(t *testing.T) {
	warned := map[string]string{
		"validateAImutex": "gs1.warn.bars", "validateAIrequisites": "gs1.warn.needs",
		"validateDigSigRequiresSerialisedKey": "gs1.warn.serial",
	}
	for _, v := range load[struct {
		In, Rule string
		OK       bool
	}](t, "ai_associations.json", "vectors", 77) {
		in := strings.NewReplacer("(89)", "(99)", "(3338)", "(3335)").Replace(v.In)
		es, err := ParseBracketed(in)
		if warned[v.Rule] == "" {
			if v.OK != (err == nil) {
				t.Errorf("%q = %v, want %v", in, err, v.OK)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", in, err)
		}
		odd := 0
		for _, w := range es.Warnings() {
			if w.ID == warned[v.Rule] {
				odd++
			}
		}
		if v.OK != (odd == 0) {
			t.Errorf("%q warns %v, want %s: %v", in, es.Warnings(), warned[v.Rule], !v.OK)
		}
	}
}

func TestTrialFigures(t *testing.T) {
	for _, v := range load[struct{ Sym, Input, Full, Figure string }](t, "genspec_figures_via_zint.json", "vectors", 62) {
		digits, _, _ := strings.Cut(v.Input, "+") // the add-on is a symbol of its own
		if v.Full != "" {
			digits = v.Full
		}
		switch {
		case v.Sym == "GS1_128":
			in := strings.NewReplacer("[", "(", "]", ")").Replace(v.Input)
			if es, err := ParseBracketed(in); err != nil || es.String() != in {
				t.Errorf("%s = %v, %v (%s)", in, es, err, v.Figure)
			}
		case strings.HasPrefix(v.Sym, "UPCE"):
			if len(digits) == 7 {
				continue // has no check digit: zint adds it
			}
			if upca, ok := ExpandUPCE(digits); !ok {
				t.Errorf("%s is %s (%s)", digits, upca, v.Figure)
			}
		case v.Sym != "CODE128": // any text
			if !Valid(digits) {
				t.Errorf("%s is not valid (%s)", digits, v.Figure)
			}
		}
	}
	for _, v := range load[struct{ Input, UPCE8, UPCA12 string }](t, "upce_via_zint.json", "vectors", 44) {
		code, _, _ := strings.Cut(v.UPCE8, "+")
		if code == "" { // what zint refuses to draw, it refuses for the check digit or the length
			if upca, ok := ExpandUPCE(v.Input); ok {
				t.Errorf("%s is %s", v.Input, upca)
			}
			continue
		}
		upca, ok := ExpandUPCE(code)
		if !ok || v.UPCA12 != "" && upca != v.UPCA12 {
			t.Errorf("%s is %s, want %s", code, upca, v.UPCA12)
		}
	}
	for _, v := range load[struct{ GTIN14 string }](t, "gtin14_indicator.json", "rows", 10) {
		if !Valid(v.GTIN14) {
			t.Errorf("%s is not valid", v.GTIN14)
		}
	}
}

func TestTrialDates(t *testing.T) {
	for _, v := range load[struct{ Now, YY, Year int }](t, "date_century.json", "rows", 30) {
		got, ok := Date(fmt.Sprintf("%02d0115", v.YY), time.Date(v.Now, 7, 1, 0, 0, 0, 0, time.UTC))
		if want := fmt.Sprintf("%d-01-15", v.Year); got != want || !ok {
			t.Errorf("%02d in %d is %s, want %s", v.YY, v.Now, got, want)
		}
	}
	for _, v := range load[[2]string](t, "date_century.json", "day00_rows", 6) {
		if got, _ := Date(v[0], time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC)); got != v[1] {
			t.Errorf("%s is %s, want %s", v[0], got, v[1])
		}
	}
}

// The engine can be told to take names for keys (/gtin/), short GTINs and AIs
// that nobody has given out; its tests do the same address with and without, and
// the vectors do not say which. Here names and such AIs are never taken, and
// short GTINs always. Making addresses is not done here: one vector.
func TestTrialLinks(t *testing.T) {
	type vector struct {
		Test, In, Out string
		OK            bool
	}
	all := load[vector](t, "dl_uri.json", "vectors", 119)
	takes := map[string]bool{}
	for _, v := range all {
		takes[v.In] = takes[v.In] || v.OK
	}
	for _, v := range all {
		own := strings.Contains(v.In, "/gtin/") || strings.Contains(v.In, "/sscc/") || strings.Contains(v.In, "89=")
		short := !v.OK && takes[v.In]
		if v.Test != "parseDLuri" || own && v.OK || short {
			continue
		}
		es, err := ParseLink(v.In)
		if v.OK != (err == nil) {
			t.Errorf("%s = %v, %v, want %v", v.In, es, err, v.OK)
			continue
		}
		if !v.OK {
			continue
		}
		raw, err := Parse(strings.ReplaceAll(v.Out, "^", string(GS)))
		if err != nil || !slices.Equal(es, raw) {
			t.Errorf("%s = %v, want %v, %v", v.In, es, raw, err)
		}
	}
}

// TestTrialDictionary compares every fact of the table with the dictionary.
func TestTrialDictionary(t *testing.T) {
	data, err := os.ReadFile(beside + "gs1-syntax-dictionary.txt")
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for line := range strings.Lines(string(data)) {
		words := strings.Fields(strings.Split(line, "#")[0])
		if len(words) == 0 {
			continue
		}
		var want format
		flags := ""
		if words[1][0] == '*' || words[1][0] == '?' {
			flags, words = words[1], append(words[:1:1], words[2:]...)
		}
		for _, w := range words[1:] {
			if name, value, _ := strings.Cut(w, "="); name == "req" || name == "ex" || name == "dlpkey" {
				attribute(&want, name, value)
				continue
			}
			want.pieces = append(want.pieces, component(w))
		}
		want.data = want.key || strings.Contains(flags, "?")
		first, last, ranged := strings.Cut(words[0], "-")
		if !ranged {
			last = first
		}
		for ai := first; ; ai = following(ai) {
			seen++
			got, ok := formats[ai]
			if !ok {
				t.Fatalf("AI %s is missing", ai)
			}
			if g, w := told(got), told(&want); g != w {
				t.Errorf("AI %s is %s, want %s", ai, g, w)
			}
			if _, fixed := predefined[ai[:2]]; fixed != strings.Contains(flags, "*") {
				t.Errorf("AI %s: predefined length %v", ai, fixed)
			}
			if ai == last {
				break
			}
		}
	}
	if seen != len(formats) || seen < 500 {
		t.Errorf("%d AIs in the dictionary, %d in the table, want 500 or more", seen, len(formats))
	}
}

// component reads one component of the dictionary: N13,csum,gcppos1 or [X..17].
func component(w string) piece {
	parts := strings.Split(w, ",")
	bare := strings.Trim(parts[0], "[]")
	p := piece{optional: bare != parts[0], class: bare[0] | 0x20}
	upTo, variable := strings.CutPrefix(bare[1:], "..")
	p.max = number(upTo)
	if p.min = p.max; variable {
		p.min = 1
	}
	for _, linter := range parts[1:] {
		p.checks = append(p.checks, names[linter])
	}
	return p
}

func attribute(f *format, name, value string) {
	for _, w := range strings.Split(strings.ReplaceAll(value, "n", "*"), ",") {
		switch name {
		case "req":
			f.needs = append(f.needs, strings.Split(w, "+"))
		case "ex":
			f.bars = append(f.bars, w)
		}
	}
	if name == "dlpkey" {
		f.key = true
		for _, path := range strings.Split(value, "|") {
			if path != "" {
				f.paths = append(f.paths, strings.Split(path, ","))
			}
		}
	}
}

func told(f *format) string {
	return fmt.Sprint(f.pieces, f.needs, f.bars, f.data, f.key, f.paths)
}
