package measure

import (
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestFindSizes(t *testing.T) {
	type found struct {
		Sizes []string
		Rest  string
	}
	one := func(size, rest string) found { return found{[]string{size}, rest} }
	for text, want := range map[string]found{
		"FORK SEAL 39X52X11 PAIR":         one("39x52x11", "FORK SEAL PAIR"),
		"39x52x11":                        one("39x52x11", ""),
		"seal 39 x 52 x 11 mm, pair":      one("39x52x11", "seal , pair"),
		"Dichtring 39,5×52,7×11/12,5":     one("39.5x52.7x11/12.5", "Dichtring"),
		"seal (43x55x9.5x10.5).":          one("43x55x9.5/10.5", "seal ( )."),
		"SIZE:Ø39x52x11mm":                one("39x52x11", "SIZE:"),
		"39-52-11 wiper":                  one("39x52x11", "wiper"),
		"washer 10x14":                    one("10x14", "washer"),
		"washer 10 x 14 x 1,5":            one("10x14x1.5", "washer"),
		"2x 39x52x11":                     one("39x52x11", "2x"),
		"2 x 39x52x11":                    one("39x52x11", "2 x"),
		"39x52x11 or 39x52x9.5":           {[]string{"39x52x11", "39x52x9.5"}, "or"},
		"seal\u00a039x52x11\u00a0\tdeep":  one("39x52x11", "seal deep"),
		"KB-39-52-11":                     {nil, "KB-39-52-11"},
		"KB39-52-11":                      {nil, "KB39-52-11"},
		"KB-39X52X11":                     {nil, "KB-39X52X11"},
		"39-52-11-KB":                     {nil, "39-52-11-KB"},
		"39-52-11A":                       {nil, "39-52-11A"},
		"39-52-11-9-7":                    {nil, "39-52-11-9-7"},
		"A-03-2":                          {nil, "A-03-2"},
		"2024-11-25":                      {nil, "2024-11-25"},
		"25-11-2024 11-25-2024":           {nil, "25-11-2024 11-25-2024"},
		"11-25-24 24-11-25 10-12-11":      {nil, "11-25-24 24-11-25 10-12-11"},
		"03-11-09 11-12-13":               {nil, "03-11-09 11-12-13"},
		"9520123456788 952 0123 456788":   {nil, "9520123456788 952 0123 456788"},
		"9520123456788x2":                 {nil, "9520123456788x2"},
		"089-123-45":                      {nil, "089-123-45"},
		"123-456-78":                      {nil, "123-456-78"},
		"39-52-40":                        {nil, "39-52-40"},
		"M10x1.25 M10 x 1.25":             {nil, "M10x1.25 M10 x 1.25"},
		"2x50 pieces, 4x100 ml, 1x2 pair": {nil, "2x50 pieces, 4x100 ml, 1x2 pair"},
		"O-ring 34x2.4":                   {nil, "O-ring 34x2.4"},
		"52x39x11":                        {nil, "52x39x11"},
		"39x52x11/10":                     {nil, "39x52x11/10"},
		"043x055x011":                     {nil, "043x055x011"},
		"10/14 38-39 mm 39 52 11":         {nil, "10/14 38-39 mm 39 52 11"},
		"":                                {nil, ""},
	} {
		var got found
		var sizes []Size
		sizes, got.Rest = FindSizes(text)
		for _, s := range sizes {
			got.Sizes = append(got.Sizes, s.String())
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("FindSizes(%q) (-want +got):\n%s", text, diff)
		}
	}
}

// No day of a hundred years is a size, however it is written with hyphens.
func TestFindSizesDates(t *testing.T) {
	for year := range 100 {
		for month := 1; month <= 12; month++ {
			for day := 1; day <= 31; day++ {
				y, m, d := strconv.Itoa(year), strconv.Itoa(month), strconv.Itoa(day)
				text := y + "-" + m + "-" + d + " " + d + "-" + m + "-" + y + " " + m + "-" + d + "-" + y
				if sizes, _ := FindSizes(text); sizes != nil {
					t.Fatalf("FindSizes(%q) = %v", text, sizes)
				}
			}
		}
	}
}

func TestFindLengths(t *testing.T) {
	for text, want := range map[string]struct {
		lengths []Length
		rest    string
	}{
		"fork 39 mm":               {[]Length{39000}, "fork"},
		"39mm seal":                {[]Length{39000}, "seal"},
		"Ø39 wiper":                {[]Length{39000}, "wiper"},
		"Ø 41,3 mm":                {[]Length{41300}, ""},
		"57,9 mm, driver":          {[]Length{57900}, ", driver"},
		"tube (43mm) 34.9 mm":      {[]Length{43000, 34900}, "tube ( )"},
		"39":                       {nil, "39"},
		"39 in stock":              {nil, "39 in stock"},
		"1057,9 mm":                {nil, "1057,9 mm"},
		"38-39 mm":                 {nil, "38-39 mm"},
		"KB-39mm 39mmx 39x52x11mm": {nil, "KB-39mm 39mmx 39x52x11mm"},
		"-39 mm 039 mm 0 mm":       {nil, "-39 mm 039 mm 0 mm"},
		"Ø39x52":                   {nil, "Ø39x52"},
		"2039 mm":                  {nil, "2039 mm"},
		"Größe 39 mm":              {[]Length{39000}, "Größe"},
	} {
		got, rest := FindLengths(text)
		if diff := cmp.Diff(want.lengths, got); diff != "" || rest != want.rest {
			t.Errorf("FindLengths(%q) = %v, %q, want %v, %q", text, got, rest, want.lengths, want.rest)
		}
	}
}

func BenchmarkFindSizes(b *testing.B) {
	for b.Loop() {
		if s, _ := FindSizes("FORK SEAL SET 39X52X11 PAIR FRONT"); len(s) != 1 {
			b.Fatal(s)
		}
	}
}
