// Package lineup finds which of many forks stands before somebody who measures
// it and looks at it: what each answer leaves, and what to ask next.
//
// A fork has, for each question, the values that it can have: one that is
// known, several where only so much is known, none where nothing is. What is
// not known of a fork never rules it out, and never counts for it either.
//
// Which question is best: every fork that is left is taken to be as likely as
// any other. Were it fork i, the answer would be its value, and n(i) forks
// would be left; the mean of n(i) is the number of forks to expect after the
// answer, and the least is best. Where the values part N forks into classes of
// n forks each, that mean is the sum of n*n over N. A value within the
// question's tolerance of the answer stays; a fork of which the value is not
// known stays with every answer, and were it the one, nothing at all is
// promised: n(i) is N.
//
// Lengths are measure.Length (micrometres). Means are exact: sixtieths, so that
// up to six values that are equally likely have whole shares.
//
// Non-goals: where values come from (package catalog), words on screens, how
// likely a fork is to come to this shop.
package lineup

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"forkstock/internal/measure"
)

// A Value is a length, a word, or both: the pitch beside the diameter of a
// thread. An empty word agrees with every word.
type Value struct {
	Length measure.Length
	Word   string
}

// agrees reports whether v, measured, can be w.
func (v Value) agrees(w Value, tolerance measure.Length) bool {
	return off(v.Length, w.Length) <= tolerance && (v.Word == w.Word || v.Word == "" || w.Word == "")
}

func off(a, b measure.Length) measure.Length { return max(a-b, b-a) }

// Question is one that is answered by a look or by a measurement.
type Question struct {
	Name      string
	Words     []string       // the answers to choose from; none: it is measured
	Tolerance measure.Length // how far a measured value may be off, either way
	Least     measure.Length // what no fork is below, and above: a slip of the decimal mark; 0: not known
	Most      measure.Length
	Effort    int    // of two that split alike the one of less effort is asked
	After     string // asked only when this one has its answer: a finer look at it
	Opens     bool   // takes a fork apart: asked only when no other tells anything
}

// Fork is one of those that it may be.
type Fork struct {
	ID, Name string
	Can      map[string][]Value // by name of the question: what it can be; none: not known
}

// can gives what is known of the fork. More than mostValues are as good as
// nothing.
func (f Fork) can(q Question) []Value {
	if values := f.Can[q.Name]; len(values) <= mostValues {
		return values
	}
	return nil
}

// Values of one fork that share an answer, and into how many parts a whole is
// cut so that each of them has a whole share.
const (
	mostValues = 6
	whole      = 60
)

// Answer is what was seen or measured.
type Answer struct {
	Question
	Value
}

// allows reports whether f may be the one.
func (a Answer) allows(f Fork) bool {
	values := f.can(a.Question)
	return len(values) == 0 || slices.ContainsFunc(values, func(v Value) bool { return a.agrees(v, a.Tolerance) })
}

// Candidate is a fork that no answer rules out.
type Candidate struct {
	Fork
	Unknown []string // names of the answers that nothing known of it bears out
	doubt   int      // 2 for each of those, 1 for each that it only may have
	off     int64    // how far measured values are off, in thousandths of their tolerance, added up
}

// Narrow gives the forks that no answer rules out: those first of which most
// is known to agree, and of those the ones that come nearest.
func Narrow(forks []Fork, answers []Answer) []Candidate {
	var left []Candidate
	for _, f := range forks {
		if slices.ContainsFunc(answers, func(a Answer) bool { return !a.allows(f) }) {
			continue
		}
		c := Candidate{Fork: f}
		for _, a := range answers {
			c.weigh(a)
		}
		left = append(left, c)
	}
	slices.SortFunc(left, func(a, b Candidate) int {
		return cmp.Or(cmp.Compare(a.doubt, b.doubt), cmp.Compare(a.off, b.off), strings.Compare(a.Name, b.Name))
	})
	return left
}

// weigh adds what an answer says for c.
func (c *Candidate) weigh(a Answer) {
	values := c.can(a.Question)
	switch len(values) {
	case 0:
		c.Unknown = append(c.Unknown, a.Name)
		c.doubt += 2
		return
	case 1:
	default:
		c.doubt++
	}
	nearest := a.Tolerance
	for _, v := range values {
		if a.agrees(v, a.Tolerance) {
			nearest = min(nearest, off(a.Length, v.Length))
		}
	}
	if a.Tolerance > 0 {
		c.off += int64(nearest) * 1000 / int64(a.Tolerance)
	}
}

// Blame is the answer to look at again where all of them together leave no
// fork.
type Blame struct {
	Answer
	Excludes int         // how many forks it rules out, taken alone
	Without  []Candidate // what all the others leave
}

// Blamed gives the answer without which most forks are left; of equal ones the
// one that rules out most by itself, then the one that was given first. The
// zero Blame where there are no answers.
func Blamed(forks []Fork, answers []Answer) (worst Blame) {
	for i, a := range answers {
		b := Blame{Answer: a, Without: Narrow(forks, slices.Delete(slices.Clone(answers), i, i+1))}
		for _, f := range forks {
			if !a.allows(f) {
				b.Excludes++
			}
		}
		if i == 0 || cmp.Or(cmp.Compare(len(b.Without), len(worst.Without)), cmp.Compare(b.Excludes, worst.Excludes)) > 0 {
			worst = b
		}
	}
	return worst
}

// Split is a question with what to expect of it.
type Split struct {
	Question
	Of  int   // forks that are left now
	sum int64 // of n(i) over all forks, in sixtieths
}

// Expected gives the mean number of forks that will be left, in hundredths,
// rounded half up.
func (s Split) Expected() int64 {
	if s.Of == 0 {
		return 0
	}
	n := int64(s.Of) * whole
	return (s.sum*200 + n) / (2 * n)
}

// narrows reports whether anything can come of the question.
func (s Split) narrows() bool { return s.sum < int64(s.Of)*int64(s.Of)*whole }

// Next gives the question that splits the candidates best; ok is false where
// none tells anything. What is answered already is not asked again, and what
// stands in skip not at all.
func Next(left []Candidate, questions []Question, answers []Answer, skip ...string) (best Split, ok bool) {
	answered := map[string]bool{}
	for _, a := range answers {
		answered[a.Name] = true
	}
	for _, q := range questions {
		if answered[q.Name] || slices.Contains(skip, q.Name) || q.After != "" && !answered[q.After] {
			continue
		}
		s := split(q, left)
		if s.narrows() && (!ok || s.before(best)) {
			best, ok = s, true
		}
	}
	return best, ok
}

// before reports whether s is the better question.
func (s Split) before(other Split) bool {
	if s.Opens != other.Opens {
		return other.Opens
	}
	return cmp.Or(cmp.Compare(s.sum, other.sum), cmp.Compare(s.Effort, other.Effort)) < 0
}

// alike are the forks that can have the same values.
type alike struct {
	can []Value
	n   int64
}

// split reckons what to expect of a question. Forks that can have the same
// values are reckoned as one.
func split(q Question, left []Candidate) Split {
	groups, index, unknown := []alike{}, map[string]int{}, int64(0)
	for _, c := range left {
		values := c.can(q)
		if len(values) == 0 {
			unknown++
			continue
		}
		key := fmt.Sprint(values)
		i, there := index[key]
		if !there {
			i = len(groups)
			index[key], groups = i, append(groups, alike{can: values})
		}
		groups[i].n++
	}
	stays := map[Value]int64{}
	for _, g := range groups {
		for _, v := range g.can {
			stays[v] = unknown
		}
	}
	for v := range stays {
		for _, g := range groups {
			if slices.ContainsFunc(g.can, func(w Value) bool { return v.agrees(w, q.Tolerance) }) {
				stays[v] += g.n
			}
		}
	}
	s := Split{Question: q, Of: len(left), sum: unknown * int64(len(left)) * whole}
	for _, g := range groups {
		for _, v := range g.can {
			s.sum += g.n * stays[v] * (whole / int64(len(g.can)))
		}
	}
	return s
}
