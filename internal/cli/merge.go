package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) mergeCommand() *cobra.Command {
	var yes bool
	var undo, reason string
	var cmd *cobra.Command
	cmd = a.command("merge [KEPT GONE [--yes] [--reason REASON]] | merge --undo MERGE", 0, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			undoing := cmd.Flags().Changed("undo")
			switch {
			case len(args) == 1, undoing && (len(args) > 0 || yes), yes && len(args) == 0:
				return fault.New(fault.Invalid, "cli.merge_args").WithHint("cli.usage.hint", cmd.UseLine())
			case undoing:
				return a.merged(s.Unmerge(ctx, undo))
			case len(args) == 0:
				return a.mergeList(ctx, s)
			case yes:
				return a.merged(s.Merge(ctx, args[0], args[1], reason))
			}
			return a.merged(s.MergeShow(ctx, args[0], args[1]))
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().BoolVar(&yes, "yes", false, a.words.Say("cli.flag.merge_yes"))
	cmd.Flags().StringVar(&undo, "undo", "", a.words.Say("cli.flag.merge_undo"))
	cmd.Flags().StringVar(&reason, "reason", "", a.words.Say("cli.flag.merge_why"))
	return cmd
}

func (a *app) mergeList(ctx context.Context, s *shop.Shop) error {
	out, err := s.MergeList(ctx)
	if err != nil {
		return err
	}
	a.show(&out, func() {
		if len(out.Proposals) == 0 {
			a.say("cli.merge.none")
		}
		for _, p := range out.Proposals {
			a.say("cli.merge.proposed", p.Kept.Name(), p.Gone.Name(), p.Reason)
			fmt.Fprintln(a.out, "  "+p.Command)
		}
		if len(out.Merges) > 0 {
			a.say("cli.merge.done")
		}
		for _, m := range out.Merges {
			a.say("cli.merge.stands", m.Gone.Name(), m.Kept.Name(), m.Reason, m.Person, m.Time.In(s.Settings().Location()).Format("2006-01-02 15:04"))
			fmt.Fprintln(a.out, "  forkstock merge --undo "+m.Merge)
		}
	})
	return nil
}

// merged shows a merge: what it would do, what it did, or that it is undone.
func (a *app) merged(out shop.Merged, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		kept, gone := out.Kept.Name(), out.Gone.Name()
		a.say("cli.merge.head."+out.State, kept, gone)
		for _, m := range out.Moves {
			fmt.Fprintln(a.out, "  "+a.words.Text(m.Text))
		}
		switch out.State {
		case "undone":
			if out.Used > 0 {
				a.say("cli.merge.used", a.amount(out.Used, out.Gone.Unit), kept)
			}
			return
		case "shown":
			fmt.Fprintln(a.out, "  "+a.words.Say("cli.merge.finds", gone, kept))
			a.say("cli.merge.do", "forkstock merge "+words.ShellWord(kept)+" "+words.ShellWord(gone))
		default:
			a.say("cli.merge.undo", out.Merge)
		}
	})
	return nil
}
