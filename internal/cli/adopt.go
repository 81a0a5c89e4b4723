package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) adoptCommand() *cobra.Command {
	var q shop.AdoptRequest
	cmd := a.command("adopt SUPPLIER THEIR-NUMBER [--yes] [--maker M --number N] [--role ROLE] [--size SIZE] [--pieces N]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Supplier, q.Number = args[0], args[1]
			out, err := s.Adopt(ctx, q)
			if err == nil {
				a.show(&out, func() { a.adopted(out) })
			}
			return err
		}))
	cmd.Flags().BoolVar(&q.Yes, "yes", false, a.words.Say("cli.flag.yes"))
	cmd.Flags().StringVar(&q.Maker, "maker", "", a.words.Say("cli.flag.maker"))
	cmd.Flags().StringVar(&q.PartNumber, "number", "", a.words.Say("cli.flag.number"))
	a.tellNumber(cmd, &q.Pieces, "pieces", "cli.flag.pieces_of_pack")
	a.tellText(cmd, &q.Unit, "unit", "cli.flag.unit")
	a.tellPart(cmd, &q.PartFacts)
	return cmd
}

func (a *app) adopted(out shop.Adoption) {
	a.say("cli.find.item", out.Supplier, out.SupplierNumber, oneLine(out.Description), out.Pack, a.price(out.PackPriceMinor, out.Currency))
	if out.Note != "" {
		a.say("cli.adopt.note", oneLine(out.Note))
	}
	if out.CodeStays != "" {
		a.say("cli.adopt.code_stays", out.Code, out.CodeStays, out.Maker+"/"+out.Number)
	}
	if out.Adopted {
		a.say("cli.adopt.done", out.Part.Name())
		a.part(*out.Part)
		return
	}
	g := grid{}
	for _, p := range out.Proposals {
		trust := "cli.adopt.unsure"
		switch {
		case p.Rule:
			trust = "cli.adopt.rule"
		case p.Sure:
			trust = "cli.adopt.sure"
		}
		g.add("", a.words.Say("proposal."+p.Field), a.words.Text(p.Says), a.words.Say("cli.adopt.words", oneLine(p.Words)), a.words.Say(trust))
	}
	g.write(a.out)
	if len(out.Proposals) == 0 {
		a.say("cli.adopt.nothing")
	}
	_, role := out.Says("role") // without one, --yes is not enough
	numbered := out.Maker != "" && out.Number != ""
	switch {
	case role && numbered:
		a.say("cli.adopt.would", out.Maker+"/"+out.Number)
	case role:
		a.say("cli.adopt.numberless")
	case numbered:
		a.say("cli.adopt.role", out.Maker+"/"+out.Number)
	default:
		a.say("cli.adopt.nothing_said")
	}
}

func (a *app) addRule() *cobra.Command {
	var r shop.WordingRule
	var role string
	cmd := a.command(`rule "WORDS" [--supplier NAME] [--role ROLE] [--pieces N]`, 1, -1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			r.Words = strings.Join(args, " ")
			out, err := s.AddRule(ctx, r, role)
			if err == nil {
				a.show(&out, func() { a.say("cli.rule.done", out.Words, out.Items) })
			}
			return err
		}))
	cmd.Flags().StringVar(&r.Supplier, "supplier", "", a.words.Say("cli.flag.rule_of"))
	cmd.Flags().StringVar(&role, "role", "", a.words.Say("cli.flag.role"))
	cmd.Flags().Int64Var(&r.Pieces, "pieces", 0, a.words.Say("cli.flag.pieces_of_pack"))
	return cmd
}

// proposed tells what the description of an item seems to say.
func (a *app) proposed(r *shop.Reading) {
	if r == nil {
		return
	}
	var says []string
	if r.Role != "" {
		says = append(says, a.words.Say("role."+string(r.Role)))
	}
	if size := a.size(r.Sizes); size != "" {
		says = append(says, size)
	}
	if r.LegDiameter != "" {
		says = append(says, a.words.Say("cli.find.leg", a.mm(r.LegDiameter)))
	}
	if r.Pieces > 0 {
		says = append(says, a.amount(r.Pieces, "piece"))
	}
	fmt.Fprintf(a.out, "%-12s  %s\n", "", a.words.Say("cli.find.proposed", strings.Join(says, ", ")))
}
