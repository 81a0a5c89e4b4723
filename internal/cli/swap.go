package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) addSwap() *cobra.Command {
	var note string
	cmd := a.command("swap BIKE FORK [--note TEXT]", 2, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.AddSwap(ctx, args[0], args[1], note)
		if err == nil {
			a.show(&out, func() { a.say("cli.swap.done", out.Bike, out.Fork) })
		}
		return err
	}))
	cmd.Flags().StringVar(&note, "note", "", a.words.Say("cli.flag.swap_note"))
	return cmd
}

func (a *app) changeSwap() *cobra.Command {
	var c shop.SwapChange
	cmd := a.command("swap BIKE [--fork FORK] [--note TEXT] | swap BIKE --own", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangeSwap(ctx, args[0], c)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				if c.Own {
					a.say("cli.swap.own", out.Bike)
					return
				}
				a.say("cli.swap.done", out.Bike, out.Fork)
			})
			return nil
		}))
	a.tellText(cmd, &c.Fork, "fork", "cli.flag.fork")
	a.tellText(cmd, &c.Note, "note", "cli.flag.swap_note")
	cmd.Flags().BoolVar(&c.Own, "own", false, a.words.Say("cli.flag.own"))
	return cmd
}

func (a *app) changeRenewal() *cobra.Command {
	cmd := a.command("renewal ROLE always|opened|judge|damage", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.SetRenewal(ctx, args[0], args[1])
			if err == nil {
				a.show(&out, func() { a.renewal(out) })
			}
			return err
		}))
	return cmd
}

// renewal says when the shop renews a role.
func (a *app) renewal(r shop.Renewal) {
	id := "cli.renewal.practice"
	if r.Own {
		id = "cli.renewal.own"
	}
	a.say(id, a.words.Say("role."+string(r.Role)), a.words.Say("renew."+r.Renew))
}
