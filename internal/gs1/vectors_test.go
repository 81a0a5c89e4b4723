package gs1

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"
)

// The check values stand in testdata with their sources; fewer than were
// there when this was written means that some were lost.
func TestVectors(t *testing.T) {
	const fewest = 623
	data, err := os.ReadFile("testdata/vectors.tsv")
	if err != nil {
		t.Fatal(err)
	}
	ran, asked, met := 0, map[string]int{}, map[string]bool{}
	for line := range strings.Lines(string(data)) {
		f := strings.Split(strings.TrimSuffix(line, "\n"), "\t")
		if strings.HasPrefix(line, "#") {
			continue
		}
		if len(f) != 4 || f[3] == "" {
			t.Errorf("%q has no source", line)
			continue
		}
		check, ok := vectors[f[0]]
		if !ok {
			t.Errorf("%q: no such check", line)
			continue
		}
		ran++
		if name, _, _ := strings.Cut(f[1], " "); f[0] == "piece" {
			asked[name]++
		}
		if first := leading(f[1]); first != nil {
			met[f[0]+fmt.Sprint(first.pieces)] = true
		}
		if got := check(f[1]); got != f[2] {
			t.Errorf("%s %s = %q, want %q (%s)", f[0], f[1], got, f[2], f[3])
		}
	}
	for name := range checks {
		if asked[name] < 2 {
			t.Errorf("check %s has %d vectors, want 2 or more", name, asked[name])
		}
	}
	for ai, f := range formats {
		pieces := fmt.Sprint(f.pieces)
		if !met["refused"+pieces] || !met["takes"+pieces] && !met["elements"+pieces] {
			t.Errorf("no vector with a good and a bad value of a format like that of AI %s: %s", ai, pieces)
		}
	}
	if ran < fewest {
		t.Errorf("%d vectors, want %d", ran, fewest)
	}
}

// leading gives the format of the AI that an element string begins with.
func leading(in string) *format {
	f, _ := lookup(strings.TrimPrefix(in, "^"))
	return f
}

// vectors give for the input of a vector what should stand beside it.
var vectors = map[string]func(in string) string{
	"check": func(in string) string {
		digit, _ := CheckDigit(in)
		for other := byte('0'); other <= '9'; other++ {
			if n := len(in) + 1; Valid(in+string(other)) != (other == digit && (n == 8 || n > 11)) {
				return "Valid differs for " + string(other)
			}
		}
		return string(digit)
	},
	"upce": func(in string) string {
		upca, _ := ExpandUPCE(in)
		return upca
	},
	"date": func(in string) string {
		day, year, _ := strings.Cut(in, " ")
		now, _ := strconv.Atoi(year)
		got, _ := Date(day, time.Date(now, 7, 1, 0, 0, 0, 0, time.UTC))
		return got
	},
	"elements": func(in string) string {
		es, err := Parse(strings.ReplaceAll(in, "^", string(GS)))
		if err != nil {
			return err.Error()
		}
		return es.String()
	},
	"takes": func(in string) string {
		if _, err := Parse(strings.ReplaceAll(in, "^", string(GS))); err != nil {
			return err.Error()
		}
		return ""
	},
	"refused": func(in string) string {
		if es, err := Parse(strings.ReplaceAll(in, "^", string(GS))); err == nil {
			return es.String()
		}
		return ""
	},
	"piece": func(in string) string {
		name, text, _ := strings.Cut(in, " ")
		check := checks[name]
		if name == "padding" {
			check = padded
		}
		return strings.TrimPrefix(check(text), "gs1.why.")
	},
	"warns": func(in string) string {
		id, text, _ := strings.Cut(in, " ")
		es, err := ParseBracketed(text)
		if err != nil {
			return err.Error()
		}
		for _, w := range es.Warnings() {
			if w.ID == "gs1.warn."+id {
				return "yes"
			}
		}
		return ""
	},
	"bracketed": func(in string) string {
		es, err := ParseBracketed(in)
		if err != nil {
			return ""
		}
		var b strings.Builder
		for _, e := range es {
			b.WriteString(e.AI + e.Value)
			if _, fixed := predefined[e.AI[:2]]; !fixed {
				b.WriteString("^")
			}
		}
		return "^" + strings.TrimSuffix(b.String(), "^")
	},
	"typed": func(in string) string {
		es, err := ParseTyped(in)
		if err != nil {
			return err.Error()
		}
		return es.String()
	},
	"link": func(in string) string {
		es, _ := ParseLink(in)
		return es.String()
	},
	"decimal": func(in string) string {
		ai, value, _ := strings.Cut(in, " ")
		d, currency, ok := Element{ai, value}.Decimal()
		if !ok {
			return ""
		}
		return strings.TrimSpace(d.String() + " " + currency)
	},
}
