package cli

import (
	"context"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/bench"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) reindexCommand() *cobra.Command {
	return a.command("reindex", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		var progress func(done, of int)
		if isTerminal(a.stderr) && !a.json {
			progress = a.bar
		}
		out, err := s.Reindex(ctx, progress)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.reindex.done", out.Entries)
			if len(out.Left) > 0 {
				a.say("cli.reindex.left")
			}
		})
		return nil
	}))
}

func (a *app) benchCommand() *cobra.Command {
	opt := bench.Options{Parts: 100_000, Questions: 100, Runs: 3}
	movements := 0
	cmd := a.command("bench [--parts N] [--questions N] [--movements N] [--runs N]", 0, 0, func(cmd *cobra.Command, _ []string) (err error) {
		if opt.Dir, err = os.MkdirTemp("", "forkstock-bench-"); err != nil {
			return fault.New(fault.Denied, "bench.folder", os.TempDir()).WithCause(err)
		}
		defer os.RemoveAll(opt.Dir)
		if opt.Program, err = os.Executable(); err != nil {
			opt.Program = ""
		}
		if isTerminal(a.stderr) && !a.json {
			opt.Progress = a.bar
		}
		var out bench.Result
		if cmd.Flags().Changed("movements") {
			out, err = bench.RunLedger(cmd.Context(), bench.LedgerOptions{
				Movements: movements, Runs: opt.Runs, Dir: opt.Dir, Program: opt.Program, Progress: opt.Progress,
			})
		} else {
			out, err = bench.Run(cmd.Context(), opt)
		}
		if err != nil {
			return err
		}
		a.show(&out, func() { a.measured(out) })
		if out.Over() {
			return errNo
		}
		return nil
	})
	cmd.Flags().IntVar(&opt.Parts, "parts", opt.Parts, a.words.Say("cli.flag.parts"))
	cmd.Flags().IntVar(&opt.Questions, "questions", opt.Questions, a.words.Say("cli.flag.questions"))
	cmd.Flags().IntVar(&movements, "movements", 0, a.words.Say("cli.flag.movements"))
	cmd.Flags().IntVar(&opt.Runs, "runs", opt.Runs, a.words.Say("cli.flag.runs"))
	return cmd
}

// measured shows the figures: a table of the kinds of question in milliseconds,
// then what was promised.
func (a *app) measured(r bench.Result) {
	if r.Movements > 0 {
		a.say("cli.bench.ledger", r.Movements, r.Runs)
		a.rows(r.Rows)
		return
	}
	a.say("cli.bench.head", r.Parts, r.BuildMS, r.Runs)
	if !r.FTS5 {
		a.say("cli.bench.no_fts5")
	}
	ms := func(us int64) string {
		if us == 0 {
			return "-"
		}
		return fmt.Sprintf("%d.%02d", us/1000, us%1000/10)
	}
	var g grid
	g.add(strings.Split(a.words.Say("cli.bench.classes"), "\t")...)
	for _, c := range r.Classes {
		g.add(c.Class, ms(c.P50), ms(c.P99), ms(c.Page50), ms(c.Page99), ms(c.FTS), ms(c.FTS99), ms(c.Scan))
	}
	g.write(a.out)
	fmt.Fprintln(a.out)
	a.rows(r.Rows)
}

// rows shows promises and what was measured.
func (a *app) rows(rows []bench.Row) {
	var g grid
	g.add(strings.Split(a.words.Say("cli.bench.rows"), "\t")...)
	for _, row := range rows {
		verdict := a.words.Say("cli.bench.over")
		if row.OK {
			verdict = a.words.Say("cli.bench.ok")
		}
		baseline := "-"
		if row.Baseline > 0 {
			baseline = fmt.Sprint(row.Baseline)
		}
		g.add(row.What, fmt.Sprint(row.Limit)+" "+row.Unit, fmt.Sprint(row.Value), baseline, verdict)
	}
	g.write(a.out)
}
