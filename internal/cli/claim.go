package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// tellHow adds the flag for the kind of source.
func (a *app) tellHow(cmd *cobra.Command, how *string) {
	cmd.Flags().StringVar(how, "how", "", a.words.Say("cli.flag.how"))
	a.completeWords(cmd, map[string][]string{"how": catalog.Hows})
}

func (a *app) confirmCommand() *cobra.Command {
	var q shop.ConfirmRequest
	var claim string
	cmd := a.command("confirm PART FORK | confirm PART [--field FIELD] | confirm --claim N", 0, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			if (len(args) == 0) == (claim == "") || len(args) == 2 && q.Field != "" {
				return fault.New(fault.Invalid, "cli.confirm.what").WithHint("cli.confirm.what.hint")
			}
			if claim != "" {
				if q.Claim, err = shop.ReadClaim(claim); err != nil {
					return err
				}
			}
			if len(args) > 0 {
				q.Part = args[0]
			}
			if len(args) > 1 {
				q.Fork = args[1]
			}
			out, err := s.Confirm(ctx, q)
			if err == nil {
				a.show(&out, func() { a.confirmed(out) })
			}
			return err
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	flags := cmd.Flags()
	flags.StringVar(&claim, "claim", "", a.words.Say("cli.flag.claim"))
	flags.StringVar(&q.Field, "field", "", a.words.Say("cli.flag.field"))
	flags.IntVar(&q.Place, "place", 0, a.words.Say("cli.flag.place"))
	flags.BoolVar(&q.Wrong, "wrong", false, a.words.Say("cli.flag.wrong"))
	flags.StringVar(&q.Why, "why", "", a.words.Say("cli.flag.why"))
	return cmd
}

func (a *app) confirmed(out shop.Confirmed) {
	if out.Added {
		a.say("cli.confirm.added", out.Fork, a.words.Say("role."+string(out.Role)), out.Place)
	}
	a.say("cli.confirm.done", a.words.Text(out.Of()), a.words.Text(out.Says()), a.words.Text(out.Said))
	if out.Repeated {
		a.say("claim.again")
	}
	if out.Wrong > 0 && out.InForce {
		a.say("cli.confirm.still", out.Claim)
	}
}

func (a *app) withdrawCommand() *cobra.Command {
	var why string
	cmd := a.command("withdraw CLAIM --why REASON", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		number, err := shop.ReadClaim(args[0])
		if err != nil {
			return err
		}
		out, err := s.Withdraw(ctx, number, why)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.withdraw.done", out.Claim, a.words.Text(out.Of()), a.words.Text(out.Says()))
			if out.NowWhy.IsZero() {
				a.say("cli.withdraw.nothing")
				return
			}
			now := out.Source
			now.Value = out.Now
			a.say("cli.withdraw.now", a.words.Text(now.Says()), a.words.Text(out.NowWhy))
		})
		return nil
	}))
	cmd.Flags().StringVar(&why, "why", "", a.words.Say("cli.flag.why"))
	return cmd
}

func (a *app) sourcesCommand() *cobra.Command {
	var fork string
	cmd := a.command("sources PART | sources --fork FORK", 0, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
		if (len(args) == 0) == (fork == "") {
			return fault.New(fault.Invalid, "cli.sources.what").WithHint("cli.sources.what.hint")
		}
		var out shop.Sources
		if fork != "" {
			out, err = s.SourcesOfFork(ctx, fork)
		} else {
			out, err = s.SourcesOfPart(ctx, args[0])
		}
		if err == nil {
			a.show(&out, func() { a.sources(out.Sources) })
		}
		return err
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&fork, "fork", "", a.words.Say("cli.flag.fork_sources"))
	return cmd
}

// sources lists claims, each with its number.
func (a *app) sources(all []shop.Source) {
	if len(all) == 0 {
		a.say("cli.sources.none")
		return
	}
	for _, s := range all {
		mark := " "
		if s.InForce {
			mark = "*"
		}
		fmt.Fprintf(a.out, "%s %4d  %s: %s\n", mark, s.Claim, a.words.Text(s.Of()), a.words.Text(s.Says()))
		text := a.words.Text(s.By())
		if s.Right > 0 {
			text += ", " + a.words.Say("claim.seen_right", s.Right)
		}
		if s.Wrong > 0 {
			text += ", " + a.words.Say("claim.seen_wrong", s.Wrong)
		}
		if s.Why != "" {
			text += ": " + s.Why
		}
		fmt.Fprintf(a.out, "        %s\n", text)
		if s.Withdrawn != "" {
			fmt.Fprintf(a.out, "        %s\n", a.words.Say("claim.taken_back", s.WithdrawnBy, s.WithdrawnDay, s.Withdrawn))
		}
	}
	a.say("cli.sources.mark")
}
