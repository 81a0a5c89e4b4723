package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) ignoreCommand() *cobra.Command {
	var q shop.IgnoreRequest
	cmd := a.command("ignore | ignore CODE [--alike [--begins TEXT] [--any-length] [--yes]] | ignore CODE --back | ignore --back-shape N", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				q.Code = args[0]
			}
			q.Alike = q.Alike || q.Begins != "" || q.AnyLength
			if len(args) == 0 && (q.Back || q.Alike) || len(args) == 1 && q.BackShape != 0 || q.Back && q.Alike {
				return fault.New(fault.Invalid, "cli.args", "ignore").WithHint("cli.ignore.hint")
			}
			if len(args) == 0 && q.BackShape == 0 {
				out, err := s.Ignored(ctx)
				if err == nil {
					a.show(&out, func() { a.ignored(out) })
				}
				return err
			}
			out, err := s.Ignore(ctx, q)
			if err == nil {
				a.show(&out, func() { a.ignoring(out) })
			}
			return err
		}))
	cmd.Flags().BoolVar(&q.Alike, "alike", false, a.words.Say("cli.flag.intake_alike"))
	cmd.Flags().StringVar(&q.Begins, "begins", "", a.words.Say("cli.flag.intake_begins"))
	cmd.Flags().BoolVar(&q.AnyLength, "any-length", false, a.words.Say("cli.flag.intake_any_length"))
	cmd.Flags().BoolVar(&q.Yes, "yes", false, a.words.Say("cli.flag.intake_keep_it"))
	cmd.Flags().BoolVar(&q.Back, "back", false, a.words.Say("cli.flag.intake_back"))
	cmd.Flags().Int64Var(&q.BackShape, "back-shape", 0, a.words.Say("cli.flag.intake_back_shape"))
	return cmd
}

// ignored lists what is no part.
func (a *app) ignored(out shop.Ignoring) {
	for _, c := range out.Codes {
		a.say("cli.ignore.code", a.code(c.Code), c.Scans, c.Person, c.Day)
	}
	for _, y := range out.Shapes {
		a.say("cli.ignore.shape", y.Shape, a.shape(y), y.Scans, y.Person, y.Day)
	}
	if len(out.Codes)+len(out.Shapes) == 0 {
		a.say("cli.ignore.none")
	}
}

// shape tells how codes of a kind look.
func (a *app) shape(y shop.IgnoredShape) string {
	text := a.words.Say("cli.ignore.begins_any", oneLine(y.Begins))
	if y.Length > 0 {
		text = a.words.Say("cli.ignore.begins", oneLine(y.Begins), y.Length)
	}
	if y.Symbology != "" {
		text = y.Symbology + ", " + text
	}
	return text
}

// ignoring shows what telling it did, or would do.
func (a *app) ignoring(out shop.Ignoring) {
	switch {
	case out.Would != nil:
		a.say("cli.ignore.would", a.shape(*out.Would))
		for _, text := range out.Takes {
			fmt.Fprintln(a.out, "  "+oneLine(text))
		}
		if len(out.Takes) == 0 {
			a.say("cli.ignore.would_none")
		}
		a.say("cli.ignore.would_keep")
		return
	case out.TakenBack:
		a.say("cli.ignore.back")
	default:
		a.say("cli.ignore.kept")
	}
	if len(out.Settled.Symbols) > 0 {
		a.received(out.Settled)
	}
}
