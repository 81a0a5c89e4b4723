package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) findCommand() *cobra.Command {
	limit := 20
	var only shop.Only
	cmd := a.command("find WORDS... [--role ROLE] [--leg MM] [--maker MAKER] [--in-stock] [--limit N]", 1, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		if limit < 1 || limit > 1000 {
			return fault.New(fault.Invalid, "cli.bad_limit", limit)
		}
		return a.find(ctx, s, strings.Join(args, " "), limit, only)
	}))
	cmd.Flags().IntVar(&limit, "limit", limit, a.words.Say("cli.flag.limit"))
	cmd.Flags().StringVar(&only.Role, "role", "", a.words.Say("cli.flag.only_role"))
	cmd.Flags().StringVar(&only.Leg, "leg", "", a.words.Say("cli.flag.only_leg"))
	cmd.Flags().StringVar(&only.Maker, "maker", "", a.words.Say("cli.flag.only_maker"))
	cmd.Flags().BoolVar(&only.InStock, "in-stock", false, a.words.Say("cli.flag.in_stock"))
	return cmd
}

// find searches and shows; nothing found is exit 1.
func (a *app) find(ctx context.Context, s *shop.Shop, text string, limit int, only shop.Only) error {
	found, err := s.FindOnly(ctx, text, limit, only)
	if err != nil {
		return err
	}
	a.show(&found, func() { a.found(found) })
	if found.Empty() {
		return errNo
	}
	return nil
}

func (a *app) found(f shop.Found) {
	a.understood(f)
	if !f.Index.IsZero() {
		fmt.Fprintln(a.stderr, a.words.Text(f.Index))
	}
	for _, m := range []fault.Message{f.Suggest, f.Degraded} {
		if !m.IsZero() {
			fmt.Fprintln(a.out, a.words.Text(m))
		}
	}
	if f.Empty() {
		a.say("cli.find.none")
		a.goOn(f.Measured)
		a.say("cli.find.none.hint")
		a.hints("", f.Usual...)
		return
	}
	a.hints("", f.Usual...)
	for _, h := range f.Forks {
		fmt.Fprintln(a.out)
		if len(h.Models) == 0 {
			a.say("cli.find.fork_alone", h.Fork, a.mm(h.LegDiameter))
		} else {
			a.say("cli.find.fork", h.Fork, a.mm(h.LegDiameter), a.bikes(h.Models))
		}
		a.why(h.Why)
	}
	for _, p := range f.Parts {
		fmt.Fprintln(a.out)
		a.part(p)
		a.why(p.Standing)
	}
	if n := f.Total - len(f.Parts); f.More {
		fmt.Fprintln(a.out)
		a.say("cli.find.many", f.Total)
	} else if n > 0 {
		fmt.Fprintln(a.out)
		a.say("cli.find.more", n, f.Total)
		a.narrow(f.Narrow)
	}
	a.related(f.Related)
	for _, i := range f.Items {
		fmt.Fprintln(a.out)
		a.say("cli.find.item", i.Supplier, i.SupplierNumber, oneLine(i.Description), i.Pack, a.price(i.PackPriceMinor, f.Currency))
		a.proposed(i.Proposed)
		a.why(i.Why)
	}
}

// understood says how the words were read: first what the answer does not keep
// to, then what was read, one kind after the other.
func (a *app) understood(f shop.Found) {
	a.hints("! ", f.Warnings...)
	for _, text := range f.Meant {
		a.say("cli.find.meant", words.ShellWord(text))
	}
	var all []string
	for _, r := range f.Read {
		all = append(all, a.words.Text(r.Says))
	}
	if len(all) > 0 {
		fmt.Fprintln(a.out, strings.Join(all, "  ·  "))
	}
	a.hints("", f.Notes...)
	if slices.ContainsFunc(f.Notes, func(m fault.Message) bool { return m.ID == "search.stock_list" }) {
		a.say("cli.find.stock_list")
	}
}

// goOn says how to go on with a diameter that nothing was found for.
func (a *app) goOn(m *shop.Measured) {
	if m == nil {
		return
	}
	a.say("cli.find.identify", m.DiameterUM, m.Diameter)
	if m.Role != "" {
		a.say("cli.find.fit", string(m.Role), m.Diameter)
	}
}

// related shows what belongs to the one part that was found.
func (a *app) related(r *shop.Related) {
	if r == nil {
		return
	}
	for _, n := range r.Needs {
		name := "–"
		if n.Number != "" {
			name = n.Maker + "/" + n.Number
		}
		text := a.words.Say("cli.find.needs", n.Fork, a.words.Say("role."+string(n.Role)), a.amount(n.PerJob, n.Unit), name)
		if n.Missing > 0 {
			text += ", " + a.words.Say("web.missing", a.amount(n.Missing, n.Unit))
		}
		fmt.Fprintln(a.out, text)
	}
	for _, k := range r.Kits {
		a.say("cli.find.kit", k.Name(), k.Description)
	}
	for _, p := range r.SameSize {
		a.say("cli.find.same", p.Name(), a.held(p))
	}
}

// narrow says what the answer can be narrowed down to.
func (a *app) narrow(n *shop.Narrow) {
	if n == nil {
		return
	}
	line := func(flag string, all []string) {
		if len(all) > 0 {
			fmt.Fprintf(a.out, "  %s %s\n", flag, strings.Join(all, ", "))
		}
	}
	var roles, legs, makers []string
	for _, c := range n.Roles {
		roles = append(roles, fmt.Sprintf("%s (%d)", c.Role, c.Parts))
	}
	for _, c := range n.Legs {
		legs = append(legs, fmt.Sprintf("%s (%d)", c.LegDiameter, c.Parts))
	}
	for _, c := range n.Makers {
		makers = append(makers, fmt.Sprintf("%s (%d)", c.Maker, c.Parts))
	}
	line("--role", roles)
	line("--leg", legs)
	line("--maker", makers)
}

// part shows a part on three lines: what to take and from where, what it is,
// why it is here.
func (a *app) part(p shop.Part) {
	size := fmt.Sprintf("%-12s", a.size(p.Sizes))
	fmt.Fprintf(a.out, "%s  %-26s  %s\n", size, p.Name(), a.inStock(p))
	fmt.Fprintf(a.out, "%-12s  %s%s\n", "", a.words.Described("role."+string(p.Role), p.Description), a.traits(p.Traits))
	a.why(p.Why)
}

// traits gives what tells a bolt or a bushing from others of its size, behind
// a comma; nothing where that is not known.
func (a *app) traits(t shop.Traits) (text string) {
	for _, m := range t.Said() {
		text += ", " + a.words.Text(m)
	}
	return text
}

func (a *app) why(m fault.Message) {
	if !m.IsZero() {
		fmt.Fprintf(a.out, "%-12s  %s\n", "", a.words.Text(m))
	}
}

// size gives a size as it stands on screens.
func (a *app) size(s shop.Sizes) string { return a.words.Show(s) }

// mm gives a diameter in millimetres with the mark of the language.
func (a *app) mm(printed string) string {
	if a.words.Language() == "de" {
		return strings.Replace(printed, ".", ",", 1)
	}
	return printed
}

func (a *app) amount(n int64, unit string) string { return a.words.Say("unit."+unit, n) }

// inStock tells how much there is, and where.
func (a *app) inStock(p shop.Part) string {
	text := a.held(p)
	if !p.Aged.IsZero() {
		text += "  ! " + a.words.Text(p.Aged)
	}
	return text
}

func (a *app) held(p shop.Part) string {
	if p.OnHand == 0 {
		return a.words.Say("cli.stock.none")
	}
	there := a.amount(p.OnHand, p.Unit)
	if !p.Bottles.IsZero() {
		there = a.words.Text(p.Bottles)
	}
	text := a.words.Say("cli.stock.some", there, strings.Join(p.Bins, ", "))
	switch {
	case p.SetAside > 0:
		text += a.words.Say("cli.stock.aside", a.amount(p.Available, p.Unit), a.amount(p.SetAside, p.Unit))
	case p.Available < p.OnHand:
		text += a.words.Say("cli.stock.of_it", a.amount(p.Available, p.Unit))
	}
	return text
}

// price gives an amount of money that may be not known.
func (a *app) price(minor *int64, currency string) string {
	if minor == nil {
		return a.words.Say("cli.price.unknown")
	}
	return a.words.Show(words.Money{Minor: *minor, Currency: currency})
}

// bikes lists models, the first few of many.
func (a *app) bikes(models []shop.Model) string {
	const most = 4
	var names []string
	for i, m := range models {
		if i == most {
			names = append(names, a.words.Say("cli.bikes.more", len(models)-most))
			break
		}
		names = append(names, m.Name())
	}
	return strings.Join(names, ", ")
}
