package cli

import (
	"context"
	"fmt"
	"strconv"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) receiveCommand() *cobra.Command {
	var in shop.Intake
	cmd := a.command("receive [--delivery NAME] [--order ORDER] [--supplier NAME] [--bin BIN] [--session ID] PICTURE... | -", 1, -1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			if len(args) == 1 && args[0] == "-" {
				in.Lines = a.stdin
			} else if in.Pictures, err = readPictures(args); err != nil {
				return err
			} else if in.Session != "" {
				return fault.New(fault.Invalid, "cli.session_pictures").WithHint("cli.session_pictures.hint")
			}
			return a.receive(ctx, s, in)
		}))
	cmd.Flags().StringVar(&in.Delivery, "delivery", "", a.words.Say("cli.flag.delivery"))
	cmd.Flags().StringVar(&in.Order, "order", "", a.words.Say("cli.flag.for_order"))
	cmd.Flags().StringVar(&in.Supplier, "supplier", "", a.words.Say("cli.flag.intake_come_from"))
	cmd.Flags().StringVar(&in.Bin, "bin", "", a.words.Say("cli.flag.bin"))
	cmd.Flags().StringVar(&in.Session, "session", "", a.words.Say("cli.flag.session"))
	return cmd
}

// receive records an intake and shows it. Codes that wait and pictures without
// a barcode are exit 1.
func (a *app) receive(ctx context.Context, s *shop.Shop, in shop.Intake) error {
	out, err := s.Receive(ctx, in)
	if err != nil {
		return err
	}
	a.show(&out, func() {
		a.say("cli.receive.head", out.Delivery, len(out.Symbols))
		a.received(out)
	})
	return waits(out)
}

// waits ends a command with exit 1 where something waits or was not read.
func waits(out shop.Received) error {
	if len(out.Unknown)+len(out.ToConfirm)+len(out.Unread) > 0 {
		return errNo
	}
	return nil
}

func (a *app) received(out shop.Received) {
	var seen grid
	for _, y := range out.Symbols {
		state := a.words.Say("scan." + y.State)
		if y.Repeated {
			state += ", " + a.words.Say("scan.repeated")
		}
		seen.add("  "+a.origin(y.Image, y.Line), y.Symbology, oneLine(y.Text), y.Number, state)
	}
	seen.write(a.out)
	for _, b := range out.Bins {
		if b.Line > 0 {
			a.say("cli.receive.bin_line", b.Line, b.Bin)
		} else {
			a.say("cli.receive.bin_picture", b.Image, b.Bin)
		}
	}
	for _, y := range out.Symbols {
		for _, odd := range y.Odd {
			fmt.Fprintln(a.out, "  "+a.origin(y.Image, y.Line)+": "+a.words.Text(odd))
		}
	}
	a.came(out)
	a.against(out)
	a.owing(out.Owing)
	if out.SamePack > 0 {
		a.say("cli.receive.same_pack", out.SamePack)
	}
	if out.Ignored > 0 {
		a.say("cli.receive.ignored", out.Ignored)
	}
	for _, x := range out.Undone {
		a.say("cli.receive.undone", a.code(x.Code), x.Command)
	}
	for _, x := range out.Again {
		a.say("cli.receive.again", a.code(x.Code), x.Image, x.Earlier, x.Command)
	}
	if out.Earlier > 0 {
		a.say("cli.link.earlier", out.Earlier)
	}
	a.waiting(out)
	a.notRead(out.Refused, out.Unread, a.onPage)
}

// came shows what is new in stock, and says where it is not new.
func (a *app) came(out shop.Received) {
	g := grid{right: []int{0}}
	for _, l := range out.Lines {
		if l.New > 0 {
			g.add("  "+a.amount(l.New, l.Unit), l.Maker+"/"+l.Number, a.size(l.Sizes), a.words.Say("cli.receive.bin", l.Bin), a.useBy(l.UseBy))
		}
	}
	if len(g.rows) > 0 {
		a.say("cli.receive.lines")
	}
	g.write(a.out)
	switch {
	case out.Repeated > 0 && out.New() == 0:
		a.say("cli.receive.nothing_new", out.Repeated)
	case out.Repeated > 0:
		a.say("cli.receive.repeated", out.Repeated)
	}
}

// origin names the picture or the line that a code was read from.
func (a *app) origin(image string, line int) string {
	if line > 0 {
		return a.words.Say("cli.receive.line", line)
	}
	return image
}

// typed gives a code as a command takes it, in its printed form where that
// cannot mean another.
func typed(code string) string {
	if short := gs1.Printed(code); len(short) != 8 {
		return short
	}
	return code
}

// code shows a code as it stands on the pack, on one line.
func (a *app) code(code string) string { return oneLine(gs1.Printed(code)) }

func (a *app) useBy(day string) string {
	if day == "" {
		return ""
	}
	return a.words.Say("cli.receive.use_by", day)
}

// waiting shows what waits, and what to do about it.
func (a *app) waiting(out shop.Received) {
	for _, u := range out.Unknown {
		a.say("cli.receive.unknown", a.code(u.Code), u.Count, u.Delivery, u.Day, a.origin(u.Image, u.Line))
		if !u.Note.IsZero() {
			fmt.Fprintln(a.out, "    "+a.words.Text(u.Note))
		}
		a.likely(u)
	}
	for _, c := range out.ToConfirm {
		a.say("cli.receive.to_confirm", c.Why, c.Count)
		fmt.Fprintf(a.out, "    %s\n", c.Command)
		fmt.Fprintf(a.out, "    forkstock packs %s %s 1\n", words.ShellWord(c.Code), words.ShellWord(c.Beside))
	}
}

// likely shows what a code is likely to stand for, and how to say what it is.
func (a *app) likely(u shop.Unknown) {
	if u.Text != "" {
		a.say("cli.receive.text", oneLine(u.Text), u.Supplier)
	}
	if len(u.Read) > 0 {
		a.say("cli.receive.rivals")
		for _, r := range u.Read {
			a.say("cli.receive.rival", r.Supplier, r.Number)
		}
	}
	for _, m := range u.Meant {
		if m.Number == "" {
			a.say("cli.receive.meant_item", m.From, m.SupplierNumber, oneLine(m.Description), m.Why)
		} else {
			a.say("cli.receive.meant", a.meant(m), m.Why)
		}
		fmt.Fprintf(a.out, "    %s\n", m.Command)
	}
	codes := u.Readings
	if codes == nil {
		codes = []string{typed(u.Code)}
	}
	for _, code := range codes {
		if len(u.Meant) == 0 {
			fmt.Fprintf(a.out, "    forkstock link %s %s --pieces 1\n", words.ShellWord(code), a.words.Say("cli.word.part"))
		}
	}
}

// meant names a part with how many of it are in the pack.
func (a *app) meant(m shop.Meant) string {
	switch {
	case m.Pieces == 0:
		return m.PartName()
	case m.Packs > 1:
		return a.words.Say("meant.packs", m.PartName(), m.Packs, a.amount(m.Pieces, m.Unit), a.amount(m.Total(), m.Unit))
	}
	return a.words.Say("meant.pieces", m.PartName(), a.amount(m.Pieces, m.Unit))
}

func (a *app) waitingCommand() *cobra.Command {
	return a.command("waiting", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.Waiting(ctx)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			if len(out.Symbols) == 0 {
				a.say("cli.waiting.none")
			}
			a.waiting(out)
		})
		return nil
	}))
}

func (a *app) linkCommand() *cobra.Command {
	var q shop.LinkRequest
	cmd := a.command("link CODE PART [--pieces N] [--supplier NAME] [--instead] [--correct] | link CODE --accept | link CODE --no-part", 1, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Code = args[0]
			if len(args) == 2 {
				q.Part = args[1]
			}
			if (q.Part == "") != (q.NoPart || q.Accept) || q.NoPart && q.Accept {
				return fault.New(fault.Invalid, "cli.args", "link").WithHint("cli.link.hint")
			}
			return a.link(ctx, s, q)
		}))
	cmd.ValidArgsFunction = a.completeParts(1)
	cmd.Flags().Int64Var(&q.Pieces, "pieces", 1, a.words.Say("cli.flag.pieces"))
	cmd.Flags().BoolVar(&q.Accept, "accept", false, a.words.Say("cli.flag.intake_accept"))
	cmd.Flags().StringVar(&q.Supplier, "supplier", "", a.words.Say("cli.flag.intake_link_supplier"))
	cmd.Flags().BoolVar(&q.NoPart, "no-part", false, a.words.Say("cli.flag.no_part"))
	cmd.Flags().BoolVar(&q.Instead, "instead", false, a.words.Say("cli.flag.instead"))
	cmd.Flags().BoolVar(&q.Correct, "correct", false, a.words.Say("cli.flag.correct"))
	return cmd
}

func (a *app) link(ctx context.Context, s *shop.Shop, q shop.LinkRequest) error {
	out, err := s.Link(ctx, q)
	if err != nil {
		return err
	}
	a.show(&out, func() {
		if q.NoPart {
			a.say("cli.link.no_part", q.Code)
		} else {
			a.linked(q, *out.Linked)
		}
		a.settled(out)
	})
	return waits(out)
}

// linked shows what a code stands for from now on.
func (a *app) linked(q shop.LinkRequest, l shop.Linked) {
	code, part := q.Code, q.Part
	if q.Accept {
		code, part = typed(l.Code), l.Maker+"/"+l.Number
	}
	if l.Supplier != "" {
		a.say("cli.link.done_from", code, part, l.Pieces, l.Supplier)
		return
	}
	a.say("cli.link.done", code, part, l.Pieces)
}

// settled shows what was posted of what waited.
func (a *app) settled(out shop.Received) {
	if out.Counts > 0 {
		a.say("cli.link.counts", out.Counts)
	} else if len(out.Symbols) == 0 && out.Earlier == 0 {
		a.say("cli.link.none_waited")
	}
	a.received(out)
}

func (a *app) packsCommand() *cobra.Command {
	return a.command("packs CODE CODE 1|2", 3, 3, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		n, err := strconv.Atoi(args[2])
		if err != nil || n != 1 && n != 2 {
			return fault.New(fault.Invalid, "cli.bad_packs", args[2]).WithHint("cli.packs.hint")
		}
		out, err := s.Packs(ctx, args[0], args[1], n)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			a.say("cli.packs.kept", args[0], args[1], n)
			a.settled(out)
		})
		return waits(out)
	}))
}
