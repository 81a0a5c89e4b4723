package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) changeDelivery() *cobra.Command {
	var supplier string
	var instead bool
	cmd := a.command("delivery NAME --supplier NAME [--instead]", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.DeliveryFrom(ctx, args[0], supplier, instead)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.say("cli.delivery.done", out.Delivery, out.Supplier)
				if len(out.Symbols) > 0 {
					a.received(out)
				}
			})
			return nil
		}))
	cmd.Flags().StringVar(&supplier, "supplier", "", a.words.Say("cli.flag.intake_delivery_from"))
	cmd.Flags().BoolVar(&instead, "instead", false, a.words.Say("cli.flag.intake_delivery_instead"))
	return cmd
}
