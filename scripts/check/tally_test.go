package main

import (
	"os"
	"slices"
	"strings"
	"testing"
)

// testdata/run.jsonl is what `go test -json -shuffle=7 ./...` of Go 1.27.3 said
// about a small module made for it, less the times.
func recorded(t *testing.T) *tally {
	t.Helper()
	f, err := os.Open("testdata/run.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	tl := &tally{out: &strings.Builder{}}
	tl.read(f)
	return tl
}

func names(all []verdict) []string {
	var names []string
	for _, v := range all {
		names = append(names, v.name)
	}
	slices.Sort(names)
	return names
}

func TestRead(t *testing.T) {
	got := recorded(t)
	// TestPlain, TestTwo/a/x, TestTwo/b, two seeds and an example of good; the
	// one good test of crash, leaky and mixed each.
	if want := 9; got.passed != want {
		t.Errorf("passed %d, want %d", got.passed, want)
	}
	failed := []string{
		"sample/broken",          // does not build
		"sample/crash TestCrash", // ended the whole process
		"sample/leaky",           // TestMain failed after its tests had passed
		"sample/mixed TestItself",
		"sample/mixed TestSub/bad",
	}
	if got := names(got.failed); !slices.Equal(got, failed) {
		t.Errorf("failed %q, want %q", got, failed)
	}
	skipped := []string{"sample/mixed TestItself/skip", "sample/mixed TestSkipped", "sample/mixed TestSub/left"}
	if got := names(got.skipped); !slices.Equal(got, skipped) {
		t.Errorf("skipped %q, want %q", got, skipped)
	}
}

func TestReadKeepsTheReason(t *testing.T) {
	reasons := map[string]string{
		"sample/broken":            "undefined: undefined",
		"sample/crash TestCrash":   "did not end",
		"sample/leaky":             "a goroutine is left",
		"sample/mixed TestItself":  "the parent fails",
		"sample/mixed TestSub/bad": "got 1, want 2",
		"sample/mixed TestSkipped": "not today",
	}
	tl := recorded(t)
	for _, v := range append(tl.failed, tl.skipped...) {
		if want := reasons[v.name]; !strings.Contains(v.output, want) {
			t.Errorf("%s: got %q, want %q in it", v.name, v.output, want)
		}
	}
}

// A run that is cut off has failed, whatever it had said until then.
func TestReadCutOff(t *testing.T) {
	tl := &tally{out: &strings.Builder{}}
	tl.read(strings.NewReader(`{"Action":"start","Package":"p"}
{"Action":"run","Package":"p","Test":"TestA"}
{"Action":"pass","Package":"p","Test":"TestA"}
{"Action":"run","Package":"p","Te`))
	if got, want := names(tl.failed), []string{"p"}; tl.passed != 1 || !slices.Equal(got, want) {
		t.Errorf("passed %d, failed %q, want 1 and %q", tl.passed, got, want)
	}
}

func TestClose(t *testing.T) {
	skip := []verdict{{"p TestS", "no camera\n"}}
	fail := []verdict{{"p TestF", "got 1, want 2\n"}}
	for _, c := range []struct {
		name string
		t    tally
		good bool
		last string
	}{
		{"nothing ran", tally{}, false, "0 passed, 0 failed, 0 skipped"},
		{"all passed", tally{passed: 3}, true, "3 passed, 0 failed, 0 skipped"},
		{"one skipped", tally{passed: 3, skipped: skip}, true, "3 passed, 0 failed, 1 skipped"},
		{"one failed", tally{passed: 3, failed: fail, skipped: skip}, false, "3 passed, 1 failed, 1 skipped"},
	} {
		t.Run(c.name, func(t *testing.T) {
			var out strings.Builder
			c.t.out = &out
			if got := c.t.close(); got != c.good {
				t.Errorf("close() = %v, want %v", got, c.good)
			}
			lines := strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
			if got := lines[len(lines)-1]; got != c.last {
				t.Errorf("last line %q, want %q", got, c.last)
			}
			for _, v := range append(c.t.failed, c.t.skipped...) {
				if !strings.Contains(out.String(), v.name+"\n"+v.output) {
					t.Errorf("%q is not named in %q", v, out.String())
				}
			}
		})
	}
}

// testdata/list.jsonl is what `go test -json -list=^Fuzz ./...` said there.
func TestFuzzTargets(t *testing.T) {
	list, err := os.ReadFile("testdata/list.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	want := []target{{"sample/good", "FuzzSeeds"}, {"sample/good", "FuzzOther"}}
	if got := fuzzTargets(list); !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestLint(t *testing.T) {
	for _, c := range []struct {
		name, script string
		ok           bool
	}{
		{"quiet", "true", true},
		{"download told on standard error", "echo downloading >&2", true},
		{"findings told with exit 0", "echo a.go", false},
		{"exit 1", "exit 1", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			tl := &tally{out: &strings.Builder{}}
			tl.lint(c.name, "sh", "-c", c.script)
			if got := len(tl.failed) == 0; got != c.ok {
				t.Errorf("passed: %v, want %v", got, c.ok)
			}
		})
	}
}

// A table that a test prints is shown though the test passes.
func TestTables(t *testing.T) {
	var out strings.Builder
	tl := &tally{out: &out}
	tl.read(strings.NewReader(`{"Action":"run","Package":"p","Test":"TestA"}
{"Action":"output","Package":"p","Test":"TestA","Output":"| set | right |\n"}
{"Action":"output","Package":"p","Test":"TestA","Output":"    a_test.go:9: not shown\n"}
{"Action":"pass","Package":"p","Test":"TestA"}
{"Action":"pass","Package":"p"}
`))
	if got := out.String(); !strings.Contains(got, "| set | right |\n") || strings.Contains(got, "not shown") || tl.passed != 1 {
		t.Errorf("%d passed, shown %q", tl.passed, got)
	}
}
