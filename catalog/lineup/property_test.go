package lineup

import (
	"fmt"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"forkstock/internal/measure"
)

// lines draws forks with lengths that crowd within a few tolerances, and words.
func lines(t *rapid.T) (forks []Fork) {
	length := rapid.Map(rapid.IntRange(38_000, 40_000), func(um int) Value { return Value{Length: measure.Length(um / 100 * 100)} })
	word := rapid.Map(rapid.SampledFrom(shape.Words), func(w string) Value { return Value{Word: w} })
	several := func(v *rapid.Generator[Value]) *rapid.Generator[[]Value] {
		return rapid.SliceOfNDistinct(v, 0, 3, func(v Value) Value { return v })
	}
	for i := range rapid.IntRange(1, 12).Draw(t, "forks") {
		forks = append(forks, Fork{Name: fmt.Sprint(i), Can: map[string][]Value{
			"leg": several(length).Draw(t, "leg"), "shape": several(word).Draw(t, "shape"), "flats": several(length).Draw(t, "flats"),
		}})
	}
	return forks
}

// What is expected is what comes of asking: the mean, over every fork that it
// may be and every value that it may have, of how many forks an answer leaves.
// Reckoned here the long way, by narrowing down for each of them.
func TestExpectedIsTheMeanOfWhatIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		forks := lines(t)
		q := rapid.SampledFrom([]Question{leg, shape, flats}).Draw(t, "question")
		mean := new(big.Rat)
		for _, f := range forks {
			values := f.Can[q.Name]
			if len(values) == 0 {
				mean.Add(mean, big.NewRat(int64(len(forks)), 1))
			}
			for _, v := range values {
				left := len(Narrow(forks, []Answer{{q, v}}))
				mean.Add(mean, big.NewRat(int64(left), int64(len(values))))
			}
		}
		got := big.NewRat(split(q, Narrow(forks, nil)).sum, whole)
		if mean.Cmp(got) != 0 {
			t.Fatalf("expected %v, it comes to %v", got, mean)
		}
	})
}

// A fork is never ruled out by what is measured of it within the tolerances.
func TestTheRightOneStays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		forks := lines(t)
		right := rapid.SampledFrom(forks).Draw(t, "right")
		var answers []Answer
		for _, q := range []Question{leg, shape, flats} {
			if values := right.Can[q.Name]; len(values) > 0 {
				v := rapid.SampledFrom(values).Draw(t, "value")
				v.Length += measure.Length(rapid.IntRange(-int(q.Tolerance), int(q.Tolerance)).Draw(t, "error"))
				answers = append(answers, Answer{q, v})
			}
		}
		left := Narrow(forks, answers)
		if !slices.Contains(names(left), right.Name) {
			t.Fatalf("%s is gone: %q", right.Name, names(left))
		}
		for _, more := range left { // each answer narrows, none brings one back
			if !slices.Contains(names(Narrow(forks, answers[:len(answers)/2])), more.Name) {
				t.Fatalf("%s came back", more.Name)
			}
		}
	})
}

// The question that is asked is one of the best there are.
func TestNextIsBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		left := Narrow(lines(t), nil)
		best, ok := Next(left, []Question{flats, leg, shape}, nil)
		for _, q := range []Question{leg, shape, flats} {
			switch s := split(q, left); {
			case !ok && s.narrows():
				t.Fatalf("%s narrows, and nothing is asked", q.Name)
			case ok && s.sum < best.sum, ok && s.sum == best.sum && q.Effort < best.Effort:
				t.Fatalf("%s is asked, %s is better", best.Name, q.Name)
			}
		}
	})
}

// Nothing is left, and the blame falls on an answer: without it are those that
// are said to be left.
func TestBlameIsJust(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		forks := lines(t)
		var answers []Answer
		for _, q := range []Question{leg, flats} {
			answers = append(answers, Answer{q, Value{Length: measure.Length(rapid.IntRange(37_000, 41_000).Draw(t, q.Name))}})
		}
		worst := Blamed(forks, answers)
		for i, a := range answers {
			others := Narrow(forks, slices.Delete(slices.Clone(answers), i, i+1))
			if len(others) > len(worst.Without) {
				t.Fatalf("%s is blamed, without %s more are left", worst.Name, a.Name)
			}
			if a.Name == worst.Name && !slices.Equal(names(others), names(worst.Without)) {
				t.Fatalf("without %s %q are left, not %q", a.Name, names(others), names(worst.Without))
			}
		}
	})
}
