package cli

import (
	"context"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

func (a *app) addCommand() *cobra.Command {
	return a.group("add", a.addPart, a.addFork, a.addPlace, a.addBike, a.addSwap, a.addOil, a.addTorque, a.addBin, a.addSupplier,
		a.addOffer, a.addContent, a.addMaker,
		a.addNumber, a.addReplacement, a.addUsable, a.addRule)
}

func (a *app) changeCommand() *cobra.Command {
	return a.group("change", a.changePart, a.changeFork, a.changePlace, a.changeBike, a.changeSwap, a.changeOil, a.changeTorque,
		a.changeRenewal, a.changeSupplier, a.changeOffer, a.changeContent, a.changeKit, a.changeLot,
		a.changeReplacement, a.changeDelivery)
}

// group makes a command that only holds others; their short help is the
// message "cli.NAME.OTHER".
func (a *app) group(name string, subs ...func() *cobra.Command) *cobra.Command {
	cmd := &cobra.Command{
		Use: name, Short: a.words.Say("cli." + name), Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return fault.New(fault.Invalid, "cli.no_subcommand", cmd.CommandPath(), args[0]).
				WithHint("cli.no_subcommand.hint", cmd.CommandPath())
		},
	}
	for _, make := range subs {
		sub := make()
		sub.Short, sub.Example = a.words.Say("cli."+name+"."+sub.Name()), told[name+" "+sub.Name()]
		cmd.AddCommand(sub)
	}
	return cmd
}

// told shows how to say what one knows.
var told = map[string]string{
	"add part": "  forkstock add part Tolmek/KB-39 --role \"oil seal\" --size 39x52x11/12.5 --bin A-01-1 --minimum 4\n" +
		"  forkstock add part Tolmek/BB-10 --role \"bottom bolt\" --thread M10x1.25 --length 30\n" +
		"  forkstock add part Tolmek/CR-53 --role clip --size '?x53x1.5'",
	"add fork": "  forkstock add fork \"Corva 39\" --leg 39\n" +
		"  forkstock add fork \"Orlo 43\" --leg 43 --layout upside-down --damping open_cartridge",
	"add place": "  forkstock add place \"Corva 39\" oil_seal --size 39x52x11\n" +
		"  forkstock add place \"Corva 39\" clip --size '?x53x1.5' --after oil_seal\n" +
		"  forkstock add place \"Corva 39\" oil --per-leg 480",
	"add bike": "  forkstock add bike Kaldrin \"Velda 400\" 2001-2004 \"Corva 39\"\n" +
		"  forkstock add bike Kaldrin \"Velda 400\" 2004 \"Pasko 39\" --variant S --frames V4-05000-",
	"add swap": "  forkstock add swap V4-05120 \"Pasko 39\" --note \"from a Velda 400 S\"",
	"add oil": "  forkstock add oil \"Corva 39\" --dry 480mL --gap 140 --gap-how \"spring out, leg fully compressed\" --cst 32.5 --index 150\n" +
		"  forkstock add oil \"Corva 39\" --model \"Kaldrin Velda 400\" --years 2003-2004 --dry \"16.2 US fl oz\"",
	"add torque": "  forkstock add torque \"Corva 39\" bottom_bolt \"25 Nm\" --manual \"workshop manual, edition 2\" --page 7-12\n" +
		"  forkstock add torque --make Kaldrin --model \"Velda 400\" axle \"65 Nm\" --manual \"workshop manual, edition 2\"",
	"change swap":    "  forkstock change swap V4-05120 --own",
	"change oil":     "  forkstock change oil \"Corva 39\" --dry 485mL",
	"change torque":  "  forkstock change torque \"Corva 39\" bottom_bolt --drop",
	"change renewal": "  forkstock change renewal wiper always",
	"add bin":        "  forkstock add bin A-01-1",
	"add supplier":   "  forkstock add supplier \"Halm & Co\" --days 3",
	"add rule":       "  forkstock add rule \"FS PR\" --supplier Wesselmoor --role oil_seal --pieces 2",
	"add offer":      "  forkstock add offer \"Halm & Co\" H-1 KB-39 --pack 10 --price 45.50",
	"add content": "  forkstock add content PK-392 KB-39 --pieces 2\n" +
		"  forkstock add content PK-392 --role clip --size '?x53x1.5' --pieces 2",
	"change content": "  forkstock change content PK-392 KB-39 --pieces 0        (not in it)",
	"add maker":      "  forkstock add maker Tolmek --dates quarter",
	"change lot":     "  forkstock change lot 12 --cure 3/94",
	"change kit":     "  forkstock change kit PK-392 --legs 1",
	"change part": "  forkstock change part KB-39 --minimum 6\n" +
		"  forkstock change part KB-39 --bin \"\"        (no home any more)",
	"change fork":     "  forkstock change fork \"Corva 39\" --note \"cap with a 30 mm hexagon\"",
	"change place":    "  forkstock change place \"Corva 39\" wiper --fitted no",
	"change bike":     "  forkstock change bike Kaldrin \"Velda 400\" 2001-2004 \"Corva 39\" --years 2001-2005",
	"add number":      "  forkstock add number KB-39 Vaskuro/VK11-901",
	"add replacement": "  forkstock add replacement Tolmek/KB-38 Tolmek/KB-39 --since 2019 --reason \"taller lip\"",
	"add usable":      "  forkstock add usable KB-38 \"Corva 39\" --source \"tried on the bench\"",
	"change replacement": "  forkstock change replacement KB-38 KB-39 --both-ways\n" +
		"  forkstock change replacement KB-38 KB-39 --wrong",
	"change supplier": "  forkstock change supplier \"Halm & Co\" --days 5",
	"change offer": "  forkstock change offer \"Halm & Co\" H-1 --price 48\n" +
		"  forkstock change offer \"Halm & Co\" H-1 --price \"\"        (not known)",
}

// fact is a flag that leaves nil where it is not given.
type fact[T any] struct {
	to   **T
	read func(string) (T, error)
}

// Set keeps what was typed.
func (f fact[T]) Set(typed string) error {
	v, err := f.read(typed)
	*f.to = &v
	return err
}

// String gives the default, which is none.
func (f fact[T]) String() string { return "" }

// Type gives no word for the help: the flag's text says what it takes.
func (f fact[T]) Type() string { return "" }

func (a *app) tellText(cmd *cobra.Command, to **string, name, help string) {
	cmd.Flags().Var(fact[string]{to, func(s string) (string, error) { return s, nil }}, name, a.words.Say(help))
}

func (a *app) tellNumber(cmd *cobra.Command, to **int64, name, help string) {
	cmd.Flags().Var(fact[int64]{to, func(s string) (int64, error) { return strconv.ParseInt(s, 10, 64) }}, name, a.words.Say(help))
}

func (a *app) tellSizes(cmd *cobra.Command, f *shop.SizeFacts) {
	a.tellText(cmd, &f.Size, "size", "cli.flag.size")
	a.tellText(cmd, &f.Thread, "thread", "cli.flag.thread")
	a.tellText(cmd, &f.Length, "length", "cli.flag.length")
	a.tellText(cmd, &f.Head, "head", "cli.flag.head")
	a.tellText(cmd, &f.Seat, "seat", "cli.flag.seat")
	a.tellText(cmd, &f.Strength, "strength", "cli.flag.strength")
	a.tellText(cmd, &f.Coated, "coated", "cli.flag.coated")
	a.completeWords(cmd, map[string][]string{"seat": catalog.Seats, "coated": catalog.Coatings})
}

func (a *app) addPart() *cobra.Command {
	var f shop.PartFacts
	cmd := a.command("part MAKER/NUMBER --role ROLE [--size SIZE] [--thread THREAD --length MM] [--bin BIN] [--minimum N]", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.AddPart(ctx, args[0], f)
			return a.partFacts(out, err)
		}))
	a.tellPart(cmd, &f)
	a.tellText(cmd, &f.Unit, "unit", "cli.flag.unit")
	return cmd
}

func (a *app) changePart() *cobra.Command {
	var f shop.PartFacts
	cmd := a.command("part PART [--minimum N] [--bin BIN] [--size SIZE] ...", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangePart(ctx, args[0], f)
			return a.partFacts(out, err)
		}))
	cmd.ValidArgsFunction = a.completeParts(0)
	a.tellPart(cmd, &f)
	return cmd
}

func (a *app) tellPart(cmd *cobra.Command, f *shop.PartFacts) {
	a.tellText(cmd, &f.Role, "role", "cli.flag.role")
	a.tellSizes(cmd, &f.SizeFacts)
	a.tellText(cmd, &f.Description, "description", "cli.flag.description")
	a.tellText(cmd, &f.Bin, "bin", "cli.flag.home")
	a.tellNumber(cmd, &f.Minimum, "minimum", "cli.flag.minimum")
	a.tellText(cmd, &f.Elastomer, "elastomer", "cli.flag.elastomer")
	a.tellText(cmd, &f.Source, "source", "cli.flag.source")
	a.tellHow(cmd, &f.How)
}

// partFacts shows a part as it is now known.
func (a *app) partFacts(page shop.PartPage, err error) error {
	if err != nil {
		return err
	}
	a.show(&page, func() {
		a.part(page.Part)
		home := page.HomeBin
		if home == "" {
			home = a.words.Say("cli.part.no_home")
		}
		indent := strings.Repeat(" ", 14)
		a.line(indent, a.words.Say("cli.part.facts", home, a.amount(page.Minimum, page.Unit)))
		if page.Source != "" {
			a.line(indent, a.words.Say("cli.part.source", page.Source))
		}
		if len(page.Forks) > 0 {
			a.line(indent, a.words.Say("cli.part.forks", strings.Join(page.Forks, ", ")))
		}
	})
	return nil
}

func (a *app) line(parts ...string) { _, _ = a.out.WriteString(strings.Join(parts, "") + "\n") }

func (a *app) addPlace() *cobra.Command {
	var q shop.PlaceRequest
	cmd := a.command("place FORK ROLE [--size SIZE] [--thread THREAD --length MM] [--after ROLE]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Fork, q.Role = args[0], args[1]
			out, err := s.AddPlace(ctx, q)
			return a.placed(out, err)
		}))
	a.tellPlace(cmd, &q)
	cmd.Flags().StringVar(&q.After, "after", "", a.words.Say("cli.flag.after"))
	return cmd
}

func (a *app) changePlace() *cobra.Command {
	var q shop.PlaceRequest
	cmd := a.command("place FORK ROLE [--size SIZE] [--fitted yes|no|unknown] ...", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Fork, q.Role = args[0], args[1]
			out, err := s.ChangePlace(ctx, q)
			return a.placed(out, err)
		}))
	a.tellPlace(cmd, &q)
	cmd.Flags().IntVar(&q.Number, "place", 0, a.words.Say("cli.flag.place"))
	return cmd
}

func (a *app) tellPlace(cmd *cobra.Command, q *shop.PlaceRequest) {
	a.tellSizes(cmd, &q.SizeFacts)
	a.tellNumber(cmd, &q.PerLeg, "per-leg", "cli.flag.per_leg")
	a.tellText(cmd, &q.Leg, "leg", "cli.flag.side")
	a.tellText(cmd, &q.Renew, "renew", "cli.flag.renew")
	a.tellText(cmd, &q.Fitted, "fitted", "cli.flag.fitted")
	a.tellText(cmd, &q.Note, "note", "cli.flag.note")
	cmd.Flags().StringArrayVar(&q.Parts, "part", nil, a.words.Say("cli.flag.part"))
	cmd.Flags().StringVar(&q.Source, "source", "", a.words.Say("cli.flag.source"))
	a.tellHow(cmd, &q.How)
	cmd.Flags().BoolVar(&q.Another, "another", false, a.words.Say("cli.flag.another"))
	cmd.Flags().BoolVar(&q.Sure, "sure", false, a.words.Say("cli.flag.place_sure"))
	a.completeWords(cmd, map[string][]string{"leg": catalog.Sides, "renew": catalog.Renewals, "fitted": catalog.Fitteds})
}

// completeWords completes flags that take one of a few words.
func (a *app) completeWords(cmd *cobra.Command, flags map[string][]string) {
	for name, of := range flags {
		_ = cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(of, cobra.ShellCompDirectiveNoFileComp))
	}
}

func (a *app) placed(out shop.Place, err error) error {
	if err == nil {
		a.show(&out, func() {
			a.say("cli.place.head", out.Fork, out.Number)
			a.position(out.Position)
		})
	}
	return err
}

func (a *app) addBin() *cobra.Command {
	var kind string
	cmd := a.command("bin NAME [--kind shelf|tray|blocked]", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if err := s.AddBin(ctx, args[0], kind); err != nil {
			return err
		}
		out := struct {
			Bin  string `json:"bin"`
			Kind string `json:"kind"`
		}{args[0], kind}
		a.show(&out, func() { a.say("cli.bin.done", args[0]) })
		return nil
	}))
	cmd.Flags().StringVar(&kind, "kind", "shelf", a.words.Say("cli.flag.kind"))
	return cmd
}

func (a *app) addSupplier() *cobra.Command    { return a.supplierCommand((*shop.Shop).AddSupplier) }
func (a *app) changeSupplier() *cobra.Command { return a.supplierCommand((*shop.Shop).ChangeSupplier) }

func (a *app) supplierCommand(keep func(*shop.Shop, context.Context, shop.Supplier) (shop.Supplier, error)) *cobra.Command {
	var days *int
	cmd := a.command("supplier NAME --days N", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if days == nil {
			return fault.New(fault.Invalid, "shop.no_days").WithHint("shop.no_days.hint")
		}
		out, err := keep(s, ctx, shop.Supplier{Supplier: args[0], LeadDays: *days})
		if err != nil {
			return err
		}
		a.show(&out, func() { a.say("cli.supplier.done", out.Supplier, out.LeadDays) })
		return nil
	}))
	cmd.Flags().Var(fact[int]{&days, strconv.Atoi}, "days", a.words.Say("cli.flag.days"))
	return cmd
}

func (a *app) addOffer() *cobra.Command {
	var f shop.OfferFacts
	cmd := a.command("offer SUPPLIER THEIR-NUMBER PART [--pack N] [--price PRICE]", 3, 3,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.AddOffer(ctx, args[0], args[1], args[2], f)
			return a.offered(out, err)
		}))
	cmd.ValidArgsFunction = a.completeParts(2)
	a.tellOffer(cmd, &f)
	return cmd
}

func (a *app) changeOffer() *cobra.Command {
	var f shop.OfferFacts
	cmd := a.command("offer SUPPLIER THEIR-NUMBER [--pack N] [--price PRICE]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			out, err := s.ChangeOffer(ctx, args[0], args[1], f)
			return a.offered(out, err)
		}))
	a.tellOffer(cmd, &f)
	return cmd
}

func (a *app) tellOffer(cmd *cobra.Command, f *shop.OfferFacts) {
	a.tellNumber(cmd, &f.Pack, "pack", "cli.flag.pack")
	a.tellText(cmd, &f.Price, "price", "cli.flag.price")
}

func (a *app) offered(out shop.Offered, err error) error {
	if err == nil {
		a.show(&out, func() {
			a.say("cli.offer.done", out.Supplier, out.SupplierNumber, out.Maker+"/"+out.Number, a.amount(out.Pack, out.Unit),
				a.price(out.PackPriceMinor, out.Currency))
		})
	}
	return err
}
