package lineup

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/measure"
)

var (
	leg   = Question{Name: "leg", Tolerance: 300, Effort: 2}
	fine  = Question{Name: "fine", Tolerance: 50, Effort: 4, After: "leg"}
	shape = Question{Name: "shape", Words: []string{"hexagon", "round", "square"}, Effort: 1}
	flats = Question{Name: "flats", Tolerance: 700, Effort: 2}
	inner = Question{Name: "inner", Tolerance: 300, Effort: 5, Opens: true}
)

func mm(um ...measure.Length) (all []Value) {
	for _, l := range um {
		all = append(all, Value{Length: l})
	}
	return all
}

func words(of ...string) (all []Value) {
	for _, w := range of {
		all = append(all, Value{Word: w})
	}
	return all
}

// asked makes one fork for each of the values, which it can answer q with.
func asked(q Question, values ...[]Value) (left []Candidate) {
	for i, v := range values {
		left = append(left, Candidate{Fork: Fork{Name: string(rune('A' + i)), Can: map[string][]Value{q.Name: v}}})
	}
	return left
}

// Reckoned by hand: the mean of how many are left. Where the values part the
// forks into classes it is the sum of n*n over N, the mean size of the class of
// one picked by chance (size-biased mean; textbook arithmetic of partitions).
func TestExpected(t *testing.T) {
	for name, tt := range map[string]struct {
		q      Question
		values [][]Value
		want   int64 // hundredths
	}{
		"classes of 2, 3 and 1: (4+9+1)/6": {shape, [][]Value{
			words("hexagon"), words("hexagon"), words("round"), words("round"), words("round"), words("square"),
		}, 233},
		"all alike: nothing is won":       {shape, [][]Value{words("round"), words("round"), words("round")}, 300},
		"all different: one is left":      {leg, [][]Value{mm(39_000), mm(41_000), mm(43_000)}, 100},
		"one of which nothing is known":   {leg, [][]Value{mm(39_000), mm(39_000), mm(41_000), nil}, 300},              // (3+3+2+4)/4
		"nothing known of any":            {leg, [][]Value{nil, nil}, 200},                                             // (2+2)/2
		"within the tolerance of another": {leg, [][]Value{mm(34_900), mm(35_000), mm(36_000)}, 167},                   // (2+2+1)/3
		"at the tolerance, and beyond it": {leg, [][]Value{mm(41_000), mm(41_300), mm(41_601)}, 167},                   // (2+2+1)/3
		"a chain: the middle leaves all":  {leg, [][]Value{mm(41_000), mm(41_300), mm(41_600)}, 233},                   // (2+3+2)/3
		"may have one or the other":       {shape, [][]Value{words("hexagon"), words("hexagon", "round")}, 175},        // (2 + (2+1)/2)/2
		"three that share no answer":      {shape, [][]Value{words("hexagon", "round", "square"), words("oval")}, 100}, // (1+1)/2
	} {
		if got := split(tt.q, asked(tt.q, tt.values...)).Expected(); got != tt.want {
			t.Errorf("%s: %d hundredths, want %d", name, got, tt.want)
		}
	}
	if got := (Split{}).Expected(); got != 0 {
		t.Errorf("of no forks: %d", got)
	}
}

func fork(name string, can map[string][]Value) Fork { return Fork{ID: name, Name: name, Can: can} }

func names(all []Candidate) (out []string) {
	for _, c := range all {
		out = append(out, c.Name)
	}
	return out
}

func TestNext(t *testing.T) {
	all := []Question{shape, leg, flats, fine, inner, {Name: "skipped"}}
	split2 := func(q Question) []Candidate { return asked(q, mm(39_000), mm(45_000)) }
	for name, tt := range map[string]struct {
		left    []Candidate
		answers []Answer
		want    string
	}{
		"one left: nothing to ask": {asked(leg, mm(39_000)), nil, ""},
		"none left":                {nil, nil, ""},
		"nothing known":            {asked(leg, nil, nil), nil, ""},
		"the better of two, dearer though it is": {[]Candidate{
			{Fork: fork("A", map[string][]Value{"leg": mm(39_000), "shape": words("round")})},
			{Fork: fork("B", map[string][]Value{"leg": mm(41_000), "shape": words("round")})},
			{Fork: fork("C", map[string][]Value{"leg": mm(43_000), "shape": words("hexagon")})},
		}, nil, "leg"},
		"of two alike the cheaper": {[]Candidate{
			{Fork: fork("A", map[string][]Value{"leg": mm(39_000), "shape": words("round")})},
			{Fork: fork("B", map[string][]Value{"leg": mm(41_000), "shape": words("hexagon")})},
		}, nil, "shape"},
		"of two alike and as dear the first": {[]Candidate{
			{Fork: fork("A", map[string][]Value{"flats": mm(24_000), "leg": mm(39_000)})},
			{Fork: fork("B", map[string][]Value{"flats": mm(30_000), "leg": mm(41_000)})},
		}, nil, "leg"},
		"not what nobody can tell": {asked(Question{Name: "skipped"}, mm(39_000), mm(45_000)), nil, ""},
		"not the same again":       {split2(leg), []Answer{{Question: leg}}, ""},
		"a finer look only after":  {split2(fine), nil, ""},
		"a finer look then":        {split2(fine), []Answer{{Question: leg}}, "fine"},
		"taken apart, if need be":  {split2(inner), nil, "inner"},
		"not taken apart for a half": {[]Candidate{
			{Fork: fork("A", map[string][]Value{"inner": mm(33_000), "leg": mm(39_000)})},
			{Fork: fork("B", map[string][]Value{"inner": mm(35_000), "leg": mm(39_000)})},
			{Fork: fork("C", map[string][]Value{"inner": mm(37_000), "leg": mm(41_000)})},
		}, nil, "leg"},
	} {
		got, ok := Next(tt.left, all, tt.answers, "skipped")
		if ok != (tt.want != "") || got.Name != tt.want || ok && got.Of != len(tt.left) {
			t.Errorf("%s: %q of %d, %v, want %q", name, got.Name, got.Of, ok, tt.want)
		}
	}
}

// A fork is taken apart last, whatever the order of the questions.
func TestOpensLast(t *testing.T) {
	left := []Candidate{
		{Fork: fork("A", map[string][]Value{"inner": mm(33_000), "leg": mm(39_000)})},
		{Fork: fork("B", map[string][]Value{"inner": mm(35_000), "leg": mm(39_000)})},
		{Fork: fork("C", map[string][]Value{"inner": mm(37_000), "leg": mm(41_000)})},
	}
	for _, order := range [][]Question{{inner, leg}, {leg, inner}} {
		if got, ok := Next(left, order, nil); !ok || got.Name != "leg" || got.Expected() != 167 {
			t.Errorf("%s, %v, want leg", got.Name, ok)
		}
	}
}

func TestNarrow(t *testing.T) {
	forks := []Fork{
		fork("far", map[string][]Value{"leg": mm(41_300), "shape": words("round")}),
		fork("near", map[string][]Value{"leg": mm(41_100), "shape": words("round")}),
		fork("maybe", map[string][]Value{"leg": mm(41_000), "shape": words("round", "square")}),
		fork("unknown", map[string][]Value{"leg": mm(41_000)}),
		fork("nothing known", nil),
		fork("other shape", map[string][]Value{"leg": mm(41_000), "shape": words("hexagon")}),
		fork("other leg", map[string][]Value{"leg": mm(41_301), "shape": words("round")}),
	}
	answers := []Answer{{leg, Value{Length: 41_000}}, {shape, Value{Word: "round"}}}
	left := Narrow(forks, answers)
	if diff := cmp.Diff(names(left), []string{"near", "far", "maybe", "unknown", "nothing known"}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	if got := left[3].Unknown; !slices.Equal(got, []string{"shape"}) {
		t.Errorf("not known of the fourth: %q", got)
	}
	if got := names(Narrow(forks, nil)); len(got) != len(forks) || got[0] != "far" {
		t.Errorf("without answers: %q", got)
	}
	thread := Question{Name: "thread", Tolerance: 300}
	threads := []Fork{
		fork("fine", map[string][]Value{"thread": {{Length: 39_000, Word: "1"}}}),
		fork("coarse", map[string][]Value{"thread": {{Length: 39_000, Word: "1.5"}}}),
		fork("pitch not stated", map[string][]Value{"thread": mm(39_000)}),
	}
	if got := names(Narrow(threads, []Answer{{thread, Value{Length: 38_800, Word: "1.5"}}})); !slices.Equal(got, []string{"coarse", "pitch not stated"}) {
		t.Errorf("thread: %q", got)
	}
}

func TestBlamed(t *testing.T) {
	forks := []Fork{
		fork("A", map[string][]Value{"leg": mm(39_000), "shape": words("round"), "flats": mm(24_000)}),
		fork("B", map[string][]Value{"leg": mm(39_000), "shape": words("round"), "flats": mm(30_000)}),
		fork("C", map[string][]Value{"leg": mm(43_000), "shape": words("hexagon"), "flats": mm(30_000)}),
	}
	five := []Fork{
		fork("B", map[string][]Value{"inner": mm(39_000), "shape": words("hexagon"), "flats": mm(24_000)}),
		fork("C", map[string][]Value{"inner": mm(39_000), "shape": words("hexagon"), "flats": mm(24_000)}),
		fork("D", map[string][]Value{"inner": mm(39_000), "shape": words("round"), "flats": mm(30_000)}),
		fork("E", map[string][]Value{"inner": mm(39_000), "shape": words("round"), "flats": mm(30_000)}),
		fork("F", map[string][]Value{"inner": mm(43_000), "shape": words("hexagon"), "flats": mm(24_000)}),
	}
	for name, tt := range map[string]struct {
		answers  []Answer
		want     string
		excludes int
		without  []string
	}{
		"without it two are left": {
			[]Answer{{leg, Value{Length: 43_000}}, {shape, Value{Word: "round"}}}, "leg", 2, []string{"A", "B"},
		},
		"without it one is left, without the others none": {
			[]Answer{{flats, Value{Length: 24_000}}, {leg, Value{Length: 43_000}}, {shape, Value{Word: "hexagon"}}}, "flats", 2, []string{"C"},
		},
		"no single one: the one that rules out most": {
			[]Answer{{shape, Value{Word: "round"}}, {flats, Value{Length: 50_000}}, {leg, Value{Length: 50_000}}}, "flats", 3, nil,
		},
		"no answers": {nil, "", 0, nil},
	} {
		got := Blamed(forks, tt.answers)
		if got.Name != tt.want || got.Excludes != tt.excludes || !slices.Equal(names(got.Without), tt.without) {
			t.Errorf("%s: %s excludes %d, without it %q", name, got.Name, got.Excludes, names(got.Without))
		}
	}
	// The inner one rules out four, but without it none is left either.
	got := Blamed(five, []Answer{{inner, Value{Length: 43_000}}, {shape, Value{Word: "round"}}, {flats, Value{Length: 24_000}}})
	if got.Name != "shape" || got.Excludes != 3 || !slices.Equal(names(got.Without), []string{"F"}) {
		t.Errorf("of five: %s excludes %d, without it %q", got.Name, got.Excludes, names(got.Without))
	}
}
