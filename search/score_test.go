package search_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A judgement is a row of testdata/relevance/queries.tsv, which says what it
// holds.
type judgement struct {
	class, query string
	kept         bool
	judged       bool       // whether parts are
	parts        [][]string // the numbers that must come first, and those behind them; none where no part may be found
	forks        []string
}

// shown is how many hits are asked for, top how many of them count for recall.
const (
	shown = 20
	top   = 10
)

// A score is that of one query or the mean of many.
type score struct {
	queries int
	// MRR: for each part that must come first, 1/(1 + how many other hits
	// stand before it); the mean of them, so that one part alone gives the
	// reciprocal rank as it is usually defined. Of parts and forks the less.
	mrr float64
	// Recall: the share of what was judged, of ten at most, among the first ten.
	recall float64
}

// of gives the score of the hits of a query.
func (j judgement) of(parts, forks []string) score {
	s := score{1, 1, 1}
	if j.judged {
		s = against(j.parts, parts)
	}
	if len(j.forks) > 0 {
		f := against([][]string{j.forks}, forks)
		s.mrr, s.recall = min(s.mrr, f.mrr), min(s.recall, f.recall)
	}
	return s
}

// against gives the score of hits where the groups of want must come one after
// the other, each in any order; of none where there are no groups.
func against(want [][]string, got []string) score {
	if len(want) == 0 {
		if len(got) > 0 {
			return score{queries: 1}
		}
		return score{1, 1, 1}
	}
	first, rest := 0, 0.0 // of the first group: how many are found, sum of their shares
	wrong := 0
	for _, hit := range got[:min(len(got), shown)] {
		if slices.Contains(want[0], hit) {
			first++
			rest += 1 / float64(1+wrong)
		} else {
			wrong++
		}
	}
	all := slices.Concat(want...)
	found := 0
	for _, hit := range got[:min(len(got), top)] {
		if slices.Contains(all, hit) {
			found++
		}
	}
	return score{1, rest / float64(min(len(want[0]), shown)), float64(found) / float64(min(len(all), top))}
}

// mean gives the mean of scores.
func mean(all []score) (m score) {
	for _, s := range all {
		m.queries += s.queries
		m.mrr += s.mrr
		m.recall += s.recall
	}
	n := float64(max(len(all), 1))
	m.mrr, m.recall = m.mrr/n, m.recall/n
	return m
}

// A board holds the scores of queries by class, those kept aside apart.
type board map[string]*[2][]score

func (b board) add(j judgement, s score) {
	for _, class := range []string{j.class, overall} {
		if b[class] == nil {
			b[class] = &[2][]score{}
		}
		at := 0
		if j.kept {
			at = 1
		}
		b[class][at] = append(b[class][at], s)
	}
}

// overall is the class of all queries; it sorts behind the others.
const overall = "~ all"

// classes lists the classes of a board, all of them together last.
func (b board) classes() []string {
	return slices.SortedFunc(func(yield func(string) bool) {
		for class := range b {
			if !yield(class) {
				return
			}
		}
	}, cmp.Compare[string])
}

// String is a table as BENCHMARKS.md has it.
func (b board) String() string {
	var text strings.Builder
	fmt.Fprintf(&text, "\n%-12s %22s %22s %14s\n%-12s %6s %7s %7s %6s %7s %7s %7s %7s\n",
		"", "tuned on", "kept aside", "both", "class", "n", "MRR", "rec@10", "n", "MRR", "rec@10", "MRR", "rec@10")
	for _, class := range b.classes() {
		tuned, kept, both := mean(b[class][0]), mean(b[class][1]), b.both(class)
		fmt.Fprintf(&text, "%-12s %6d %7.3f %7.3f %6d %7.3f %7.3f %7.3f %7.3f\n", strings.TrimPrefix(class, "~ "),
			tuned.queries, tuned.mrr, tuned.recall, kept.queries, kept.mrr, kept.recall, both.mrr, both.recall)
	}
	return text.String()
}

// both gives the score of a class, whether kept aside or not.
func (b board) both(class string) score { return mean(slices.Concat(b[class][0], b[class][1])) }

func TestScore(t *testing.T) {
	one, two := judgement{judged: true, parts: [][]string{{"a"}}}, judgement{judged: true, parts: [][]string{{"a", "b"}, {"c"}}}
	none, fork := judgement{judged: true}, judgement{forks: []string{"F"}}
	list := strings.Fields
	for _, tt := range []struct {
		name         string
		j            judgement
		parts, forks string
		mrr, recall  float64
	}{
		{"first", one, "a x", "", 1, 1},
		{"third", one, "x y a", "", 1. / 3, 1},
		{"not there", one, "x y", "", 0, 0},
		{"eleventh", one, "1 2 3 4 5 6 7 8 9 10 a", "", 1. / 11, 0},
		{"both, in any order", two, "b a c", "", 1, 1},
		{"one late", two, "b c a", "", (1 + 1./2) / 2, 1},
		{"one missing", two, "a x", "", 1. / 2, 1. / 3},
		{"none wanted, none there", none, "", "", 1, 1},
		{"none wanted, one there", none, "x", "", 0, 0},
		{"only the fork is judged", fork, "x y", "F G", 1, 1},
		{"the fork second", fork, "", "G F", 1. / 2, 1},
		{"the less of parts and forks", judgement{judged: true, parts: one.parts, forks: fork.forks}, "a", "", 0, 0},
	} {
		want := score{1, tt.mrr, tt.recall}
		if got := tt.j.of(list(tt.parts), list(tt.forks)); got != want {
			t.Errorf("%s: got %v, want %v", tt.name, got, want)
		}
	}
}
