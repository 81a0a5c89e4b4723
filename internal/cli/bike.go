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
	var b shop.Bike
	cmd := a.command("bike MAKE MODEL YEARS FORK [--variant V] [--code CODE] [--frames FROM-TO] | bike MAKE MODEL FORK --frames FROM-TO", 3, 4,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			b.Make, b.Model, b.Fork = args[0], args[1], args[len(args)-1]
			if len(args) == 4 {
				b.Years = args[2]
			}
			out, err := s.AddBike(ctx, b)
			return a.bike(out, err)
		}))
	cmd.Flags().StringVar(&b.Variant, "variant", "", a.words.Say("cli.flag.variant"))
	cmd.Flags().StringVar(&b.Code, "code", "", a.words.Say("cli.flag.code"))
	cmd.Flags().StringVar(&b.Frames, "frames", "", a.words.Say("cli.flag.frames"))
	return cmd
}

func (a *app) changeBike() *cobra.Command {
	var c shop.BikeChange
	cmd := a.command("bike MAKE MODEL YEARS FORK [--years YEARS] [--fork FORK] [--variant V] [--code CODE] [--frames FROM-TO]", 4, 4,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangeBike(ctx, shop.Bike{Make: args[0], Model: args[1], Years: args[2], Fork: args[3]}, c)
			return a.bike(out, err)
		}))
	cmd.Flags().StringVar(&c.Years, "years", "", a.words.Say("cli.flag.years"))
	cmd.Flags().StringVar(&c.Fork, "fork", "", a.words.Say("cli.flag.fork"))
	a.tellText(cmd, &c.Variant, "variant", "cli.flag.variant")
	a.tellText(cmd, &c.Code, "code", "cli.flag.code")
	a.tellText(cmd, &c.Frames, "frames", "cli.flag.frames")
	return cmd
}

func (a *app) bike(out shop.Bike, err error) error {
	if err == nil {
		a.show(&out, func() { a.say("cli.bike.done", out.Name(), out.Fork) })
	}
	return err
}
