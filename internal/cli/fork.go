package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) forkCommand() *cobra.Command {
	var q shop.ForkQuery
	cmd := a.command("fork NAME | fork --make MAKE --model MODEL [--year YEAR] [--frame NUMBER] | fork --code CODE | fork --bike BIKE", 0, -1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Name = strings.Join(args, " ")
			f, err := s.Fork(ctx, q)
			if err != nil {
				return err
			}
			a.show(&f, func() { a.fork(f) })
			return nil
		}))
	cmd.Flags().StringVar(&q.Make, "make", "", a.words.Say("cli.flag.make"))
	cmd.Flags().StringVar(&q.Model, "model", "", a.words.Say("cli.flag.model"))
	cmd.Flags().IntVar(&q.Year, "year", 0, a.words.Say("cli.flag.year"))
	cmd.Flags().StringVar(&q.Variant, "variant", "", a.words.Say("cli.flag.variant"))
	cmd.Flags().StringVar(&q.Code, "code", "", a.words.Say("cli.flag.code"))
	cmd.Flags().StringVar(&q.Frame, "frame", "", a.words.Say("cli.flag.frame"))
	cmd.Flags().StringVar(&q.Bike, "bike", "", a.words.Say("cli.flag.bike"))
	return cmd
}

func (a *app) fork(f shop.Fork) {
	a.foundBy(f)
	a.say("cli.fork.head", f.Fork, a.mm(f.LegDiameter), a.words.Say("layout."+f.Layout))
	a.legs(f)
	if len(f.Models) > 0 {
		a.say("cli.fork.bikes", a.bikes(f.Models))
	}
	for _, s := range f.Swaps {
		a.say("cli.fork.swap", s.Bike, s.Note)
	}
	if f.Note != "" {
		fmt.Fprintln(a.out, f.Note)
	}
	for _, n := range f.Neighbours {
		fmt.Fprintln(a.out, "! "+a.words.Text(n.Tell))
	}
	fmt.Fprintln(a.out)
	a.say("cli.fork.stack")
	for _, p := range f.Positions {
		a.position(p)
	}
	a.oil(f.Oil)
	if len(f.Tightening) > 0 {
		fmt.Fprintln(a.out)
		a.say("cli.fork.tightening")
		a.tightening(f.Tightening)
	}
	a.kitsFor(f.Kits)
	fmt.Fprintln(a.out)
	if f.Missing > 0 {
		a.few(len(f.Positions))
		a.say("cli.fork.missing", f.Missing)
		for _, p := range f.Positions {
			if p.Missing > 0 {
				a.say("cli.fork.lacks", a.amount(p.Missing, p.Unit), a.words.Say("role."+string(p.Role)), a.size(p.Sizes), a.buy(p))
			}
		}
	} else if len(f.Positions) == 0 {
		a.say("cli.fork.next", words.ShellWord(f.Fork))
	} else if !a.few(len(f.Positions)) {
		a.say("cli.fork.complete")
	}
	fmt.Fprintln(a.out)
	for _, c := range f.Cautions {
		fmt.Fprintln(a.out, "! "+a.words.Text(c))
	}
}

// foundBy says by which bike the fork was found.
func (a *app) foundBy(f shop.Fork) {
	for _, m := range f.Bikes {
		a.say("cli.fork.bike", m.Name())
	}
	if s := f.Swap; s != nil {
		a.say("cli.fork.swapped", s.Bike, s.Fork, s.Person, s.Day)
		if s.Note != "" {
			fmt.Fprintln(a.out, s.Note)
		}
	}
}

// buy names the part to get for a place that lacks some.
func (a *app) buy(p shop.Position) string {
	if part := p.Buy(); part != nil {
		return part.Name()
	}
	return ""
}

// doubt says why a part for a place is not simply one that fits.
func (a *app) doubt(fit shop.Fit) string {
	if fit.Verdict == "fits" && !fit.Old {
		return ""
	}
	var why []string
	for _, r := range fit.Reasons {
		why = append(why, a.words.Text(r))
	}
	text := "  " + strings.Join(why, "; ")
	if fit.Verdict == "near" || fit.Verdict == "no" && !fit.Old {
		text = "  " + a.words.Say("verdict."+string(fit.Verdict)) + ": " + strings.Join(why, "; ")
	}
	return text
}

func (a *app) position(p shop.Position) {
	head := fmt.Sprintf("%s, %s", a.words.Say("role."+string(p.Role)), a.words.Say("leg."+p.Leg))
	if size := a.size(p.Sizes); size != "" {
		head += ", " + size
	}
	head += a.traits(p.Traits)
	if p.Fitted != "yes" {
		head += ": " + a.words.Say("fitted."+p.Fitted)
	} else {
		head += ": " + a.words.Say("cli.fork.need", a.amount(p.PerJob, p.Unit), a.words.Say("renew."+p.Renew))
	}
	fmt.Fprintln(a.out, "  "+head)
	for _, more := range []string{a.words.Text(p.Why), p.Note} {
		if more != "" {
			fmt.Fprintln(a.out, "      "+more)
		}
	}
	if p.Fitted == "no" {
		return
	}
	for _, fit := range p.Parts {
		line := fmt.Sprintf("      %-26s  %s", fit.Name(), a.inStock(fit.Part)) + a.doubt(fit)
		if !fit.Why.IsZero() {
			line += "  – " + a.words.Text(fit.Why)
		}
		fmt.Fprintln(a.out, line)
	}
	a.hints("      ", p.Usual)
	if p.Missing > 0 {
		fmt.Fprintln(a.out, "      "+a.words.Say("cli.fork.short", a.amount(p.Missing, p.Unit)))
	}
}
