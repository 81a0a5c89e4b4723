package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) oil(fills []shop.Oil) {
	for _, o := range fills {
		a.say("cli.oil", a.words.Say("leg."+o.Leg), a.words.Say("cli.oil."+o.Chamber), strings.Join(a.oilSaid(o), ", "))
		if !o.Note.IsZero() {
			a.line("      ", a.words.Text(o.Note))
		}
		for _, w := range o.Whose {
			a.line("      ", a.words.Text(w))
		}
	}
}

// oilSaid gives what is known of a fill.
func (a *app) oilSaid(o shop.Oil) (said []string) {
	add := func(known bool, id string, args ...any) {
		if known {
			said = append(said, a.words.Say(id, args...))
		}
	}
	add(o.Model != "", "plain", o.Model)
	add(o.DryML > 0, "cli.oil.dry", o.DryML)
	add(o.RefillML > 0, "cli.oil.refill", o.RefillML)
	add(o.JobML > 0 && o.Leg == "both", "cli.oil.job", o.JobML)
	add(o.GapUM > 0, "cli.oil.gap", o.GapUM, o.GapHow)
	add(o.Grade != "", "plain", o.Grade)
	add(o.CSt > 0, "cli.oil.cst", o.CSt)
	add(o.Index > 0, "cli.oil.index", o.Index)
	return said
}

func (a *app) addOil() *cobra.Command {
	return a.oilCommand("oil FORK --dry 480mL [--gap 140 --gap-how TEXT] [--model \"MAKE MODEL\" --years YEARS] ...", (*shop.Shop).AddOil)
}

func (a *app) changeOil() *cobra.Command {
	return a.oilCommand("oil FORK [--dry 485mL] [--model \"MAKE MODEL\" --years YEARS] ...", (*shop.Shop).ChangeOil)
}

// oilCommand makes a command that takes what can be told of an oil fill.
func (a *app) oilCommand(use string, keep func(*shop.Shop, context.Context, shop.OilRequest) (shop.Fork, error)) *cobra.Command {
	var q shop.OilRequest
	cmd := a.command(use, 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Fork = args[0]
		out, err := keep(s, ctx, q)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.fork.head", out.Fork, a.mm(out.LegDiameter), a.words.Say("layout."+out.Layout))
			a.oil(out.Oil)
			a.nextOil(out)
		})
		return nil
	}))
	flags := cmd.Flags()
	flags.StringVar(&q.Model, "model", "", a.words.Say("cli.flag.oil_model"))
	flags.StringVar(&q.Years, "years", "", a.words.Say("cli.flag.oil_years"))
	flags.StringVar(&q.Leg, "leg", "", a.words.Say("cli.flag.side"))
	flags.StringVar(&q.Chamber, "chamber", "", a.words.Say("cli.flag.chamber"))
	a.tellText(cmd, &q.Dry, "dry", "cli.flag.dry")
	a.tellText(cmd, &q.Refill, "refill", "cli.flag.refill")
	a.tellText(cmd, &q.Gap, "gap", "cli.flag.gap")
	a.tellText(cmd, &q.GapHow, "gap-how", "cli.flag.gap_how")
	a.tellText(cmd, &q.Grade, "grade", "cli.flag.grade")
	a.tellText(cmd, &q.CSt, "cst", "cli.flag.cst")
	a.tellText(cmd, &q.Index, "index", "cli.flag.index")
	a.tellText(cmd, &q.Source, "source", "cli.flag.source")
	flags.BoolVar(&q.Sure, "sure", false, a.words.Say("cli.flag.oil_sure"))
	a.completeWords(cmd, map[string][]string{"leg": catalog.Sides, "chamber": catalog.Chambers})
	return cmd
}

// nextOil says how the oil gets into the job, where the fork has no place for
// it yet.
func (a *app) nextOil(f shop.Fork) {
	for _, p := range f.Positions {
		if p.Role == catalog.Oil {
			return
		}
	}
	for _, o := range f.Oil {
		if o.DryML > 0 && o.Model == "" {
			a.say("cli.oil.next", words.ShellWord(f.Fork), o.DryML)
			return
		}
	}
}
