package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// identifyFlags names the flag of each question that is not named as its text.
var identifyFlags = map[string]string{"leg": "leg_diameter", "wiper": "wiper_outside", "drain_screw": "drain_there"}

func (a *app) identifyCommand() *cobra.Command {
	q := shop.IdentifyQuery{Limit: 10}
	var save, damping, springing, note string
	var another bool
	told := make([]string, len(catalog.Questions)) // in their order
	cmd := a.command("identify [--layout LAYOUT] [--leg MM] [--cap-flats MM] [--axle MM] ... [--make MAKE --model MODEL] [--save NAME]", 0, 0,
		a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
			if q.Limit < 1 || q.Limit > 1000 {
				return fault.New(fault.Invalid, "cli.bad_limit", q.Limit)
			}
			q.Told = map[string]string{}
			for i, name := range q.Skip {
				q.Skip[i] = strings.ReplaceAll(name, "-", "_")
			}
			for i, question := range catalog.Questions {
				q.Told[question.Name] = told[i]
			}
			if save != "" {
				f := q.NewFork()
				f.Damping, f.Springing, f.Note = damping, springing, note
				out, err := s.AddIdentified(ctx, save, q, f, another)
				return a.forkKept(out, err)
			}
			return a.identify(ctx, s, q)
		}))
	cmd.Example = "  forkstock identify                          (what to look at first)\n" +
		"  forkstock identify --leg 41.1 --right-cap damping\n" +
		"  forkstock identify --leg 41.1 --make Kaldrin --model \"Nordane 650\" --year 2004\n" +
		"  forkstock identify --leg 44 --layout upside-down --save \"Orlo 44\" --damping open_cartridge"
	flags := cmd.Flags()
	flags.SortFlags = false
	for i, question := range catalog.Questions {
		name, text := flagOf(question.Name), question.Name
		if other, ok := identifyFlags[text]; ok {
			text = other
		}
		flags.StringVar(&told[i], name, "", a.words.Say("cli.flag."+text))
		if question.Words != nil {
			a.completeWords(cmd, map[string][]string{name: question.Words})
		}
	}
	flags.StringVar(&q.Make, "make", "", a.words.Say("cli.flag.make"))
	flags.StringVar(&q.Model, "model", "", a.words.Say("cli.flag.model"))
	flags.StringVar(&q.Variant, "variant", "", a.words.Say("cli.flag.variant"))
	flags.StringVar(&q.Code, "code", "", a.words.Say("cli.flag.code"))
	flags.IntVar(&q.Year, "year", 0, a.words.Say("cli.flag.year"))
	flags.StringVar(&q.Frame, "frame", "", a.words.Say("cli.flag.frame"))
	flags.StringSliceVar(&q.Skip, "skip", nil, a.words.Say("cli.flag.skip"))
	flags.IntVar(&q.Limit, "limit", q.Limit, a.words.Say("cli.flag.limit"))
	flags.StringVar(&save, "save", "", a.words.Say("cli.flag.save"))
	flags.StringVar(&damping, "damping", "", a.words.Say("cli.flag.damping"))
	flags.StringVar(&springing, "springing", "", a.words.Say("cli.flag.springing"))
	flags.StringVar(&note, "note", "", a.words.Say("cli.flag.note"))
	flags.BoolVar(&another, "another", false, a.words.Say("cli.flag.another_fork"))
	return cmd
}

// flagOf gives the flag of a question.
func flagOf(name string) string { return strings.ReplaceAll(name, "_", "-") }

// identify shows which fork it may be; none is exit 1.
func (a *app) identify(ctx context.Context, s *shop.Shop, q shop.IdentifyQuery) error {
	out, err := s.Identify(ctx, q)
	if err != nil {
		return err
	}
	a.show(&out, func() { a.identified(out) })
	if out.Empty() {
		return errNo
	}
	return nil
}

func (a *app) identified(out shop.Identified) {
	if len(out.Told) > 0 {
		a.say("cli.identify.told")
		for _, t := range out.Told {
			line := fmt.Sprintf("  %s: %s", a.words.Say("measure."+t.Measurement), a.words.Text(t.Value))
			if t.ToleranceUM != 0 {
				line += " (" + a.words.Say("cli.identify.tolerance", t.ToleranceUM, t.Source) + ")"
			}
			fmt.Fprintln(a.out, line)
		}
	}
	if len(out.Told) == 0 && !out.Empty() {
		a.say("cli.identify.start")
	}
	a.hints("", out.Note)
	for _, b := range out.Meant {
		a.say("cli.identify.meant", b.Command)
	}
	switch {
	case out.Contradiction != nil:
		a.contradiction(*out.Contradiction)
	case out.Empty():
		a.say("cli.identify.empty")
	case len(out.Told) > 0 || out.Total <= len(out.Candidates):
		a.candidates(out)
	}
	if n := out.MeasureNext; n != nil {
		fmt.Fprintln(a.out)
		a.say("cli.identify.next", a.words.Say("measure."+n.Measurement), flagOf(n.Measurement))
		fmt.Fprintln(a.out, "  "+a.words.Text(n.How))
		if len(n.Words) > 0 {
			fmt.Fprintln(a.out, "  "+strings.Join(n.Words, ", "))
		}
		fmt.Fprintln(a.out, "  "+a.words.Say("cli.identify.expect", a.mm(n.Expected), n.Candidates)+
			"; "+a.words.Say("cli.identify.skip", flagOf(n.Measurement)))
	} else if out.Total > 1 {
		fmt.Fprintln(a.out)
		a.say("cli.identify.nothing")
	}
	if out.AddFork != "" {
		fmt.Fprintln(a.out)
		a.say("cli.identify.new", out.AddFork)
	}
	fmt.Fprintln(a.out)
	for _, c := range out.Cautions {
		fmt.Fprintln(a.out, "! "+a.words.Text(c))
	}
}

func (a *app) candidates(out shop.Identified) {
	fmt.Fprintln(a.out)
	a.say("cli.identify.left", out.Total)
	for _, c := range out.Candidates {
		a.say("cli.identify.one", c.Fork, a.mm(c.LegDiameter), a.words.Say("layout."+c.Layout))
		lines := []string{a.bikes(c.Models), a.words.Text(c.TellApart)}
		if len(c.Unknown) > 0 {
			var names []string
			for _, name := range c.Unknown {
				names = append(names, a.words.Say("measure."+name))
			}
			lines = append(lines, a.words.Say("cli.identify.unknown", strings.Join(names, ", ")))
		}
		for _, line := range lines {
			if line != "" {
				fmt.Fprintln(a.out, "    "+line)
			}
		}
	}
	if n := out.Total - len(out.Candidates); n > 0 {
		a.say("cli.identify.more", n)
	}
	if out.Total == 1 {
		a.say("cli.identify.sure", words.ShellWord(out.Candidates[0].Fork))
	}
}

func (a *app) contradiction(c shop.Contradiction) {
	fmt.Fprintln(a.out)
	a.say("cli.identify.none")
	a.say("cli.identify.blame", a.words.Say("measure."+c.Measurement), a.words.Text(c.Value), c.Excludes, c.Of)
	if c.Left == 0 {
		a.say("cli.identify.no_single")
		return
	}
	a.say("cli.identify.without", c.Left, strings.Join(c.Without, ", "))
}
