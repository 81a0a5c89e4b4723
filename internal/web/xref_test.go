package web

import (
	"net/http"
	"strings"
	"testing"

	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// The page of an old version says so on top and leads to the current number;
// the fork's sheet keeps it apart from what fits, unless it is marked for it.
func TestOldVersionOnPages(t *testing.T) {
	for _, language := range []string{"en", "de"} {
		open := testShop(t, language)
		pages := Handler(open)
		since, reason := "2019", "new lip <b>"
		told := func(_ shop.Xref, err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		told(open.AddReplacement(t.Context(), "Nelvo/NS 40", "Nelvo/NS 41", shop.ReplacementFacts{}))
		told(open.AddReplacement(t.Context(), "Nelvo/NS 41", "Nelvo/NS 42", shop.ReplacementFacts{Since: &since, Reason: &reason}))
		told(open.AddNumber(t.Context(), "Nelvo/NS 41", "Varn/V-41", "Varn list"))
		look := func(target string, checks ...[2]string) {
			t.Helper()
			s := step{method: http.MethodGet, target: target, checks: checks}
			s.check(t, s.ask(t, pages), language == "en")
		}
		has, lacks := "has", "lacks"
		look("/part?name=Nelvo/NS+41", [2]string{"code", "200"},
			[2]string{has, "old version, do not fit: replaced by Nelvo/NS 42 since 2019 (new lip &lt;b&gt;)"},
			[2]string{has, `<p>NS 42 Nelvo <span`}, [2]string{lacks, `href="/part?name=Nelvo/NS%2042"`}, [2]string{has, "not kept here"}, [2]string{has, "Varn list"},
			[2]string{has, "NS 40"})
		look("/part?name=Varn/V-41", [2]string{"code", "200"}, [2]string{has, "Varn/V-41 is another number of Nelvo/NS 41"})
		look("/part?name=Nelvo/NS+419", [2]string{lacks, "old version"})
		look("/fork?name=Tarn+41", [2]string{has, "Old versions, do not fit: 1"})
		told(open.AddUsable(t.Context(), "Nelvo/NS 41", "Tarn 41", "bench"))
		look("/fork?name=Tarn+41", [2]string{lacks, "Old versions, do not fit"}, [2]string{has, "may still be fitted to this fork: bench"})
		look("/fork?name=Tarn+41+B", [2]string{has, "Old versions, do not fit: 1"})
		notOld(t, open)
		unfit := map[string]string{"en": "Does not fit: 1", "de": "Passt nicht: 1"}[language]
		if page := (step{method: http.MethodGet, target: "/fork?name=Tarn+41"}).ask(t, pages).Body.String(); !strings.Contains(page, unfit) ||
			strings.Contains(page, words.For(language).Say("web.old_versions")) {
			t.Errorf("%s: what does not fit and is not old is not under its own heading", language)
		}
		look("/part?name=Nelvo/NS+41", [2]string{has, "Old stock may still be fitted to:"}, [2]string{has, `/fork?name=Tarn%2041"`})
	}
}

// notOld names a part for a place of Tarn 41 that turns out to be another kind
// of part.
func notOld(t *testing.T, s *shop.Shop) {
	t.Helper()
	was, is := "protector", "gaiter"
	if _, err := s.AddPart(t.Context(), "Nelvo/PX 1", shop.PartFacts{Role: &was}); err != nil {
		t.Fatal(err)
	}
	q := shop.PlaceRequest{Fork: "Tarn 41", Role: was, Another: true, PlaceFacts: shop.PlaceFacts{Parts: []string{"Nelvo/PX 1"}}}
	if _, err := s.AddPlace(t.Context(), q); err != nil {
		t.Fatal(err)
	}
	if _, err := s.ChangePart(t.Context(), "Nelvo/PX 1", shop.PartFacts{Role: &is}); err != nil {
		t.Fatal(err)
	}
}
