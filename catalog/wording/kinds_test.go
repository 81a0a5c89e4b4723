package wording

import (
	"testing"

	"forkstock/catalog"
)

// TestKinds reads items by the words for their kind, with the one or two
// measures that they are sold by. Common practice, no source.
func TestKinds(t *testing.T) {
	for text, want := range map[string]struct {
		role catalog.Role
		sure bool
		size string
	}{
		"Faltenbalg":                    {"gaiter", false, ""},
		"Gabel-Faltenbalg":              {"gaiter", true, ""},
		"Cap O-ring 34x3":               {catalog.CapORing, true, "34x40x3"},
		"O-Ring 34x3":                   {"", false, "34x40x3"},
		"O-Ring Gabel 34x3":             {"", false, "34x40x3"},
		"Sprengring Ø54":                {catalog.Clip, false, "?x54"},
		"Sprengring Ø 54":               {catalog.Clip, false, "?x54"},
		"Sicherungsring Welle Ø54":      {catalog.Clip, false, ""},
		"Gabelfeder 35x430 progressiv":  {spring, true, "?x35x430"},
		"Simmerring 35x430":             {"", false, ""},
		"Staubkappe Gabel Ø54 schwarz":  {catalog.Wiper, true, ""},
		"Ventilfeder 35x430 progressiv": {"", false, ""},
	} {
		r := Read(text, Known{})
		if r.Role.Value != want.role || r.Role.Sure() != want.sure {
			t.Errorf("%s: role %q, sure %v", text, r.Role.Value, r.Role.Sure())
		}
		size := ""
		if r.Size.Made() {
			size = r.Size.Value.String()
		}
		if size != want.size {
			t.Errorf("%s: size %q, wanted %q", text, size, want.size)
		}
	}
}
