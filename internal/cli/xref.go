package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) xrefCommand() *cobra.Command {
	cmd := a.command("xref NUMBER", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Xref(ctx, args[0])
		return a.xrefs(out, err)
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	return cmd
}

// xrefs shows what a number can be replaced by.
func (a *app) xrefs(out shop.Xref, err error) error {
	if err == nil {
		a.show(&out, func() { a.xref(out) })
	}
	return err
}

func (a *app) xref(out shop.Xref) {
	name, current := out.Maker+"/"+out.Number, out.CurrentMaker+"/"+out.Current
	a.how(out.How)
	switch {
	case !out.How.IsZero() && len(out.Chain) == 1:
	case name == current:
		a.say("cli.xref.current", name)
	default:
		a.say("cli.xref.replaced", name, current)
	}
	if len(out.Chain) > 1 {
		g := grid{}
		for _, l := range out.Chain {
			g.add("  "+l.Name(), a.linkStock(l), a.became(l))
		}
		g.write(a.out)
	}
	if len(out.UsableIn) > 0 {
		a.say("cli.xref.usable", strings.Join(out.UsableIn, ", "))
	}
	if len(out.Equivalents) > 0 {
		a.say("cli.xref.equivalents")
		g := grid{}
		for _, e := range out.Equivalents {
			g.add("  "+e.Name(), a.inStock(*e.Part), a.words.Text(e.Reasons[0]), a.words.Say("cli.xref.source", e.Source))
		}
		g.write(a.out)
	}
	if len(out.Chain) == 1 && len(out.Equivalents) == 0 {
		a.say("cli.xref.none")
	}
}

// how says how a part came to be meant, where not by its own number.
func (a *app) how(m fault.Message) {
	if !m.IsZero() {
		a.line(a.words.Text(m))
	}
}

func (a *app) linkStock(l shop.XrefLink) string {
	if l.Part == nil {
		return a.words.Say("cli.xref.not_kept")
	}
	return a.inStock(*l.Part)
}

// became says what became of a number, and whether it may be fitted instead.
func (a *app) became(l shop.XrefLink) string {
	if l.ReplacedBy == "" {
		return a.words.Say("cli.xref.now")
	}
	said := []string{a.words.Say("cli.xref.by", l.ReplacedBy, l.Tail())}
	if l.BothWays {
		said = append(said, a.words.Say("cli.xref.both"))
	}
	if !l.Usable {
		said = append(said, a.words.Say("cli.xref.old"))
	}
	if l.Source != "" {
		said = append(said, a.words.Say("cli.xref.source", l.Source))
	}
	return strings.Join(said, "; ")
}

func (a *app) addNumber() *cobra.Command {
	var source string
	cmd := a.command("number PART MAKER/NUMBER [--source SOURCE]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.AddNumber(ctx, args[0], args[1], source)
			return a.xrefs(out, err)
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&source, "source", "", a.words.Say("cli.flag.source"))
	return cmd
}

func (a *app) addReplacement() *cobra.Command {
	var f shop.ReplacementFacts
	cmd := a.command("replacement OLD NEW [--both-ways] [--since DATE] [--reason REASON] [--source SOURCE]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.AddReplacement(ctx, args[0], args[1], f)
			if err == nil && !a.json && !out.Unknown.IsZero() {
				a.line(a.words.Text(out.Unknown))
			}
			return a.xrefs(out, err)
		}))
	a.tellReplacement(cmd, &f)
	return cmd
}

func (a *app) changeReplacement() *cobra.Command {
	var f shop.ReplacementFacts
	cmd := a.command("replacement OLD NEW [--both-ways=false] [--since DATE] [--reason REASON] [--wrong]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangeReplacement(ctx, args[0], args[1], f)
			return a.xrefs(out, err)
		}))
	a.tellReplacement(cmd, &f)
	cmd.Flags().BoolVar(&f.Wrong, "wrong", false, a.words.Say("cli.flag.not_replaced"))
	return cmd
}

func (a *app) tellReplacement(cmd *cobra.Command, f *shop.ReplacementFacts) {
	a.tellFlag(cmd, &f.BothWays, "both-ways", "cli.flag.both_ways")
	a.tellText(cmd, &f.Since, "since", "cli.flag.replaced_since")
	a.tellText(cmd, &f.Reason, "reason", "cli.flag.replaced_why")
	a.tellText(cmd, &f.Source, "source", "cli.flag.source")
	cmd.ValidArgsFunction = a.completeParts(0)
}

// tellFlag is a flag that is true where it stands alone, and nil where it is
// not given.
func (a *app) tellFlag(cmd *cobra.Command, to **bool, name, help string) {
	read := func(s string) (bool, error) {
		switch s {
		case "true", "false":
			return s == "true", nil
		}
		return false, fmt.Errorf("true or false, not %q", s)
	}
	cmd.Flags().VarPF(fact[bool]{to, read}, name, "", a.words.Say(help)).NoOptDefVal = "true"
}

func (a *app) addUsable() *cobra.Command {
	var source string
	var no bool
	cmd := a.command("usable PART FORK [--source SOURCE] [--no-longer]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if no {
				out, err := s.DropUsable(ctx, args[0], args[1])
				return a.xrefs(out, err)
			}
			out, err := s.AddUsable(ctx, args[0], args[1], source)
			return a.xrefs(out, err)
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().StringVar(&source, "source", "", a.words.Say("cli.flag.source"))
	cmd.Flags().BoolVar(&no, "no-longer", false, a.words.Say("cli.flag.no_longer"))
	return cmd
}
