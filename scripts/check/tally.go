package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"
)

// A tally counts checks. What counts as one: a step that is not a test; a test
// or subtest that has no subtests; a parent that was skipped, or that failed
// though none of its subtests did; a package that failed though none of its
// tests did (it did not build, or TestMain failed).
type tally struct {
	out     io.Writer
	passed  int
	failed  []verdict
	skipped []verdict
}

// A verdict is one check that did not pass, and what it printed.
type verdict struct{ name, output string }

// event is one line of `go test -json`, as cmd/test2json documents it.
type event struct {
	Action      string
	Package     string
	ImportPath  string // of build-output, in the place of Package
	Test        string // empty: the package itself
	Output      string
	FailedBuild string // the ImportPath whose build-output explains the failure
	Elapsed     float64
}

// A record collects the events of one test.
type record struct {
	action string // pass, fail, skip; empty while it runs
	output strings.Builder
	parent bool // has subtests
	inner  bool // a subtest failed
}

func (t *tally) counted() int { return t.passed + len(t.failed) + len(t.skipped) }

// count takes in one check by name.
func (t *tally) count(name string, ok bool, output string) {
	if ok {
		t.passed++
		return
	}
	t.failed = append(t.failed, verdict{name, output})
}

// progress says how a step ended, while the run goes on.
func (t *tally) progress(ok bool, name string, start time.Time) {
	word := "ok  "
	if !ok {
		word = "FAIL"
	}
	fmt.Fprintf(t.out, "%s %s (%s)\n", word, name, time.Since(start).Round(100*time.Millisecond))
}

// close names what failed and what was skipped, then writes the line of
// counts. It reports whether the run is good: something passed, nothing failed.
func (t *tally) close() bool {
	for _, v := range t.skipped {
		fmt.Fprintf(t.out, "\nSKIPPED %s\n%s", v.name, v.output)
	}
	for _, v := range t.failed {
		fmt.Fprintf(t.out, "\nFAILED %s\n%s", v.name, v.output)
	}
	fmt.Fprintf(t.out, "\n%d passed, %d failed, %d skipped\n", t.passed, len(t.failed), len(t.skipped))
	return len(t.failed) == 0 && t.passed > 0
}

// read takes in the output of one `go test -json`.
func (t *tally) read(r io.Reader) {
	builds := map[string]string{}               // ImportPath -> what its build printed
	packages := map[string]map[string]*record{} // package -> test -> record
	lines := bufio.NewReader(r)
	for {
		line, err := lines.ReadBytes('\n')
		var e event
		switch {
		case len(line) == 0:
		case json.Unmarshal(line, &e) != nil:
			t.out.Write(line)
		case e.Action == "build-output":
			builds[e.ImportPath] += e.Output
		case e.Package != "":
			if packages[e.Package] == nil {
				packages[e.Package] = map[string]*record{}
			}
			tests := packages[e.Package]
			if e.Action == "output" && strings.HasPrefix(e.Output, "|") { // a table is for everybody
				io.WriteString(t.out, e.Output)
			} else {
				note(tests, e)
			}
			if e.Test == "" && ended(e.Action) {
				tests[""].output.WriteString(builds[e.FailedBuild])
				t.settle(e, tests)
				delete(packages, e.Package)
			}
		}
		if err != nil {
			break
		}
	}
	for pkg, tests := range packages { // the run broke off
		t.settle(event{Action: "fail", Package: pkg}, tests)
	}
}

func ended(action string) bool { return action == "pass" || action == "fail" || action == "skip" }

// note adds an event to the record of its test and marks the tests around it.
func note(tests map[string]*record, e event) {
	get := func(name string) *record {
		if tests[name] == nil {
			tests[name] = &record{}
		}
		return tests[name]
	}
	r := get(e.Test)
	switch {
	case e.Action == "output" && !strings.HasPrefix(e.Output, "=== "):
		r.output.WriteString(e.Output)
	case ended(e.Action):
		r.action = e.Action
	}
	for name := e.Test; strings.Contains(name, "/"); {
		name = name[:strings.LastIndex(name, "/")]
		outer := get(name)
		outer.parent = true
		outer.inner = outer.inner || e.Action == "fail"
	}
}

// settle counts the tests of a package that has ended with last.
func (t *tally) settle(last event, tests map[string]*record) {
	whole := tests[""]
	delete(tests, "")
	passed, failed, skipped := t.passed, len(t.failed), len(t.skipped)
	for _, name := range slices.Sorted(maps.Keys(tests)) {
		r := tests[name]
		v := verdict{last.Package + " " + name, r.output.String()}
		switch {
		case r.action == "" && !r.parent:
			v.output += "did not end\n"
			t.failed = append(t.failed, v)
		case r.action == "fail" && !r.inner:
			t.failed = append(t.failed, v)
		case r.action == "skip":
			t.skipped = append(t.skipped, v)
		case r.action == "pass" && !r.parent:
			t.passed++
		}
	}
	if last.Action == "fail" {
		if len(t.failed) == failed {
			t.failed = append(t.failed, verdict{name: last.Package})
		}
		t.failed[len(t.failed)-1].output += whole.output.String() // names the shuffle's seed
	}
	if t.counted() > passed+failed+skipped {
		fmt.Fprintf(t.out, "     %s: %d passed, %d failed, %d skipped (%.1fs)\n", last.Package,
			t.passed-passed, len(t.failed)-failed, len(t.skipped)-skipped, last.Elapsed)
	}
}

// A target is one fuzz test.
type target struct{ pkg, name string }

// fuzzTargets reads the output of `go test -json -list=^Fuzz`.
func fuzzTargets(list []byte) []target {
	var all []target
	for line := range strings.Lines(string(list)) {
		var e event
		if json.Unmarshal([]byte(line), &e) == nil && strings.HasPrefix(e.Output, "Fuzz") {
			all = append(all, target{e.Package, strings.TrimSpace(e.Output)})
		}
	}
	return all
}
