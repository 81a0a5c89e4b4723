package cli_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"forkstock/internal/cli"
)

// end is the last day of the demo shop that the scripts work on.
const end = "2026-06-30"

func TestMain(m *testing.M) {
	os.Setenv("GORACE", "atexit_sleep_ms=10") // else every program waits a second at its end under -race
	// The scripts run the test's own program as forkstock.
	testscript.Main(cleaning{m}, map[string]func(){
		"forkstock": func() { os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
		"hands":     func() { os.Exit(hands(os.Args[1:], os.Stdout)) },
	})
}

// cleaning removes the demo shop after the tests; testscript.Main ends the
// program.
type cleaning struct{ m *testing.M }

func (c cleaning) Run() int {
	defer func() { os.RemoveAll(built) }()
	return c.m.Run()
}

// built is where the demo shop stands, built once; each test gets a copy.
var (
	built string
	once  sync.Once
)

func demoShop(t *testing.T) string {
	t.Helper()
	once.Do(func() {
		t.Setenv("LANG", "C")
		t.Setenv("TZ", "UTC")
		var err error
		if built, err = os.MkdirTemp("", "forkstock-demo"); err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if code := cli.Main([]string{"demo", "--once", "--shop", built, "--end", end}, strings.NewReader(""), &out, &out); code != 0 {
			t.Fatalf("demo: exit %d\n%s", code, out.String())
		}
	})
	return built
}

func TestScripts(t *testing.T) {
	shop := demoShop(t)
	testscript.Run(t, testscript.Params{
		Dir: "testdata", RequireExplicitExec: true, RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("LANG", "C")
			env.Setenv("TZ", "UTC")
			env.Setenv("GORACE", os.Getenv("GORACE"))
			env.Setenv("FORKSTOCK_SHOP", "demo")
			env.Setenv("END", end)
			return os.CopyFS(filepath.Join(env.WorkDir, "demo"), os.DirFS(shop))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"code": code, "json": jsonValue, "keys": jsonKeys},
	})
}

// asked is an input that notes when somebody wants more of it.
type asked func()

func (f asked) Read([]byte) (int, error) {
	f()
	return 0, io.EOF
}

// Whoever scans sees what became of a code before the next one is scanned,
// whatever the scanner ends it with.
func TestScansAreToldAtOnce(t *testing.T) {
	shop := small(t, t.TempDir())
	var out bytes.Buffer
	if code := cli.Main([]string{"delivery", "begin", "crate", "--shop", shop}, nil, &out, &out); code != 0 {
		t.Fatal(out.String())
	}
	for _, args := range [][]string{{"take", "-"}, {"delivery", "scan", "crate"}} {
		for _, end := range []string{"\n", "\r", "\t"} {
			var out bytes.Buffer
			seen := ""
			in := io.MultiReader(strings.NewReader(handCode+end), asked(func() { seen = out.String() }))
			code := cli.Main(append(args, "--shop", shop), in, &out, &out)
			if code != 0 || !strings.Contains(seen, handPart) {
				t.Errorf("%v, end %q: exit %d, seen before the next scan: %q", args, end, code, seen)
			}
		}
	}
}

// code N COMMAND... runs a command that must end with exit code N.
func code(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: code N COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit %d, want %d", got, want)
	}
}

// json PATH VALUE compares a value of the last standard output; PATH is as in
// parts.0.number, and len counts an array's elements.
func jsonValue(ts *testscript.TestScript, neg bool, args []string) {
	got, ok := at(ts, "stdout", args[0])
	if same := ok && fmt.Sprint(got) == args[1]; same == neg {
		ts.Fatalf("%s is %v, want %s (not: %v)", args[0], got, args[1], neg)
	}
}

// keys FILE PATH... wants every path to be there, in stdout or stderr.
func jsonKeys(ts *testscript.TestScript, neg bool, args []string) {
	for _, path := range args[1:] {
		if _, ok := at(ts, args[0], path); ok == neg {
			ts.Fatalf("%s: there %v, want %v", path, ok, !neg)
		}
	}
}

// at gives the value at a path.
func at(ts *testscript.TestScript, file, path string) (any, bool) {
	var v any
	d := json.NewDecoder(strings.NewReader(ts.ReadFile(file)))
	d.UseNumber()
	ts.Check(d.Decode(&v))
	for _, step := range strings.Split(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			var ok bool
			if v, ok = x[step]; !ok {
				return nil, false
			}
		case []any:
			if step == "len" {
				return len(x), true
			}
			i, err := strconv.Atoi(step)
			if err != nil || i >= len(x) {
				return nil, false
			}
			v = x[i]
		default:
			return nil, false
		}
	}
	return v, true
}
