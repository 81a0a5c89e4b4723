package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) usualCommand() *cobra.Command {
	var leg string
	cmd := a.command("usual [--leg MM] [ROLE]", 0, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Usual(ctx, leg, strings.Join(args, " "))
		if err != nil {
			return err
		}
		a.show(&out, func() { a.usual(out) })
		if len(out.Usual) == 0 {
			return errNo
		}
		return nil
	}))
	cmd.Flags().StringVar(&leg, "leg", "", a.words.Say("cli.flag.leg_diameter"))
	return cmd
}

func (a *app) usual(out shop.Usuals) {
	if len(out.Usual) == 0 {
		a.say("cli.usual.none")
		if !out.Laid {
			a.say("cli.usual.none.hint", words.ShellWord(a.dir))
		}
		return
	}
	var g grid
	for _, u := range out.Usual {
		leg, key := "", ""
		if u.LegUM != 0 {
			leg = a.words.Say("cli.usual.leg", u.LegUM)
		}
		if u.KeyUM != 0 {
			key = a.words.Say("cli.usual.key", u.KeyUM)
		}
		size := a.size(u.Sizes)
		switch {
		case u.SectionUM != 0 && u.InnerUM == 0:
			size = a.words.Say("cli.usual.section", u.SectionUM)
		case u.SectionUM != 0:
			size = a.words.Show(measure.ORing{Inner: u.InnerUM, Section: u.SectionUM})
		}
		g.add(a.usualRole(u), leg, u.Name, size, key, u.Note, a.usualSource(u))
	}
	g.write(a.out)
	a.say("cli.usual.advice")
}

// usualRole names what a row is about.
func (a *app) usualRole(u shop.Usual) string {
	if u.Role == "" {
		return a.words.Say("usual.rubber")
	}
	return a.words.Say("role." + string(u.Role))
}

func (a *app) usualSource(u shop.Usual) string {
	if u.Practice() {
		return a.words.Say("usual.practice")
	}
	return u.Source
}

// hints shows what is usual where nothing is known, each on a line of its own.
func (a *app) hints(indent string, all ...fault.Message) {
	for _, m := range all {
		if !m.IsZero() {
			fmt.Fprintln(a.out, indent+a.words.Text(m))
		}
	}
}

// layIn lays in what comes with the program, and gives how much was new.
func (a *app) layIn(ctx context.Context) (set shop.Settings, added *int, err error) {
	s, err := a.open(ctx, "")
	if err != nil {
		return set, nil, err
	}
	n, err := s.Starter(ctx)
	return s.Settings(), &n, errors.Join(err, s.Close())
}
