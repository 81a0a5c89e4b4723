package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) changeLot() *cobra.Command {
	var cure *string
	cmd := a.command("lot LOT --cure DATE", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		lot, err := number(args[0], "cli.bad_lot", "inventory.no_lot.hint")
		if err != nil {
			return err
		}
		if cure == nil {
			return fault.New(fault.Invalid, "shop.no_change").WithHint("catalog.bad_cure.hint")
		}
		out, err := s.ChangeLot(ctx, lot, *cure)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.lot.done", out.Lot, out.Maker+"/"+out.Number, out.Since)
			if out.Age.IsZero() {
				a.say("cli.lot.cure", or(out.Cure, a.words.Say("cli.lot.unknown")))
			} else {
				a.line("  ", a.words.Text(out.Age))
			}
		})
		return nil
	}))
	a.tellText(cmd, &cure, "cure", "cli.flag.cure")
	return cmd
}

// or gives text, or the other where it is empty.
func or(text, other string) string {
	if text == "" {
		return other
	}
	return text
}

func (a *app) addMaker() *cobra.Command {
	var m shop.Maker
	cmd := a.command("maker NAME --dates quarter|month", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		m.Maker = args[0]
		out, err := s.SetMaker(ctx, m)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.say("cli.maker.done", out.Maker, a.words.Say("dates."+out.Dates)) })
		return nil
	}))
	cmd.Flags().StringVar(&m.Dates, "dates", "", a.words.Say("cli.flag.dates"))
	a.completeWords(cmd, map[string][]string{"dates": catalog.Dates})
	return cmd
}

// shelf tells until when a lot is to be used: by the date on the pack, and by
// its rubber where that says something else.
func (a *app) shelf(l shop.StockLine) string {
	var days []string
	for _, day := range l.Days() {
		days = append(days, a.words.Text(day))
	}
	return strings.TrimSpace(strings.Join(days, ", ") + "  " + a.words.Text(l.Age))
}
