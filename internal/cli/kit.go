package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) kitCommand() *cobra.Command {
	cmd := a.command("kit KIT [FORK]", 1, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.Kit(ctx, args[0], strings.Join(args[1:], " "))
		return a.kitShown(out, err)
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	return cmd
}

func (a *app) kitShown(out shop.Kit, err error) error {
	if err == nil {
		a.show(&out, func() { a.kit(out) })
	}
	return err
}

func (a *app) kit(k shop.Kit) {
	a.say("cli.kit.head", k.Name(), a.words.Say(fmt.Sprintf("kit.legs.%d", k.Legs)), k.Description)
	if len(k.Brings) == 0 {
		a.say("cli.kit.empty", words.ShellWord(k.Name()))
	} else {
		a.say("cli.kit.brings")
	}
	a.contents(k.Brings)
	if k.Fork == "" {
		return
	}
	fmt.Fprintln(a.out)
	a.say(fmt.Sprintf("cli.kit.job.%d", k.Legs), k.Fork, k.PerJob)
	if len(k.Fits) > 0 {
		a.say("cli.kit.fits")
		a.contents(k.Fits)
	}
	if len(k.Foreign) > 0 {
		a.say("cli.kit.foreign")
		a.contents(k.Foreign)
	}
	a.lacks("cli.kit.lacks", k.Lacks, true)
	a.lacks("cli.kit.lacks_worn", k.Lacks, false)
	if !a.few(k.Known) && len(k.Lacks) == 0 {
		a.say("cli.kit.whole")
	}
}

// fewPlaces is below how many places a fork cannot be known whole: a seal, a
// wiper, a bottom bolt, its washer and the oil are in every leg that is opened.
// Common practice, no source.
const fewPlaces = 5

// few says of a fork that not all of it can be known yet, and reports whether
// it said so: then nothing else may say that nothing is lacking.
func (a *app) few(places int) bool {
	if places < fewPlaces {
		a.say("cli.fork.few", places)
	}
	return places < fewPlaces
}

func (a *app) contents(all []shop.Content) {
	g := grid{right: []int{0}}
	for _, c := range all {
		name := "-"
		if c.Number != "" {
			name = c.Name()
		}
		where := ""
		if c.Leg != "" && c.Leg != "both" {
			where = a.words.Say("leg." + c.Leg)
		}
		g.add("  "+a.amount(c.Pieces, c.Unit), a.words.Say("role."+string(c.Role)), a.size(c.Sizes), name, where, a.reasons(c.Reasons))
	}
	g.write(a.out)
}

func (a *app) reasons(why []fault.Message) string {
	var said []string
	for _, r := range why {
		said = append(said, a.words.Text(r))
	}
	return strings.Join(said, "; ")
}

// lacks writes on one line what is lacking of what is always renewed, or of
// what is renewed where it is worn.
func (a *app) lacks(id string, all []shop.Lack, always bool) {
	var said []string
	for _, l := range all {
		if l.Always() == always {
			said = append(said, a.lack(l))
		}
	}
	if len(said) > 0 {
		a.say(id, strings.Join(said, ", "))
	}
}

// lack gives "bottom washer x2", or "fork oil 966 mL".
func (a *app) lack(l shop.Lack) string {
	text := a.words.Say("role." + string(l.Role))
	if l.Leg != "both" {
		text += " (" + a.words.Say("leg."+l.Leg) + ")"
	}
	if l.Unit == "piece" {
		return fmt.Sprintf("%s x%d", text, l.Missing)
	}
	return text + " " + a.amount(l.Missing, l.Unit)
}

// kitsFor lists the kits that would serve a fork.
func (a *app) kitsFor(kits []shop.KitFor) {
	if len(kits) == 0 {
		return
	}
	fmt.Fprintln(a.out)
	a.say("cli.kit.serve")
	for _, k := range kits {
		fmt.Fprintf(a.out, "  %s, %s: %s\n", k.Name(), a.words.Say(fmt.Sprintf("kit.legs.%d", k.Legs)), a.inStock(k.Part))
		fmt.Fprint(a.out, "    ")
		a.lacks("cli.kit.lacks", k.Lacks, true)
	}
}

func (a *app) addContent() *cobra.Command { return a.contentCommand((*shop.Shop).AddContent) }

func (a *app) changeContent() *cobra.Command { return a.contentCommand((*shop.Shop).ChangeContent) }

func (a *app) contentCommand(keep func(*shop.Shop, context.Context, string, shop.ContentFacts) (shop.Kit, error)) *cobra.Command {
	var f shop.ContentFacts
	cmd := a.command("content KIT PART|--role ROLE [--size SIZE] [--thread THREAD --length MM] [--pieces N]", 1, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			f.Part = first(args[1:])
			out, err := keep(s, ctx, args[0], f)
			return a.kitShown(out, err)
		}))
	cmd.ValidArgsFunction = a.completeParts(1)
	a.tellText(cmd, &f.Role, "role", "cli.flag.role")
	a.tellSizes(cmd, &f.SizeFacts)
	a.tellNumber(cmd, &f.Pieces, "pieces", "cli.flag.kit_pieces")
	return cmd
}

func (a *app) changeKit() *cobra.Command {
	var legs int
	cmd := a.command("kit KIT --legs 1|2", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		out, err := s.SetLegs(ctx, args[0], legs)
		return a.kitShown(out, err)
	}))
	cmd.ValidArgsFunction = a.completeParts(0)
	cmd.Flags().IntVar(&legs, "legs", 0, a.words.Say("cli.flag.legs"))
	return cmd
}
