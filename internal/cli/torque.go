package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// tightening shows tightening values, and that the maker's manual counts.
func (a *app) tightening(all []shop.Tightening) {
	for _, t := range all {
		value, from := a.words.Show(t.TorqueMNM), t.Manual
		if t.Entered != "" {
			value += " (" + t.Entered + ")"
		}
		if t.Page != "" {
			from = a.words.Say("cli.torque.page", from, t.Page)
		}
		joint := a.words.Say("joint." + t.Joint)
		if t.Bike != "" {
			joint = a.words.Say("cli.torque.of", joint, t.Bike)
		}
		a.say("cli.torque", joint, value, from)
	}
	if len(all) > 0 {
		a.line("! ", a.words.Say("caution.torque"))
	}
}

func (a *app) addTorque() *cobra.Command {
	return a.torqueCommand("torque FORK JOINT VALUE --manual TEXT | torque --make MAKE --model MODEL [--years YEARS] JOINT VALUE --manual TEXT",
		(*shop.Shop).AddTorque, new(bool))
}

func (a *app) changeTorque() *cobra.Command {
	var drop bool
	cmd := a.torqueCommand("torque [FORK] JOINT VALUE --manual TEXT | torque [FORK] JOINT --drop", (*shop.Shop).ChangeTorque, &drop)
	cmd.Flags().BoolVar(&drop, "drop", false, a.words.Say("cli.flag.drop"))
	return cmd
}

// torqueCommand makes a command that takes a tightening value, of a fork that
// stands first or of the bikes that flags name.
func (a *app) torqueCommand(use string, keep func(*shop.Shop, context.Context, shop.TorqueRequest) ([]shop.Tightening, error),
	drop *bool,
) *cobra.Command {
	var q shop.TorqueRequest
	cmd := a.command(use, 1, 3, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		q.Drop = *drop
		if q.Make == "" && q.Model == "" {
			q.Fork, args = args[0], args[1:]
		}
		want := 2
		if q.Drop {
			want = 1
		}
		if len(args) != want {
			return fault.New(fault.Invalid, "cli.torque.args").WithHint("cli.torque.args.hint")
		}
		q.Joint = args[0]
		if !q.Drop {
			q.Value = args[1]
		}
		out, err := keep(s, ctx, q)
		if err != nil {
			return err
		}
		answer := struct {
			Tightening []shop.Tightening `json:"tightening"`
		}{append([]shop.Tightening{}, out...)}
		a.show(&answer, func() {
			if q.Drop {
				a.say("cli.torque.dropped")
			}
			a.tightening(out)
		})
		return nil
	}))
	flags := cmd.Flags()
	flags.StringVar(&q.Make, "make", "", a.words.Say("cli.flag.make"))
	flags.StringVar(&q.Model, "model", "", a.words.Say("cli.flag.model"))
	flags.StringVar(&q.Variant, "variant", "", a.words.Say("cli.flag.variant"))
	flags.StringVar(&q.Years, "years", "", a.words.Say("cli.flag.bike_years"))
	flags.StringVar(&q.Manual, "manual", "", a.words.Say("cli.flag.manual"))
	flags.StringVar(&q.Page, "page", "", a.words.Say("cli.flag.page"))
	flags.BoolVar(&q.Sure, "sure", false, a.words.Say("cli.flag.sure"))
	return cmd
}
