package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"forkstock/internal/demo"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/internal/web"
	"forkstock/internal/words"
)

func (a *app) demoCommand() *cobra.Command {
	var once bool
	var seed uint64
	var end string
	scale, listen := 1, web.Listen
	cmd := a.command("demo [--once] [--seed N] [--end DATE] [--scale N] [--listen ADDRESS]", 0, 0, func(cmd *cobra.Command, _ []string) error {
		ctx := cmd.Context()
		a.json = false // it tells a story
		if err := a.buildDemo(ctx, seed, scale, end); err != nil {
			return err
		}
		if err := a.tell(ctx, seed); err != nil {
			return err
		}
		if once {
			return nil
		}
		s, err := a.open(ctx, "server")
		if err != nil {
			return err
		}
		defer s.Close()
		return a.serve(ctx, s, listen)
	})
	cmd.Flags().BoolVar(&once, "once", false, a.words.Say("cli.flag.once"))
	cmd.Flags().Uint64Var(&seed, "seed", 1, a.words.Say("cli.flag.seed"))
	cmd.Flags().StringVar(&end, "end", "", a.words.Say("cli.flag.end"))
	cmd.Flags().IntVar(&scale, "scale", 1, a.words.Say("cli.flag.scale"))
	cmd.Flags().StringVar(&listen, "listen", web.Listen, a.words.Say("cli.flag.listen"))
	return cmd
}

// buildDemo makes the demo shop up to a day, today where none is given, in
// place of an older one.
func (a *app) buildDemo(ctx context.Context, seed uint64, scale int, end string) error {
	last := time.Now().UTC().Truncate(24 * time.Hour)
	if end != "" {
		var err error
		if last, err = time.Parse(time.DateOnly, end); err != nil || last.After(time.Now()) {
			return fault.New(fault.Invalid, "shop.bad_day", end).WithHint("shop.bad_day.hint")
		}
	}
	if err := a.clearDemo(ctx); err != nil {
		return err
	}
	random := demo.Random(seed)
	err := shop.Init(ctx, a.dir, shop.Settings{
		Zone: systemZone(), Currency: "EUR", Language: a.words.Language(), Person: cmp.Or(a.by, "Mika"), Demo: true,
	}, shop.Options{Random: random})
	if err != nil {
		return err
	}
	s, err := shop.Open(ctx, a.dir, shop.Options{By: a.by, Random: random})
	if err != nil {
		return err
	}
	err = s.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		return demo.Fill(ctx, tx, who.ID, demo.Options{Seed: seed, End: last, Scale: scale})
	})
	return errors.Join(err, s.Close())
}

// clearDemo takes an older demo shop away. Any other folder with something in
// it is left alone. Error: Conflict.
func (a *app) clearDemo(ctx context.Context) error {
	entries, err := os.ReadDir(a.dir)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(entries) == 0 {
		return nil
	}
	s, err := shop.Open(ctx, a.dir, shop.Options{})
	if err == nil {
		isDemo := s.Settings().Demo
		if err := s.Close(); err != nil {
			return err
		}
		if isDemo {
			return a.removeDemo(ctx)
		}
	} else if kind := fault.KindOf(err); kind != fault.NotFound {
		return err
	}
	return fault.New(fault.Conflict, "cli.demo.taken", a.dir).WithHint("cli.demo.taken.hint")
}

// removeDemo removes a demo shop, and nothing that somebody put beside it.
func (a *app) removeDemo(ctx context.Context) error {
	dir := filepath.Join(a.dir, "pictures")
	for _, name := range demo.Story().Pictures {
		if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fault.New(fault.Denied, "cli.file_denied", dir).WithCause(err)
		}
	}
	_ = os.Remove(dir) // only an empty one goes
	return shop.Remove(ctx, a.dir)
}

// tell runs the main job on the demo shop and prints what it does.
func (a *app) tell(ctx context.Context, seed uint64) error {
	files, err := a.drawPictures(seed)
	if err != nil {
		return err
	}
	s, err := a.open(ctx, "")
	if err != nil {
		return err
	}
	err = a.story(ctx, s, files)
	return errors.Join(err, s.Close())
}

// drawPictures puts the pictures of the delivery into the shop's folder.
func (a *app) drawPictures(seed uint64) ([]string, error) {
	pictures, err := demo.Pictures(seed)
	if err != nil {
		return nil, err
	}
	dir := filepath.Join(a.dir, "pictures")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, fault.New(fault.Denied, "cli.file_denied", dir).WithCause(err)
	}
	var files []string
	for _, p := range pictures {
		path := filepath.Join(dir, p.Name)
		if err := os.WriteFile(path, p.Bytes, 0o666); err != nil {
			return nil, fault.New(fault.Denied, "cli.file_denied", path).WithCause(err)
		}
		files = append(files, path)
	}
	return files, nil
}

// story is the main job: find what fits, scan a delivery in, see what to
// order.
func (a *app) story(ctx context.Context, s *shop.Shop, files []string) error {
	script := demo.Story()
	stock, err := s.Stock(ctx, "", "")
	if err != nil {
		return err
	}
	a.say("cli.demo.built", a.dir, len(stock.Lines))
	a.step("cli.demo.find")
	for _, q := range script.Queries {
		a.typed("find", q.Words)
		if err := a.findBriefly(ctx, s, q.Words); err != nil {
			return err
		}
	}
	a.step("cli.demo.receive")
	a.typed(append([]string{"receive", "--delivery", "demo"}, files...)...)
	pictures, err := readPictures(files)
	if err != nil {
		return err
	}
	if err := a.receive(ctx, s, shop.Intake{Delivery: "demo", Pictures: pictures}); err != nil && !errors.Is(err, errNo) {
		return err
	}
	a.step("cli.demo.link")
	a.typed("link", script.UnknownCode, script.LinkPart, "--pieces", fmt.Sprint(script.LinkPieces))
	err = a.link(ctx, s, shop.LinkRequest{Code: script.UnknownCode, Part: script.LinkPart, Pieces: script.LinkPieces})
	if err != nil {
		return err
	}
	a.step("cli.demo.reorder")
	a.typed("reorder")
	return a.reorderBriefly(ctx, s)
}

// step prints a heading, and what came before it at once.
func (a *app) step(id string) {
	fmt.Fprintln(a.out)
	a.say(id)
	a.out.Flush()
}

// typed prints a command as one would type it, with the folder of the demo.
func (a *app) typed(args ...string) {
	args = slices.Clone(args)
	for i := range args {
		args[i] = words.ShellWord(args[i])
	}
	fmt.Fprintf(a.out, "\n  forkstock --shop %s %s\n", words.ShellWord(a.dir), strings.Join(args, " "))
}

// findBriefly shows the first three hits of a search.
func (a *app) findBriefly(ctx context.Context, s *shop.Shop, text string) error {
	found, err := s.Find(ctx, text, 3)
	if err != nil {
		return err
	}
	var g grid
	for _, p := range found.Parts {
		g.add("    "+a.size(p.Sizes), p.Name(), a.words.Say("role."+string(p.Role)), a.inStock(p))
	}
	g.write(a.out)
	if n := found.Total - len(found.Parts); n > 0 {
		fmt.Fprintln(a.out, "    "+a.words.Say("cli.find.more", n, found.Total))
	}
	return nil
}

// mostWanted gives the line of the part that a bike would wait for first: none
// in stock, and the most used.
func mostWanted(lines []shop.ReorderLine) (best int) {
	rank := func(l shop.ReorderLine) int64 {
		if l.OnHand > 0 {
			return -l.OnHand
		}
		return l.OrderUpTo
	}
	for i, l := range lines {
		if rank(l) > rank(lines[best]) {
			best = i
		}
	}
	return best
}

// reorderBriefly shows the most wanted line of each supplier's list.
func (a *app) reorderBriefly(ctx context.Context, s *shop.Shop) error {
	out, err := s.Reorder(ctx, shop.ReorderRequest{})
	if err != nil {
		return err
	}
	a.say("cli.reorder.head", out.Week, out.AsOf, out.Rule)
	for _, o := range out.Orders {
		a.say("cli.reorder.supplier", o.Supplier, len(o.Lines), words.Money{Minor: o.Total, Currency: out.Currency})
		a.reorderLine(o.Lines[mostWanted(o.Lines)], out.Currency)
	}
	return nil
}
