package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) fitCommand() *cobra.Command {
	q := shop.FitQuery{Limit: 20}
	cmd := a.command("fit --role ROLE [--inner MM] [--outer MM] [--height MM] [--tube MM] [--bore MM] [--groove MM] ... [--worn]", 0, 0,
		a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
			if q.Limit < 1 || q.Limit > 1000 {
				return fault.New(fault.Invalid, "cli.bad_limit", q.Limit)
			}
			out, err := s.Fit(ctx, q)
			if err != nil {
				return err
			}
			a.show(&out, func() { a.fitting(out) })
			if out.Empty() {
				return errNo
			}
			return nil
		}))
	cmd.Example = "  forkstock fit --role oil_seal --tube 41 --bore 54 --groove 11\n" +
		"  forkstock fit --role \"oil seal\" --inner 41 --outer 54 --height 9.5 --overall 11 --worn\n" +
		"  forkstock fit --role tube_bushing --wall 1.5 --length 15 --coated outside\n" +
		"  forkstock fit --role bottom_bolt --thread M10x1.25 --length 30 --head 10 --strength 10.9"
	flags := cmd.Flags()
	flags.SortFlags = false
	for _, f := range []struct {
		to   *string
		name string
	}{
		{&q.Role, "role"},
		{&q.Inner, "inner"},
		{&q.Outer, "outer"},
		{&q.Height, "height"},
		{&q.Overall, "overall"},
		{&q.Tube, "tube"},
		{&q.Bore, "bore"},
		{&q.Groove, "groove"},
		{&q.Wall, "wall"},
		{&q.Coated, "coated"},
		{&q.Thread, "thread"},
		{&q.Length, "length"},
		{&q.Head, "head"},
		{&q.Seat, "seat"},
		{&q.Strength, "strength"},
	} {
		flags.StringVar(f.to, f.name, "", a.words.Say("cli.flag."+f.name))
	}
	flags.BoolVar(&q.Worn, "worn", false, a.words.Say("cli.flag.worn"))
	flags.IntVar(&q.Limit, "limit", q.Limit, a.words.Say("cli.flag.limit"))
	var roles []string
	for _, r := range catalog.Roles {
		if r.Sizes() != nil {
			roles = append(roles, string(r))
		}
	}
	a.completeWords(cmd, map[string][]string{"role": roles, "seat": catalog.Seats, "coated": catalog.Coatings})
	return cmd
}

// fitting shows parts by verdict, each with its reasons.
func (a *app) fitting(f shop.Fitting) {
	if f.Empty() {
		a.say("cli.fit.none")
		a.say("cli.fit.none.hint")
	}
	shown := 0
	for i, g := range f.Groups() {
		if i > 0 || f.Empty() {
			fmt.Fprintln(a.out)
		}
		fmt.Fprintln(a.out, a.words.Text(g.Word)+":")
		for _, r := range g.Common {
			fmt.Fprintln(a.out, a.words.Text(r))
		}
		for _, p := range g.Parts {
			a.part(p.Part)
			for _, r := range p.Reasons {
				a.why(r)
			}
			a.why(p.Standing)
		}
		if g.Verdict != catalog.No {
			shown += len(g.Parts)
		}
	}
	if n := f.Total - shown; n > 0 {
		fmt.Fprintln(a.out)
		a.say("cli.find.more", n, f.Total)
	}
}
