package cli

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/table"
)

func (a *app) labelCommand() *cobra.Command {
	var q shop.LabelRequest
	var file string
	var test, dry bool
	cmd := a.command("label [PART...] [--bin NAME]... [--bins] [--of BIN] [--order ORDER]... [--delivery NAME] [--today] [--each] [--pieces N] [--copies N] "+
		"[--sheet SHEET] [--code CODE] [--dpi N] [--module MM] [--start N] [--dry-run] [-o FILE]", 0, -1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Parts = args
			if dry {
				out, err := s.LabelPlan(ctx, q)
				if err == nil {
					a.show(&labelAnswer{DryRun: true, Labelled: out}, func() { a.wouldLabel(out) })
				}
				return err
			}
			if err := a.takesPDF(file); err != nil {
				return err
			}
			if test {
				pdf, err := s.LabelTrial(ctx, q.LabelSheet)
				if err != nil {
					return err
				}
				return a.printed(file, pdf, nil, func() { a.say("cli.label.trial", file) })
			}
			out, err := s.Label(ctx, q)
			if err != nil {
				return err
			}
			return a.printed(file, out.PDF, &labelAnswer{File: file, Labelled: out}, func() { a.labelled(file, out) })
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	flags := cmd.Flags()
	flags.StringArrayVar(&q.Bins, "bin", nil, a.words.Say("cli.flag.label_bin"))
	flags.BoolVar(&q.AllBins, "bins", false, a.words.Say("cli.flag.label_bins"))
	flags.StringVar(&q.Of, "of", "", a.words.Say("cli.flag.label_of"))
	flags.StringArrayVar(&q.Orders, "order", nil, a.words.Say("cli.flag.label_order"))
	flags.StringVar(&q.Delivery, "delivery", "", a.words.Say("cli.flag.label_delivery"))
	flags.BoolVar(&q.Today, "today", false, a.words.Say("cli.flag.label_today"))
	flags.BoolVar(&q.Each, "each", false, a.words.Say("cli.flag.label_each"))
	flags.Int64Var(&q.Pieces, "pieces", 0, a.words.Say("cli.flag.label_pieces"))
	flags.IntVar(&q.Copies, "copies", 1, a.words.Say("cli.flag.copies"))
	flags.StringVar(&q.Sheet, "sheet", "", a.words.Say("cli.flag.sheet"))
	flags.StringVar(&q.Code, "code", "", a.words.Say("cli.flag.label_code"))
	flags.IntVar(&q.DPI, "dpi", 0, a.words.Say("cli.flag.dpi"))
	flags.StringVar(&q.Module, "module", "", a.words.Say("cli.flag.module"))
	flags.IntVar(&q.Start, "start", 1, a.words.Say("cli.flag.start"))
	flags.StringVarP(&file, "output", "o", "", a.words.Say("cli.flag.label_output"))
	flags.BoolVar(&dry, "dry-run", false, a.words.Say("cli.flag.label_dry"))
	flags.BoolVar(&test, "test", false, a.words.Say("cli.flag.label_test"))
	return cmd
}

// takesPDF refuses to write a PDF file where it would be text or be lost.
func (a *app) takesPDF(file string) error {
	switch {
	case file != "":
		return nil
	case a.json:
		return fault.New(fault.Invalid, "cli.label.json").WithHint("cli.label.terminal.hint")
	case isTerminal(a.stdout):
		return fault.New(fault.Invalid, "cli.label.terminal").WithHint("cli.label.terminal.hint")
	}
	return nil
}

// printed writes a PDF file, to standard output where file is empty, and tells
// of it.
func (a *app) printed(file string, pdf []byte, answer any, tell func()) error {
	write := func(w io.Writer) error {
		_, err := w.Write(pdf)
		return err
	}
	if file == "" {
		return write(a.out)
	}
	if err := table.Replace(file, write); err != nil {
		return err
	}
	if answer == nil {
		answer = &struct {
			File string `json:"file"`
		}{file}
	}
	a.show(answer, tell)
	return nil
}

// labelAnswer is what is told of labels.
type labelAnswer struct {
	File   string `json:"file"`
	DryRun bool   `json:"dry_run"`
	shop.Labelled
}

// mostListed is how many labels are told one by one.
const mostListed = 12

// labelList tells the first labels, and how many more there are.
func (a *app) labelList(labels []shop.Label, mark func(l shop.Label) string) {
	var g grid
	for _, l := range labels[:min(len(labels), mostListed)] {
		g.add("  "+l.Text, l.Name(), mark(l))
	}
	g.write(a.out)
	if more := len(labels) - mostListed; more > 0 {
		a.say("cli.label.more", more)
	}
}

// labelled tells what was printed: each part and bin, with the number that it
// was given now where it had none.
func (a *app) labelled(file string, out shop.Labelled) {
	a.labelList(out.Labels, func(l shop.Label) string {
		mark := a.words.Show(l.ModuleUM) + " mm"
		if l.New {
			mark += ", " + a.words.Say("cli.label.new")
		}
		return mark
	})
	a.say("cli.label.made", out.Count, out.Pages, file)
	if out.New > 0 {
		a.say("cli.label.numbered", out.New)
	}
	a.say("cli.label.how", out.Sheet, a.words.Say("shop.code."+out.Code), out.DPI)
	if out.Usual {
		a.say("cli.label.usual")
	}
}

// wouldLabel tells what would be printed.
func (a *app) wouldLabel(out shop.Labelled) {
	a.labelList(out.Labels, func(l shop.Label) string {
		if l.New {
			return a.words.Say("cli.label.would_new")
		}
		return ""
	})
	a.say("cli.label.would", out.Count, out.New)
}
