// Command check runs everything that forkstock asks of itself, one step after
// the other whatever fails, and closes with a line of its own:
//
//	N passed, N failed, N skipped
//
// It exits 1 where anything failed or nothing ran. The Makefile's targets test,
// trials and fuzz call it from the root of the tree, after scripts/setup.
//
// Non-goals: installing anything, choosing versions (scripts/setup), choosing
// the toolchain (Makefile).
package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"time"
)

// chromedp is what a test imports to drive a browser. Such a file is not built
// under the race detector (//go:build !race) and its tests are named
// TestBrowser...: internal/layers holds them to both.
const chromedp = "github.com/chromedp/chromedp"

func main() {
	modes := map[string]func(*tally){"test": test, "trials": trials, "fuzz": fuzz}
	if len(os.Args) != 2 || modes[os.Args[1]] == nil {
		fmt.Fprintln(os.Stderr, "use: check test|trials|fuzz")
		os.Exit(2)
	}
	t := &tally{out: os.Stdout}
	modes[os.Args[1]](t)
	if !t.close() {
		os.Exit(1)
	}
}

// test is the whole of `make test`.
func test(t *tally) {
	before := treeState()
	// The tag takes the trials in, so that they cannot rot unseen.
	t.lint("gofumpt", ".tools/gofumpt", "-l", ".")
	t.lint("go mod tidy", "go", "mod", "tidy", "-diff")
	t.lint("go vet", "go", "vet", "-tags=trials", "./...")
	t.lint("staticcheck", ".tools/staticcheck", "-tags=trials", "./...")
	// Those of the commands start the program some thousands of times, which the
	// race detector makes many times dearer; what they call is raced in its rooms.
	commands, others := split("/internal/cli")
	t.goTest("tests, race detector on", append([]string{"-race", "-timeout=14m"}, others...)...)
	t.goTest("tests of the commands", append([]string{"-timeout=14m"}, commands...)...)
	if pages := browserPackages(); len(pages) > 0 {
		t.goTest("browser tests", append([]string{"-run=^TestBrowser"}, pages...)...)
	}
	t.step("tree", func() (string, error) {
		after := treeState()
		if after != before {
			return after, errors.New("the run changed the tree")
		}
		return "", nil
	})
}

// split gives the packages whose path ends so, and the others; all are others
// where they cannot be listed, so that go test says why.
func split(end string) (these, others []string) {
	out, err := exec.Command("go", "list", "./...").Output()
	if err != nil {
		return []string{"." + end}, []string{"./..."}
	}
	for _, path := range strings.Fields(string(out)) {
		if strings.HasSuffix(path, end) {
			these = append(these, path)
		} else {
			others = append(others, path)
		}
	}
	return these, others
}

// trials runs the tests with Trial in their names: in full number those that do
// a tenth of it otherwise (FORKSTOCK_TRIALS=full), and those behind the tag that
// read the check values beside the project.
func trials(t *tally) {
	t.step("check values", func() (string, error) {
		_, err := os.Stat("../shared/checks")
		return "", err
	})
	os.Setenv("FORKSTOCK_TRIALS", "full")
	t.goTest("trials", "-tags=trials", "-run=Trial", "-timeout=80m", "./...")
}

// fuzz runs each fuzz target of the tree for FUZZTIME.
func fuzz(t *tally) {
	var targets []target
	t.step("fuzz targets", func() (string, error) {
		list, err := exec.Command("go", "test", "-json", "-vet=off", "-list=^Fuzz", "./...").Output()
		if err != nil {
			return string(list), err
		}
		if targets = fuzzTargets(list); len(targets) == 0 {
			err = errors.New("none found")
		}
		return "", err
	})
	for _, f := range targets {
		t.goTest(f.pkg+" "+f.name, "-run=^$", "-fuzz=^"+f.name+"$", "-fuzztime="+os.Getenv("FUZZTIME"), f.pkg)
	}
}

// browserPackages lists the packages whose tests drive a browser.
func browserPackages() []string {
	const format = `{{.ImportPath}} {{join .TestImports " "}} {{join .XTestImports " "}}`
	list, _ := exec.Command("go", "list", "-e", "-f", format, "./...").Output()
	var pkgs []string
	for line := range strings.Lines(string(list)) {
		if f := strings.Fields(line); strings.Contains(line, chromedp) {
			pkgs = append(pkgs, f[0])
		}
	}
	return pkgs
}

// treeState describes what differs from the last commit.
func treeState() string {
	status, err := exec.Command("git", "status", "--porcelain").CombinedOutput()
	diff, _ := exec.Command("git", "diff", "HEAD").Output()
	if err != nil {
		return fmt.Sprint(string(status), err)
	}
	return string(status) + string(diff)
}

// lint is a step that passes where the command exits 0 and prints nothing on
// standard output.
func (t *tally) lint(name, command string, args ...string) {
	t.step(name, func() (string, error) {
		cmd := exec.Command(command, args...)
		var out, log strings.Builder
		cmd.Stdout, cmd.Stderr = &out, &log
		err := cmd.Run()
		if err == nil && out.Len() > 0 {
			err = fmt.Errorf("%s %s", command, strings.Join(args, " "))
		}
		return out.String() + log.String(), err
	})
}

// step runs one check that counts once.
func (t *tally) step(name string, check func() (string, error)) {
	start := time.Now()
	output, err := check()
	if err != nil {
		output += fmt.Sprintln(err)
	}
	t.count(name, err == nil, output)
	t.progress(err == nil, name, start)
}

// goTest runs `go test` and counts what its tests say. A run that fails without
// a failed test, or without any test, counts as failed itself.
func (t *tally) goTest(name string, args ...string) {
	start := time.Now()
	failed, counted := len(t.failed), t.counted()
	// vet has a step of its own, in full.
	cmd := exec.Command("go", append([]string{"test", "-json", "-vet=off", "-shuffle=on"}, args...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err == nil {
		t.read(out)
		err = cmd.Wait()
	}
	switch {
	case err != nil && len(t.failed) == failed:
		t.count(name, false, fmt.Sprintln("go test:", err))
	case t.counted() == counted:
		t.count(name, false, "no test ran\n")
	}
	t.progress(len(t.failed) == failed, name, start)
}
