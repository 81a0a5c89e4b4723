package cli

import (
	"context"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/table"
)

func (a *app) countCommand() *cobra.Command {
	cmd := a.command("count | count begin|set|scan|bin|post|drop|sheet ... | count NAME", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				out, err := s.CountOf(ctx, args[0])
				return a.counted(out, err)
			}
			all, err := s.Counts(ctx)
			if err != nil {
				return err
			}
			out := struct {
				Counts []shop.Count `json:"counts"`
			}{all}
			a.show(&out, func() {
				if len(all) == 0 {
					a.say("cli.count.none")
				}
				for _, c := range all {
					a.say("cli.count.head", c.Name, c.Begun, len(c.Lines), c.Differences)
				}
			})
			return nil
		}))
	cmd.AddCommand(a.countBegin(), a.countSet(), a.countScan(), a.countBin(), a.countPost(), a.countDrop(), a.countSheet())
	return cmd
}

// counted shows a count with its differences.
func (a *app) counted(out shop.Count, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		a.say("cli.count.head", out.Name, out.Begun, len(out.Lines), out.Differences)
		g := grid{right: []int{3, 4, 5}}
		for _, l := range out.Lines {
			note := ""
			switch {
			case l.Moved:
				note = "! " + a.words.Say("cli.count.moved")
			case !l.Seen:
				note = a.words.Say("cli.count.unseen")
			}
			if l.InTrays > 0 {
				note += "  " + a.words.Say("cli.count.trays", l.InTrays)
			}
			difference := ""
			if l.Difference != 0 {
				difference = signed(l.Difference)
			}
			g.add("  "+l.Bin, l.Maker+"/"+l.Number, a.words.Say("role."+string(l.Role)), a.words.Say("cli.count.counted", l.Counted),
				a.words.Say("cli.count.book", l.Book), difference, note)
		}
		g.write(a.out)
		if out.State == "posted" {
			a.say("cli.count.posted", len(out.Postings))
		}
	})
	return nil
}

func (a *app) countBegin() *cobra.Command {
	cmd := a.command("begin NAME", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.BeginCount(ctx, args[0])
		return a.counted(out, err)
	}))
	cmd.Short = a.words.Say("cli.count.begin")
	return cmd
}

func (a *app) countSet() *cobra.Command {
	cmd := a.command("set NAME BIN PART PIECES", 4, 4, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		n, err := pieces(args[3])
		if err != nil {
			return err
		}
		out, err := s.SetCount(ctx, shop.CountSet{Count: args[0], Bin: args[1], Part: args[2], Amount: n})
		return a.counted(out, err)
	}))
	cmd.Short = a.words.Say("cli.count.set")
	return cmd
}

func (a *app) countScan() *cobra.Command {
	var bin, session string
	cmd := a.command("scan NAME [--bin BIN] [--session ID]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.ScanCount(ctx, args[0], bin, session, a.stdin)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.count.scanned", out.Scanned, out.Repeated)
			for _, u := range out.Unknown {
				a.say("cli.count.unknown", u)
			}
		})
		if len(out.Unknown) > 0 {
			return errNo
		}
		return nil
	}))
	cmd.Short = a.words.Say("cli.count.scan")
	cmd.Flags().StringVar(&bin, "bin", "", a.words.Say("cli.flag.count_bin"))
	cmd.Flags().StringVar(&session, "session", "", a.words.Say("cli.flag.session"))
	return cmd
}

func (a *app) countBin() *cobra.Command {
	cmd := a.command("bin NAME BIN", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.CountBin(ctx, args[0], args[1])
		return a.counted(out, err)
	}))
	cmd.Short = a.words.Say("cli.count.bin")
	return cmd
}

func (a *app) countPost() *cobra.Command {
	var reason string
	cmd := a.command("post NAME [--reason TEXT]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.PostCount(ctx, shop.CountPosting{Count: args[0], Reason: reason})
		return a.counted(out, err)
	}))
	cmd.Short = a.words.Say("cli.count.post")
	cmd.Flags().StringVar(&reason, "reason", "", a.words.Say("cli.flag.reason"))
	return cmd
}

func (a *app) countDrop() *cobra.Command {
	cmd := a.command("drop NAME", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if err := s.DropCount(ctx, args[0]); err != nil {
			return err
		}
		a.say("cli.count.dropped", args[0])
		return nil
	}))
	cmd.Short = a.words.Say("cli.count.drop")
	return cmd
}

func (a *app) countSheet() *cobra.Command {
	var file string
	var blind bool
	cmd := a.command("sheet [BIN...] -o FILE.pdf [--blind]", 0, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if form, ok := shop.OrderForm(file); !ok || form != shop.OrderPDF {
			return fault.New(fault.Invalid, "cli.count.pdf", strconv.Quote(file)).WithHint("cli.count.pdf.hint")
		}
		pdf, err := s.CountSheet(ctx, args, blind)
		if err != nil {
			return err
		}
		if err := table.Replace(file, func(w io.Writer) error { _, err := w.Write(pdf); return err }); err != nil {
			return err
		}
		a.say("cli.count.written", file)
		return nil
	}))
	cmd.Short = a.words.Say("cli.count.sheet")
	cmd.Flags().StringVarP(&file, "output", "o", "", a.words.Say("cli.flag.count_file"))
	cmd.Flags().BoolVar(&blind, "blind", false, a.words.Say("cli.flag.blind"))
	return cmd
}
