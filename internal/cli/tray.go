package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) trayCommand() *cobra.Command {
	cmd := a.command("tray | tray give|fill|clear|brought|used|back ... | tray JOB", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			if len(args) == 1 {
				out, err := s.Tray(ctx, args[0])
				return a.trayed(out, err)
			}
			out, err := s.Trays(ctx)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				if len(out.Trays) == 0 {
					a.say("cli.tray.none")
				}
				for _, t := range out.Trays {
					a.tray(t)
				}
			})
			return nil
		}))
	cmd.AddCommand(a.trayGive(), a.trayFill(), a.trayClear(), a.trayBrought(), a.trayEnd("used", false), a.trayEnd("back", true))
	return cmd
}

// trayed shows what lies ready for a job.
func (a *app) trayed(t shop.Tray, err error) error {
	if err != nil {
		return err
	}
	a.show(&t, func() { a.tray(t) })
	return nil
}

func (a *app) tray(t shop.Tray) {
	switch {
	case t.Bin == "":
		a.say("cli.tray.without", t.Job)
	case t.Job == "":
		a.say("cli.tray.stray", t.Bin)
	default:
		a.say("cli.tray.head", t.Job, t.Bin)
	}
	var g grid
	for _, l := range t.Lines {
		g.add("  "+a.amount(l.Amount, l.Unit), l.Name(), a.words.Say("role."+string(l.Role)), a.size(l.Sizes), a.words.Say("cli.tray.in"))
	}
	for _, l := range t.ToPut {
		g.add("  "+a.amount(l.Amount, l.Unit), l.Name(), a.words.Say("role."+string(l.Role)), a.size(l.Sizes),
			a.words.Say("cli.tray.to_put", strings.Join(l.Bins, ", ")))
	}
	for _, b := range t.Brought {
		g.add("  "+a.amount(b.Left, b.Unit), a.broughtName(b), "", "", a.words.Say("cli.tray.customers", b.Brought))
	}
	g.write(a.out)
}

// broughtName gives what a customer brought, and the customer.
func (a *app) broughtName(b shop.Brought) string {
	name := b.What
	if b.Number != "" {
		name = b.Maker + "/" + b.Number
	}
	if b.Owner != "" {
		name += " (" + b.Owner + ")"
	}
	return name
}

func (a *app) trayGive() *cobra.Command {
	var bin string
	cmd := a.command("give JOB [--bin BIN]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.GiveTray(ctx, args[0], bin)
		return a.trayed(out, err)
	}))
	cmd.Short = a.words.Say("cli.tray.give")
	cmd.Flags().StringVar(&bin, "bin", "", a.words.Say("cli.flag.tray_bin"))
	return cmd
}

func (a *app) trayFill() *cobra.Command {
	var q shop.FillRequest
	cmd := a.command("fill JOB [PART [PIECES]] [--key KEY]", 1, 3, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
		q.Job = args[0]
		if len(args) > 1 {
			q.Part = args[1]
		}
		if len(args) > 2 {
			if q.Amount, err = pieces(args[2]); err != nil {
				return err
			}
		}
		out, err := s.FillTray(ctx, q)
		return a.filled(out, err)
	}))
	cmd.Short = a.words.Say("cli.tray.fill")
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) filled(out shop.Filled, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		if out.Posted != nil {
			a.posted(*out.Posted)
		}
		a.tray(out.Tray)
	})
	return nil
}

func (a *app) trayClear() *cobra.Command {
	var key string
	cmd := a.command("clear JOB [--key KEY]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.ClearTray(ctx, args[0], key)
		return a.filled(out, err)
	}))
	cmd.Short = a.words.Say("cli.tray.clear")
	cmd.Flags().StringVar(&key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) trayBrought() *cobra.Command {
	var q shop.BringRequest
	cmd := a.command("brought JOB WHAT PIECES [--owner NAME] [--key KEY]", 3, 3,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Job, q.What = args[0], args[1]
			if q.Amount, err = pieces(args[2]); err != nil {
				return err
			}
			out, err := s.Bring(ctx, q)
			return a.brought(out, err)
		}))
	cmd.Short = a.words.Say("cli.tray.brought")
	cmd.Flags().StringVar(&q.Owner, "owner", "", a.words.Say("cli.flag.owner"))
	cmd.Flags().StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}

func (a *app) brought(out shop.Brought, err error) error {
	if err != nil {
		return err
	}
	a.show(&out, func() {
		a.say("cli.tray.noted", out.Brought, a.broughtName(out), out.Job, a.amount(out.Left, out.Unit))
	})
	return nil
}

func (a *app) trayEnd(name string, back bool) *cobra.Command {
	var key string
	cmd := a.command(name+" NUMBER [PIECES] [--key KEY]", 1, 2, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		brought, err := number(args[0], "cli.tray.bad_number", "inventory.brought_absent.hint")
		if err != nil {
			return err
		}
		var amount int64
		if len(args) > 1 {
			if amount, err = pieces(args[1]); err != nil {
				return err
			}
		}
		out, err := s.EndBrought(ctx, brought, amount, back, key)
		return a.brought(out, err)
	}))
	cmd.Short = a.words.Say("cli.tray." + name)
	cmd.Flags().StringVar(&key, "key", "", a.words.Say("cli.flag.key"))
	return cmd
}
