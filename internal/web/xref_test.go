package web

import (
	"net/http"
	"testing"

	"forkstock/internal/shop"
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
			[2]string{has, `<a href="/part?name=Nelvo/NS%2042">NS 42 Nelvo</a>`}, [2]string{has, "not kept here"}, [2]string{has, "Varn list"},
			[2]string{has, "NS 40"})
		look("/part?name=Varn/V-41", [2]string{"code", "200"}, [2]string{has, "Varn/V-41 is another number of Nelvo/NS 41"})
		look("/part?name=Nelvo/NS+419", [2]string{lacks, "old version"})
		look("/fork?name=Tarn+41", [2]string{has, "Old versions, do not fit: 1"})
		told(open.AddUsable(t.Context(), "Nelvo/NS 41", "Tarn 41", "bench"))
		look("/fork?name=Tarn+41", [2]string{lacks, "Old versions, do not fit"}, [2]string{has, "may still be fitted to this fork: bench"})
		look("/fork?name=Tarn+41+B", [2]string{has, "Old versions, do not fit: 1"})
		look("/part?name=Nelvo/NS+41", [2]string{has, "Old stock may still be fitted to:"}, [2]string{has, `/fork?name=Tarn%2041"`})
	}
}
