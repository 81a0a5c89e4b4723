package search

import (
	"bufio"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// The indexes give the same answers, and without one so does SQLite alone but
// for what needs an index.
func TestJudged(t *testing.T) {
	db, ids := shop(t)
	disk := Open(filepath.Join(t.TempDir(), "index"), "catalog")
	defer disk.Close()
	memory := Memory()
	defer memory.Close()
	for name, ix := range map[string]*Index{"disk": disk, "memory": memory, "none": nil} {
		catchUp(t, db, ix, ix != nil)
		for _, j := range readJudged(t) {
			if ix == nil && j.indexOnly {
				continue
			}
			t.Run(name+"/"+j.query, func(t *testing.T) {
				j.check(t, find(t, db, ix, j.query, Options{OnHand: onHand(ids["OS-3952"])}))
			})
		}
	}
}

func catchUp(t testing.TB, db *store.DB, ix *Index, want bool) {
	t.Helper()
	read(t, db, func(ctx context.Context, tx *store.Tx) error {
		done, err := ix.CatchUp(ctx, tx, time.Minute)
		if err == nil && done != want {
			t.Errorf("CatchUp = %v, want %v", done, want)
		}
		return err
	})
}

func read(t testing.TB, db *store.DB, f func(context.Context, *store.Tx) error) {
	t.Helper()
	if err := db.Read(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

func find(t testing.TB, db *store.DB, ix *Index, text string, opt Options) (hits Hits) {
	t.Helper()
	read(t, db, func(ctx context.Context, tx *store.Tx) (err error) {
		hits, err = ix.Find(ctx, tx, text, opt)
		return err
	})
	return hits
}

// judged is a row of testdata/search/judged.tsv, which says what it holds.
type judged struct {
	query             string
	first, among, not []string
	exactly           bool
	indexOnly         bool
}

func readJudged(t testing.TB) []judged {
	t.Helper()
	file, err := os.Open("testdata/search/judged.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var all []judged
	for lines := bufio.NewScanner(file); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		field := strings.Split(lines.Text(), "\t")
		if len(field) != 4 {
			t.Fatalf("not four columns: %q", lines.Text())
		}
		list := func(s string) []string {
			return strings.FieldsFunc(s, func(r rune) bool { return r == ',' })
		}
		var j judged
		j.query, j.indexOnly = strings.CutSuffix(field[0], "*")
		field[1], j.exactly = strings.CutPrefix(field[1], "=")
		j.first, j.among, j.not = list(field[1]), list(field[2]), list(field[3])
		all = append(all, j)
	}
	return all
}

func (j judged) check(t *testing.T, h Hits) {
	var got []string
	for _, p := range h.Parts {
		got = append(got, p.Part.Number)
	}
	if n := len(j.first); len(got) < n || !slices.Equal(got[:n], j.first) || j.exactly && (len(got) > n || h.Total != n) {
		t.Errorf("parts %q of %d, want first %q (nothing else: %v)", got, h.Total, j.first, j.exactly)
	}
	for _, f := range h.Forks {
		got = append(got, "fork:"+f.Fork.Name)
	}
	for _, i := range h.Items {
		got = append(got, "item:"+i.Item.Number)
	}
	suggest := words.For("en").Text(h.Suggest)
	for _, want := range j.among {
		text, suggested := strings.CutPrefix(want, "suggest:")
		if suggested && !strings.Contains(suggest, text) || !suggested && want != "item:" && !slices.Contains(got, want) {
			t.Errorf("%s is missing from %q, suggested %q", want, got, suggest)
		}
	}
	for _, bad := range j.not {
		if slices.Contains(got, bad) {
			t.Errorf("%s is among %q", bad, got)
		}
	}
	for _, language := range words.Languages {
		for _, p := range h.Parts {
			if why := words.For(language).Text(p.Why); why == "" || strings.Contains(why, "search.") || strings.Contains(why, "{") {
				t.Errorf("%s: why is %q", p.Part.Number, why)
			}
		}
	}
}

// all gives how a text was read with all that is said about it.
func all(h Hits) fault.Message {
	return list(slices.Concat(slices.DeleteFunc([]fault.Message{h.Understood}, fault.Message.IsZero), h.Warnings, h.Notes))
}

func TestWhy(t *testing.T) {
	db, ids := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	for _, tt := range []struct{ language, query, understood, why string }{
		{"en", "39 mm seal", "diameter 39 mm, oil seal", "for 39 mm legs"},
		{"de", "39 mm seal", "Durchmesser 39 mm, Gabeldichtring", "für 39-mm-Standrohre"},
		{"de", "41,3 seal", "Durchmesser 41,3 mm, Gabeldichtring", "für 41,3-mm-Standrohre"},
		{"en", "39x52x11", "size 39×52×11", "size 39×52×11"},
		{
			"en", "39x52x10.2", "size 39×52×10.2",
			"39×52×9.5: NOT the same, measure (0.7 mm loose under the clip)",
		},
		{
			"en", "wiper Talvi 600 2001", "dust seal (wiper), Talvi 600, 2001",
			"fits Kuru 39 DR, Talvi 600 1999-2004: same size",
		},
		{
			"en", "wipr tlavi600", "dust seal (wiper), Talvi 600, \"wipr\" read as wiper, \"tlavi600\" read as Talvi 600",
			"fits Kuru 39 DR, Talvi 600 1999-2004: same size",
		},
		{"en", "clip 39", "diameter 39 mm, circlip (stopper ring)", "fits Kuru 39 DR: same size"},
		{"en", "52x39x11", "size 39×52×11, \"52x39x11\" read as 39×52×11", "size 39×52×11"},
		{"de", "39 52 11", "Maße 39×52×11", "Maße 39×52×11"},
		{"de", "seal 1 5/8 in", "Durchmesser 41,3 mm, Gabeldichtring, \"1 5/8 in\" gelesen als 41,3 mm", "für 41,3-mm-Standrohre"},
		{"en", "41353", "words: 41353", "number contains 41353"},
		{"en", "41.3 mm spring", "diameter 41.3 mm, spring", "its description says T41.3"},
		{"en", "wiper Talvi 600 2001-02", "dust seal (wiper), Talvi 600, 2001-2002", "fits Kuru 39 DR, Talvi 600 1999-2004: same size"},
		{"de", "usd Staubkappe", "Staubkappe, Upside-down", "passt in UD-43: gleiche Größe"},
		{"en", "Kuru GT left bottom bolt", "bottom bolt (from below, holds the damper), Kuru GT, left leg", "fits T36, Kuru GT 1980-1984: same size"},
		{"en", "9520000000011", "number or code 9520000000011", "code 09520000000011"},
		{"en", "77-1001", "number or code 77-1001", "Harrow & Lund sells it as 77-1001"},
		{"en", "os-39", "words: os-39", "number begins with OS39"},
		{"en", "blorpish 43 seal", "diameter 43 mm, oil seal, words: blorpish, nothing is known about \"blorpish\"", "for 43 mm legs"},
		{
			"en", "Fangband 43", "diameter 43 mm, words: Fangband, nothing is known about \"Fangband\", so all kinds of parts are shown",
			"for 43 mm legs",
		},
		{"en", "39 mm seal kit", "diameter 39 mm, kit", "in the kit: for 39 mm legs"},
	} {
		h := find(t, db, ix, tt.query, Options{OnHand: onHand(ids["OS-3952"])})
		p := words.For(tt.language)
		if got := p.Text(all(h)); got != tt.understood {
			t.Errorf("%s: understood %q, want %q", tt.query, got, tt.understood)
		}
		if len(h.Parts) == 0 {
			t.Errorf("%s: nothing found", tt.query)
		} else if got := p.Text(h.Parts[0].Why); got != tt.why {
			t.Errorf("%s: why %q, want %q", tt.query, got, tt.why)
		}
	}
	// A bike that is not known of that year: what is known of it, and of its kin.
	for query, want := range map[string]string{
		"Talvi 600 1950":      "Talvi 600, 1950, no fork is known for Talvi 600 of 1950, known years: 1999-2004, 2003-2010",
		"Sorvo 500 1998":      "Kuru Sorvo 500, 1998, no fork is known for Kuru Sorvo 500 of 1998, known years: 1988-1996, of that time: Kuru Sorvo 500 R 1997-2001",
		"Sorvo 500 1998-2005": "Kuru Sorvo 500, 1998-2005, no fork is known for Kuru Sorvo 500 of 1998, known years: 1988-1996, of that time: Kuru Sorvo 500 R 1997-2001",
		"Sorvo 500 R 1990":    "Kuru Sorvo 500 R, 1990, no fork is known for Kuru Sorvo 500 R of 1990, known years: 1997-2001, of that time: Kuru Sorvo 500 1988-1996",
		"Sorvo 500 2005":      "Kuru Sorvo 500, 2005, no fork is known for Kuru Sorvo 500 of 2005, known years: 1988-1996",
	} {
		h := find(t, db, ix, query, Options{})
		if got := words.For("en").Text(all(h)); got != want || len(h.Parts) > 0 {
			t.Errorf("%s: understood %q, want %q; %d parts, want none", query, got, want, len(h.Parts))
		}
	}
}

func TestFindRefuses(t *testing.T) {
	db, _ := shop(t)
	for _, text := range []string{"", " ", "-/-", strings.Repeat("seal ", 200)} {
		err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			_, err := (*Index)(nil).Find(ctx, tx, text, Options{})
			return err
		})
		if fault.KindOf(err) != fault.Invalid {
			t.Errorf("%.10q: %v, want invalid", text, err)
		}
	}
}

func TestLimit(t *testing.T) {
	db, _ := shop(t)
	if h := find(t, db, nil, "seal", Options{Limit: 2}); len(h.Parts) != 2 || h.Total != 7 {
		t.Errorf("%d of %d parts, want 2 of 7", len(h.Parts), h.Total)
	}
}

// A fork is shown with the bikes that were asked for, else with all.
func TestModels(t *testing.T) {
	db, _ := shop(t)
	for query, want := range map[string][]string{
		"Kuru 39 DR":       {"Kuru Sorvo 500 1988-1996", "Talvi 600 1999-2004"},
		"Talvi 39 mm":      {"Talvi 600 1999-2004"},
		"Talvi 41":         {"Talvi 600 2003-2010", "Talvi Lumi 900 2000-"},
		"Talvi 600 2004":   {"Talvi 600 1999-2004", "Talvi 600 2003-2010"},
		"Talvi 2001 wiper": {"Talvi 600 1999-2004", "Talvi Lumi 900 2000-"},
	} {
		var got []string
		for _, f := range find(t, db, nil, query, Options{}).Forks {
			for _, m := range f.Models {
				got = append(got, m.Make+" "+m.Model+" "+m.Years())
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: got %q, want %q", query, got, want)
		}
	}
}

// Of a hundred words the first are looked for, and that is said.
func TestManyWords(t *testing.T) {
	db, _ := shop(t)
	ix := Memory()
	defer ix.Close()
	catchUp(t, db, ix, true)
	var text []string
	for i := range 60 {
		text = append(text, string(rune('a'+i%26))+string(rune('a'+i/26)))
	}
	if h := find(t, db, ix, strings.Join(text, " "), Options{}); !says(all(h), "search.many_words") {
		t.Errorf("60 words: %v", all(h))
	}
	if h := find(t, db, ix, strings.Repeat("blorpish ", 20), Options{}); says(all(h), "search.many_words") {
		t.Errorf("one word, again and again: %v", all(h))
	}
}
