package words

import (
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

func TestText(t *testing.T) {
	table["test.n"] = [2]string{"{0} {0|piece|pieces} in {1}", "{0} Stück in {1}"}
	table["test.bin"] = [2]string{"bin {0}", "Lagerfach {0}"}
	defer delete(table, "test.n")
	defer delete(table, "test.bin")
	for _, tt := range []struct {
		lang string
		m    Message
		want string
	}{
		{"en", fault.Say("test.n", 1, fault.Say("test.bin", "A-1")), "1 piece in bin A-1"},
		{"en", fault.Say("test.n", int64(2), "x"), "2 pieces in x"},
		{"de", fault.Say("test.n", 2, fault.Say("test.bin", "A-1")), "2 Stück in Lagerfach A-1"},
		{"de", fault.Plain("39"), "39"},
		{"de", fault.Say("test.bin", Money{-1250, "EUR"}), "Lagerfach -12,50 EUR"},
		{"en", fault.Say("test.bin", Money{5, "EUR"}), "bin 0.05 EUR"},
		{"en", fault.Message{}, ""},
		{"en", fault.Say("no.such", 1), "no.such 1"},
	} {
		if got := For(tt.lang).Text(tt.m); got != tt.want {
			t.Errorf("%s %v = %q, want %q", tt.lang, tt.m, got, tt.want)
		}
	}
}

func TestFill(t *testing.T) {
	type inner struct{ Why Message }
	v := struct {
		Why  Message
		List []inner
		Ptr  *inner
	}{fault.Say("role.wiper"), []inner{{fault.Say("role.clip")}}, &inner{fault.Plain("x")}}
	For("de").Fill(&v)
	got, _ := json.Marshal(v)
	want := `{"Why":"Staubkappe","List":[{"Why":"Sprengring"}],"Ptr":{"Why":"x"}}`
	if string(got) != want {
		t.Errorf("Fill = %s, want %s", got, want)
	}
}

// Every text stands in both languages and names the same arguments.
func TestTableIsWhole(t *testing.T) {
	place := regexp.MustCompile(`\{(\d)`)
	numbers := func(s string) string {
		seen := map[string]bool{}
		for _, m := range place.FindAllStringSubmatch(s, -1) {
			seen[m[1]] = true
		}
		var b strings.Builder
		for _, d := range "0123456789" {
			if seen[string(d)] {
				b.WriteRune(d)
			}
		}
		return b.String()
	}
	for id, text := range table {
		if text[0] == "" || text[1] == "" {
			t.Errorf("%s: a language is missing", id)
		}
		if numbers(text[0]) != numbers(text[1]) {
			t.Errorf("%s: English and German name other arguments", id)
		}
		if strings.Count(text[0], "{") != strings.Count(text[0], "}") {
			t.Errorf("%s: braces do not pair", id)
		}
	}
}

// Every message id that stands in the source has a text. Ids that are put
// together ("role." + role) are those of roles.go and their like.
func TestSourceIDsHaveText(t *testing.T) {
	id := regexp.MustCompile(`(?:fault\.New\(fault\.\w+|fault\.Say\(|\.Say\(|\.say\(|\.WithHint\(|\.step\(|\.add\(\w+)[,(]?\s*"([a-z0-9]+(?:\.[a-z0-9_]*[a-z0-9])+)"`)
	seen := 0
	for _, room := range []string{"../..", "../../catalog", "../../inventory", "../../inventory/reorder", "../../search", "../../scanner"} {
		files, err := filepath.Glob(filepath.Join(room, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		seen += idsIn(t, id, files)
	}
	for _, depth := range []string{"../*/*.go", "../*/*/*.go"} {
		files, err := filepath.Glob(depth)
		if err != nil {
			t.Fatal(err)
		}
		seen += idsIn(t, id, files)
	}
	if seen < 200 {
		t.Errorf("only %d ids found in the source: has the way to write them changed?", seen)
	}
}

func idsIn(t *testing.T, id *regexp.Regexp, files []string) (seen int) {
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range id.FindAllSubmatch(b, -1) {
			seen++
			if _, ok := table[string(m[1])]; !ok {
				t.Errorf("%s: no text for %s", name, m[1])
			}
		}
	}
	return seen
}
