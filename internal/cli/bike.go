package cli

import (
	"context"
	"fmt"

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
		return a.forkKept(out, err)
	}))
	flags := cmd.Flags()
	flags.StringVar(&f.Leg, "leg", "", a.words.Say("cli.flag.leg_diameter"))
	flags.StringVar(&f.Layout, "layout", "", a.words.Say("cli.flag.layout"))
	flags.StringVar(&f.Damping, "damping", "", a.words.Say("cli.flag.damping"))
	flags.StringVar(&f.Springing, "springing", "", a.words.Say("cli.flag.springing"))
	flags.StringVar(&f.Looks.CapShape, "cap-shape", "", a.words.Say("cli.flag.cap_shape"))
	flags.StringVar(&f.Looks.CapFlats, "cap-flats", "", a.words.Say("cli.flag.cap_flats"))
	flags.StringVar(&f.Looks.CapThread, "cap-thread", "", a.words.Say("cli.flag.cap_thread"))
	flags.StringVar(&f.Looks.LeftCap, "left-cap", "", a.words.Say("cli.flag.left_cap"))
	flags.StringVar(&f.Looks.RightCap, "right-cap", "", a.words.Say("cli.flag.right_cap"))
	flags.StringVar(&f.Looks.Axle, "axle", "", a.words.Say("cli.flag.axle"))
	flags.StringVar(&f.Looks.Centres, "centres", "", a.words.Say("cli.flag.centres"))
	flags.StringVar(&f.Note, "note", "", a.words.Say("cli.flag.note"))
	flags.StringVar(&f.Source, "source", "", a.words.Say("cli.flag.source"))
	a.tellHow(cmd, &f.How)
	a.completeWords(cmd, map[string][]string{
		"layout": catalog.Layouts, "damping": catalog.Dampings, "springing": catalog.Springings,
		"cap-shape": catalog.CapShapes, "left-cap": catalog.Caps, "right-cap": catalog.Caps,
	})
	return cmd
}

// forkKept shows a fork that was added or changed.
func (a *app) forkKept(out shop.Fork, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		a.say("cli.fork.head", out.Fork, a.mm(out.LegDiameter), a.words.Say("layout."+out.Layout))
		a.legs(out)
		if len(out.Positions) == 0 {
			a.say("cli.fork.next", words.ShellWord(out.Fork))
		}
	})
	return nil
}

// legs shows what the legs hold, and what a fork looks like.
func (a *app) legs(f shop.Fork) {
	for _, l := range f.Legs {
		a.say("cli.fork.leg", a.words.Say("leg."+l.Leg), a.words.Say("damping."+l.Damping), a.words.Say("springing."+l.Springing))
		if l.Cap != "" {
			a.say("cli.fork.cap", a.words.Say("measure."+l.Leg+"_cap"), a.words.Say("cap."+l.Cap))
		}
	}
	for _, m := range f.Looks.Said() {
		fmt.Fprintln(a.out, "  "+a.words.Text(m))
	}
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
