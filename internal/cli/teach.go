package cli

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) teachCommand() *cobra.Command {
	var q shop.TeachRequest
	var begins string
	cmd := a.command("teach | teach SUPPLIER SCAN NUMBER [--pieces N] [--begins TEXT] [--way N] [--yes] | teach --back N", 0, 3, nil)
	cmd.RunE = a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if cmd.Flags().Changed("begins") {
			q.Begins = &begins
		}
		if len(args) == 0 && q.Back == 0 {
			out, err := s.Taught(ctx)
			if err == nil {
				a.show(&out, func() { a.taught(out) })
			}
			return err
		}
		if (len(args) == 3) == (q.Back != 0) || len(args)%3 != 0 {
			return fault.New(fault.Invalid, "cli.args", "teach").WithHint("cli.usage.hint", cmd.UseLine())
		}
		if len(args) == 3 {
			q.Supplier, q.Scan, q.Number = args[0], args[1], args[2]
		}
		out, err := s.Teach(ctx, q)
		if err == nil {
			a.show(&out, func() { a.teaching(q, out) })
		}
		return err
	})
	cmd.Flags().Int64Var(&q.Pieces, "pieces", 0, a.words.Say("cli.flag.intake_label_pieces"))
	cmd.Flags().StringVar(&begins, "begins", "", a.words.Say("cli.flag.intake_begins"))
	cmd.Flags().Int64Var(&q.Way, "way", 0, a.words.Say("cli.flag.intake_way"))
	cmd.Flags().BoolVar(&q.Yes, "yes", false, a.words.Say("cli.flag.intake_keep_it"))
	cmd.Flags().Int64Var(&q.Back, "back", 0, a.words.Say("cli.flag.intake_back_rule"))
	return cmd
}

// taught lists the rules for labels.
func (a *app) taught(out shop.Teaching) {
	for _, r := range out.Rules {
		if r.Packs.IsZero() {
			a.say("cli.teach.rule", r.Rule, r.Supplier, r.Number, r.Person, r.Day)
		} else {
			a.say("cli.teach.rule_packs", r.Rule, r.Supplier, r.Number, r.Packs, r.Person, r.Day)
		}
		a.say("cli.teach.example", oneLine(r.Example))
	}
	if len(out.Rules) == 0 {
		a.say("cli.teach.none")
	}
}

// teaching shows what a rule did, or would do.
func (a *app) teaching(q shop.TeachRequest, out shop.Teaching) {
	switch {
	case out.TakenBack:
		a.say("cli.teach.back")
	case out.Kept:
		a.say("cli.teach.kept", q.Supplier)
	default:
		a.would(*out.Would, out.Reads)
		return
	}
	if len(out.Settled.Symbols) > 0 {
		a.received(out.Settled)
	}
}

// would shows a rule and what it makes of the last scans.
func (a *app) would(r shop.LabelRule, reads []shop.LabelSaid) {
	var packs, more string
	if !r.Packs.IsZero() {
		packs = a.words.Say("cli.teach.packs", r.Packs)
	}
	if !r.Zeros {
		more = a.words.Say("cli.teach.zeros")
	}
	if r.Begins != "" {
		more += a.words.Say("cli.teach.begins", oneLine(r.Begins))
	}
	a.say("cli.teach.would", r.Supplier, r.Number, packs, more)
	var g grid
	for _, x := range reads {
		times, means := "", strings.Join(x.Means, ", ")
		if x.Packs > 0 {
			times = a.words.Say("cli.teach.times", x.Packs)
		}
		if means == "" {
			means = a.words.Say("cli.teach.unknown")
		}
		if x.Ignored {
			means += ", " + a.words.Say("cli.teach.ignored")
		}
		g.add("  "+oneLine(x.Text), x.Number, times, means)
	}
	g.write(a.out)
	if len(reads) == 0 {
		a.say("cli.teach.said_none")
	}
	a.say("cli.teach.keep")
}
