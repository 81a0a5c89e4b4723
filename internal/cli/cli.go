// Package cli is the command line: it parses, calls package shop and shows the
// result, as text in the shop's language or as JSON.
//
// Results go to standard output, errors to standard error: one line on what
// happened, one on what to do. Exit codes tell what a script needs to know:
// see exitCodes. Exit 1 is also an honest "no": nothing found, codes that wait
// unknown, findings of check.
package cli

import (
	"bufio"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// exitCodes is the only table from kind to exit code.
var exitCodes = map[fault.Kind]int{
	fault.Invalid: 2, fault.NotFound: 2,
	fault.Ambiguous: 1, fault.Conflict: 1, fault.Short: 1,
	fault.NoLogin: 3, fault.Denied: 3, fault.Busy: 3, fault.Damaged: 3, fault.Full: 3,
	fault.Internal: 4,
}

// errNo ends a command with exit 1 after its result has been shown.
var errNo = errors.New("no")

// app is one run of the program.
type app struct {
	stdin  io.Reader
	stdout io.Writer
	out    *bufio.Writer // to stdout
	stderr io.Writer
	words  *words.Printer

	dir, by string
	json    bool
}

// Main runs a command and gives the exit code.
func Main(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	a := &app{stdin: stdin, stdout: stdout, out: bufio.NewWriter(stdout), stderr: stderr, words: words.For(systemLanguage())}
	a.foresee(args)
	root := a.root()
	root.SetArgs(args)
	root.SetOut(a.out)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if flushed := a.out.Flush(); err == nil && flushed != nil {
		err = fault.New(fault.Full, "cli.unwritten").WithCause(flushed)
	}
	return a.end(err)
}

// foresee looks for what has to be known before the arguments are parsed: in
// which language to help and to complain about them, and whether in JSON.
func (a *app) foresee(args []string) {
	dir := cmp.Or(os.Getenv("FORKSTOCK_SHOP"), "shop")
	for i, arg := range args {
		switch value, ok := strings.CutPrefix(arg, "--shop="); {
		case ok:
			dir = value
		case arg == "--shop" && i+1 < len(args):
			dir = args[i+1]
		case arg == "--json":
			a.json = true
		}
	}
	if language, ok := shop.Language(dir); ok {
		a.words = words.For(language)
	}
}

// end shows err and gives its exit code.
func (a *app) end(err error) int {
	if err == nil {
		return 0
	}
	if errors.Is(err, errNo) {
		return 1
	}
	e := fault.Of(err)
	a.complain(e)
	return exitCodes[e.Kind]
}

// complain shows an error, as text or as JSON.
func (a *app) complain(e *fault.Error) {
	if a.json {
		a.words.Fill(e)
		writeJSON(a.stderr, e)
		return
	}
	a.textError(e)
}

func (a *app) textError(e *fault.Error) {
	fmt.Fprintf(a.stderr, "forkstock: %s\n", oneLine(a.words.Text(e.Message)))
	for _, c := range e.Candidates {
		fmt.Fprintf(a.stderr, "  %s", c.Name)
		if !c.Tell.IsZero() {
			fmt.Fprintf(a.stderr, "  (%s)", a.words.Text(c.Tell))
		}
		if c.Command != "" {
			fmt.Fprintf(a.stderr, "\n    %s", c.Command)
		}
		fmt.Fprintln(a.stderr)
	}
	if !e.Hint.IsZero() {
		fmt.Fprintf(a.stderr, "  %s\n", a.words.Text(e.Hint))
	}
	if e.Kind == fault.Internal && e.Err != nil {
		fmt.Fprintf(a.stderr, "  (%v)\n", e.Err)
	}
}

// oneLine keeps what a user typed from breaking an error over lines or moving
// the cursor.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ReplaceAll(s, "\x1d", "{GS}"))
}

func writeJSON(w io.Writer, v any) {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	_ = e.Encode(v) // to a buffer whose Flush tells, or to standard error
}

// show writes a result: v as JSON, or what text writes.
func (a *app) show(v any, text func()) {
	if a.json {
		a.words.Fill(v)
		writeJSON(a.out, v)
		return
	}
	text()
}

// say writes a line of the message table.
func (a *app) say(id string, args ...any) { fmt.Fprintln(a.out, a.words.Say(id, args...)) }

// open opens the shop, in whose language everything goes on.
func (a *app) open(ctx context.Context, process string) (*shop.Shop, error) {
	s, err := shop.Open(ctx, a.dir, shop.Options{By: a.by, Process: process})
	if err == nil {
		a.words = words.For(s.Settings().Language)
	}
	return s, err
}

// completeParts completes the argument at place (from 0) with part numbers.
func (a *app) completeParts(place int) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) != place {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		s, err := a.open(cmd.Context(), "")
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		defer s.Close()
		numbers, err := s.Complete(cmd.Context(), typed)
		if err != nil {
			return nil, cobra.ShellCompDirectiveError
		}
		return numbers, cobra.ShellCompDirectiveNoFileComp
	}
}

// withShop makes the body of a command that works on the shop.
func (a *app) withShop(f func(context.Context, *shop.Shop, []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		s, err := a.open(cmd.Context(), "")
		if err != nil {
			return err
		}
		err = f(cmd.Context(), s, args)
		if err == nil && a.out.Flush() == nil { // the answer does not wait for the index
			err = s.CatchUp(cmd.Context())
		}
		return errors.Join(err, s.Close())
	}
}
