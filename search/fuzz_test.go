package search

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Whatever is typed is understood the same way each time, and what is left as
// words stood in the text.
func FuzzUnderstand(f *testing.F) {
	for _, j := range readJudged(f) {
		f.Add(j.query)
	}
	f.Add("00/00/0 12/11/25")
	f.Add("M8x1,25x30 M10 P1.25 Ø 39 ,,/ '99 ß ǅ \xff")
	v := vocabulary()
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > mostText {
			return
		}
		q := Understand(text, v)
		if diff := cmp.Diff(q, Understand(text, v)); diff != "" {
			t.Errorf("%q is not always the same:\n%s", text, diff)
		}
		for _, w := range q.Words {
			if !strings.Contains(text, w) && strings.ToValidUTF8(text, "") == text {
				t.Errorf("%q does not hold the word %q", text, w)
			}
		}
		for _, l := range append(q.Lengths, q.Long) {
			if l < 0 {
				t.Errorf("%q: length %d", text, l)
			}
		}
		for _, s := range q.Sizes {
			if err := s.Check(); err != nil {
				t.Errorf("%q: size %v: %v", text, s, err)
			}
		}
	})
}
