package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) addFork() *cobra.Command {
	var f shop.ForkFacts
	return a.forkFacts("fork NAME --leg MM [--layout conventional|upside-down]", &f, (*shop.Shop).AddFork)
}

func (a *app) changeFork() *cobra.Command {
	var f shop.ForkFacts
	cmd := a.forkFacts("fork NAME [--name NAME] [--leg MM] [--note TEXT] ...", &f, (*shop.Shop).ChangeFork)
	cmd.Flags().StringVar(&f.Name, "name", "", a.words.Say("cli.flag.name"))
	return cmd
}

// forkFacts makes a command that takes what can be told of a fork.
func (a *app) forkFacts(use string, f *shop.ForkFacts,
	keep func(*shop.Shop, context.Context, string, shop.ForkFacts) (shop.Fork, error),
) *cobra.Command {
	cmd := a.command(use, 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := keep(s, ctx, args[0], *f)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.fork.head", out.Fork, a.mm(out.LegDiameter), a.words.Say("layout."+out.Layout))
			for _, l := range out.Legs {
				a.say("cli.fork.leg", a.words.Say("leg."+l.Leg), a.words.Say("damping."+l.Damping), a.words.Say("springing."+l.Springing))
			}
			if len(out.Positions) == 0 {
				a.say("cli.fork.next", words.ShellWord(out.Fork))
			}
		})
		return nil
	}))
	flags := cmd.Flags()
	flags.StringVar(&f.Leg, "leg", "", a.words.Say("cli.flag.leg_diameter"))
	flags.StringVar(&f.Layout, "layout", "", a.words.Say("cli.flag.layout"))
	flags.StringVar(&f.Damping, "damping", "", a.words.Say("cli.flag.damping"))
	flags.StringVar(&f.Springing, "springing", "", a.words.Say("cli.flag.springing"))
	flags.StringVar(&f.Note, "note", "", a.words.Say("cli.flag.note"))
	flags.StringVar(&f.Source, "source", "", a.words.Say("cli.flag.source"))
	a.tellHow(cmd, &f.How)
	a.completeWords(cmd, map[string][]string{"layout": catalog.Layouts, "damping": catalog.Dampings, "springing": catalog.Springings})
	return cmd
}

func (a *app) addBike() *cobra.Command {
	return a.command("bike MAKE MODEL YEARS FORK", 4, 4, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.AddBike(ctx, shop.Bike{Make: args[0], Model: args[1], Years: args[2], Fork: args[3]})
		return a.bike(out, err)
	}))
}

func (a *app) changeBike() *cobra.Command {
	var years, fork string
	cmd := a.command("bike MAKE MODEL YEARS FORK [--years YEARS] [--fork FORK]", 4, 4,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangeBike(ctx, shop.Bike{Make: args[0], Model: args[1], Years: args[2], Fork: args[3]}, years, fork)
			return a.bike(out, err)
		}))
	cmd.Flags().StringVar(&years, "years", "", a.words.Say("cli.flag.years"))
	cmd.Flags().StringVar(&fork, "fork", "", a.words.Say("cli.flag.fork"))
	return cmd
}

func (a *app) bike(out shop.Bike, err error) error {
	if err == nil {
		a.show(&out, func() { a.say("cli.bike.done", out.Make, out.Model, out.Years, out.Fork) })
	}
	return err
}
