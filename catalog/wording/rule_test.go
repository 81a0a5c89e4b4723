package wording

import (
	"strings"
	"testing"

	"forkstock/catalog"
)

func TestApply(t *testing.T) {
	seal, wiper := catalog.OilSeal, catalog.Wiper
	for _, c := range []struct {
		text   string
		rules  []Rule
		role   catalog.Role
		pieces int64
		words  string // that the role comes from, else the pieces
	}{
		{"VK FS 41X54 PR", []Rule{{Words: "fs pr", Role: seal, Pieces: 2}}, seal, 2, "FS 41X54 PR"},
		{"PR 41X54 FS", []Rule{{Words: "FS PR", Role: seal}}, seal, 0, "PR 41X54 FS"},
		{"FSX PR", []Rule{{Words: "FS PR", Role: seal}}, "", 0, ""},
		{"Größe GD", []Rule{{Words: "GROESSE", Role: seal}}, seal, 0, "Größe"},
		{"DS FS", []Rule{{Words: "FS", Role: seal}, {Words: "DS FS", Role: wiper}}, wiper, 0, "DS FS"},
		{"DS FS", []Rule{{Words: "DS FS", Role: wiper}, {Words: "FS", Role: seal}}, wiper, 0, "DS FS"},
		{"DS FS", []Rule{{Words: "DS FS", Role: wiper}, {Words: "FS", Role: seal, Own: true}}, seal, 0, "FS"},
		{"DS FS", []Rule{{Words: "DS", Role: wiper}, {Words: "FS", Role: seal}}, "", 0, ""},
		{"DS FS", []Rule{{Words: "DS", Role: seal}, {Words: "FS", Role: seal}}, seal, 0, "DS"},
		{"DS FS", []Rule{{Words: "DS", Role: wiper}, {Words: "FS", Role: seal}, {Words: "DS", Role: wiper}}, "", 0, ""},
		{"FS", []Rule{{Words: "FS", Pieces: 2}, {Words: "FS", Role: seal}}, seal, 2, "FS"},
		{"FS", []Rule{{Words: " - ", Role: seal}}, "", 0, ""},
		{"FS", nil, "", 0, ""},
	} {
		got := Apply(NewRules(c.rules), c.text)
		words := got.Role.Words
		if words == "" {
			words = got.Pieces.Words
		}
		if got.Role.Value != c.role || got.Pieces.Value != c.pieces || words != c.words {
			t.Errorf("%q with %+v: got %q, %d from %q, want %q, %d from %q", c.text, c.rules, got.Role.Value, got.Pieces.Value, words,
				c.role, c.pieces, c.words)
		}
		if got.Role.Made() && got.Role.Trust != Confirmed {
			t.Errorf("%q: trust %d", c.text, got.Role.Trust)
		}
		spans(t, c.text, got)
	}
}

func TestOver(t *testing.T) {
	const text = "Radlager GD 41x54x11 pair"
	read := Read(text, Known{})
	if !read.Foreign.Made() || read.Role.Made() {
		t.Fatalf("%+v: want it foreign", read)
	}
	got := Apply(NewRules([]Rule{{Words: "GD", Role: catalog.OilSeal}}), text).Over(read)
	if got.Foreign.Made() || got.Role.Value != catalog.OilSeal || got.Role.Trust != Confirmed {
		t.Errorf("a rule over what is foreign: %+v", got)
	}
	if got := Apply(Rules{}, text).Over(read); !got.Foreign.Made() {
		t.Errorf("no rule: %+v", got)
	}
	pair := Read("fork seal 41x54x11", Known{})
	got = Apply(NewRules([]Rule{{Words: "SEAL", Pieces: 2}}), "fork seal 41x54x11").Over(pair)
	if got.Role != pair.Role || got.Size != pair.Size || got.Pieces.Value != 2 {
		t.Errorf("a rule about pieces: %+v", got)
	}
}

func FuzzApply(f *testing.F) {
	f.Add("FS PR", "VK FS 41X54 PR")
	f.Add("ß\u0308 Ø", "SS\u0308 x")
	f.Fuzz(func(t *testing.T, words, text string) {
		rules := NewRules([]Rule{{Words: words, Role: catalog.OilSeal}})
		spans(t, text, Apply(rules, text))
		if got := Apply(rules, words); got.Role.Made() != (len(rulesWords(words)) > 0) {
			t.Errorf("%q does not say what its own rule says: %+v", words, got)
		}
		if got := Apply(rules, words+" "+strings.ToUpper(text)); got.Role.Made() != (len(rulesWords(words)) > 0) {
			t.Errorf("%q before %q: %+v", words, text, got)
		}
	})
}
