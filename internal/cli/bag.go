package cli

import (
	"cmp"
	"context"
	"path/filepath"
	"strconv"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"forkstock/internal/shop"
)

func (a *app) bagCommand() *cobra.Command {
	cmd := a.command("bag | bag look|book|new|aside|back|drop|labels ...", 0, 0,
		a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
			out, err := s.Stocktake(ctx)
			if err != nil {
				return err
			}
			a.show(&out, func() {
				a.say("cli.bag.head", out.Booked, out.Aside, out.Labels)
				g := grid{right: []int{0, 2}}
				for _, b := range out.Bags {
					g.add(strconv.FormatInt(b.Bag, 10), a.words.Say("cli.bag.state."+b.State), a.words.Say("unit."+b.Unit, b.Amount), b.Bin,
						cmp.Or(b.Name(), b.Marking), cmp.Or(b.Size, b.Told), b.Text)
				}
				g.write(a.out)
			})
			return nil
		}))
	cmd.AddCommand(a.bagLook(), a.bagBook(), a.bagNew(), a.bagAside(), a.bagBack(), a.bagDrop(), a.bagLabels())
	return cmd
}

// bagFlags adds the flags that tell of a bag.
func (a *app) bagFlags(flags *pflag.FlagSet, q *shop.BagForm) (photos *[]string) {
	flags.StringVar(&q.Marking, "marking", "", a.words.Say("cli.flag.bag_marking"))
	flags.StringVar(&q.Size, "size", "", a.words.Say("cli.flag.bag_size"))
	flags.StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.bag_bin"))
	flags.StringVar(&q.Note, "note", "", a.words.Say("cli.flag.bag_note"))
	flags.Int64Var(&q.Bag, "bag", 0, a.words.Say("cli.flag.bag"))
	flags.StringVar(&q.Key, "key", "", a.words.Say("cli.flag.key"))
	return flags.StringArray("photo", nil, a.words.Say("cli.flag.bag_photo"))
}

// bagPhotos reads pictures when their turn comes.
func bagPhotos(files []string) (all []shop.Picture) {
	for _, file := range files {
		all = append(all, shop.Picture{Name: filepath.Base(file), Load: func() ([]byte, error) { return readFile(file) }})
	}
	return all
}

// bagTold shows what became of a bag.
func (a *app) bagTold(b shop.Bag, err error) error {
	if err != nil {
		return err
	}
	a.show(&b, func() {
		if b.Repeated {
			a.say("cli.bag.repeated")
		}
		switch b.State {
		case "booked":
			a.say("cli.bag.booked", b.Bag, a.words.Say("unit."+b.Unit, b.Amount), b.Name(), b.Bin, b.Text)
		case "dropped":
			a.say("cli.bag.dropped", b.Bag)
		default:
			a.say("cli.bag.aside_now", b.Bag)
		}
	})
	return nil
}

func (a *app) bagLook() *cobra.Command {
	var marking, size string
	cmd := a.command("look [--marking TEXT] [--size SIZE]", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		out, err := s.LookBag(ctx, marking, size)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			for _, c := range out.Candidates {
				a.say("cli.bag.candidate", c.Name(), a.words.Say("role."+string(c.Role)), c.Sizes)
				for _, m := range c.Reasons {
					a.say("cli.bag.reason", m)
				}
				for _, m := range c.Doubts {
					a.say("cli.bag.doubt", m)
				}
				for _, m := range c.Open {
					a.say("cli.bag.reason", m)
				}
			}
			if out.Empty() {
				a.say("cli.bag.nothing")
			}
			if len(out.Usual) > 0 {
				a.say("web.bag.usual")
			}
			for _, m := range out.Usual {
				a.say("cli.bag.reason", m)
			}
			if out.Bin != "" {
				a.say("cli.bag.is_bin", out.Bin)
			}
		})
		if out.Empty() {
			return errNo
		}
		return nil
	}))
	cmd.Short = a.words.Say("cli.bag.look")
	cmd.Flags().StringVar(&marking, "marking", "", a.words.Say("cli.flag.bag_marking"))
	cmd.Flags().StringVar(&size, "size", "", a.words.Say("cli.flag.bag_size"))
	return cmd
}

func (a *app) bagBook() *cobra.Command {
	var q shop.BagBooking
	var photos *[]string
	cmd := a.command("book PART PIECES --bin BIN [--bag BAG] [--marking TEXT] [--size SIZE] [--photo FILE]... [--another] [--key KEY]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Part, q.Photos = args[0], bagPhotos(*photos)
			if q.Amount, err = pieces(args[1]); err != nil {
				return err
			}
			return a.bagTold(s.BookBag(ctx, q))
		}))
	cmd.Short = a.words.Say("cli.bag.book")
	photos = a.bagFlags(cmd.Flags(), &q.BagForm)
	cmd.Flags().BoolVar(&q.Another, "another", false, a.words.Say("cli.flag.bag_another"))
	return cmd
}

func (a *app) bagNew() *cobra.Command {
	q := shop.BagBooking{New: &shop.BagNewPart{}}
	var photos *[]string
	cmd := a.command("new ROLE PIECES --bin BIN [--bag BAG] [--marking TEXT] [--size SIZE] [--nominal SIZE] [--maker MAKER] [--number NUMBER] "+
		"[--description TEXT] [--photo FILE]... [--key KEY]", 2, 2,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.New.Role, q.Photos = args[0], bagPhotos(*photos)
			if q.Amount, err = pieces(args[1]); err != nil {
				return err
			}
			return a.bagTold(s.BookBag(ctx, q))
		}))
	cmd.Short = a.words.Say("cli.bag.new")
	photos = a.bagFlags(cmd.Flags(), &q.BagForm)
	cmd.Flags().StringVar(&q.New.Size, "nominal", "", a.words.Say("cli.flag.bag_nominal"))
	cmd.Flags().StringVar(&q.New.Maker, "maker", "", a.words.Say("cli.flag.bag_maker"))
	cmd.Flags().StringVar(&q.New.Number, "number", "", a.words.Say("cli.flag.bag_number"))
	cmd.Flags().StringVar(&q.New.Description, "description", "", a.words.Say("cli.flag.bag_description"))
	return cmd
}

func (a *app) bagAside() *cobra.Command {
	var q shop.BagForm
	var photos *[]string
	cmd := a.command("aside [PIECES] [--bag BAG] [--bin BIN] [--marking TEXT] [--size SIZE] [--note TEXT] [--photo FILE]... [--key KEY]", 0, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) (err error) {
			q.Photos = bagPhotos(*photos)
			if len(args) > 0 {
				if q.Amount, err = pieces(args[0]); err != nil {
					return err
				}
			}
			return a.bagTold(s.KeepBag(ctx, q))
		}))
	cmd.Short = a.words.Say("cli.bag.aside")
	photos = a.bagFlags(cmd.Flags(), &q)
	return cmd
}

func bagNumber(text string) (int64, error) {
	return number(text, "cli.bag.bad", "inventory.bag_absent.hint")
}

func (a *app) bagBack() *cobra.Command {
	cmd := a.command("back BAG", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		n, err := bagNumber(args[0])
		if err != nil {
			return err
		}
		return a.bagTold(s.UnbookBag(ctx, n))
	}))
	cmd.Short = a.words.Say("cli.bag.back")
	return cmd
}

func (a *app) bagDrop() *cobra.Command {
	cmd := a.command("drop BAG", 1, 1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		n, err := bagNumber(args[0])
		if err != nil {
			return err
		}
		if err := s.DropBag(ctx, n); err != nil {
			return err
		}
		return a.bagTold(s.BagNumbered(ctx, n))
	}))
	cmd.Short = a.words.Say("cli.bag.drop")
	return cmd
}

func (a *app) bagLabels() *cobra.Command {
	var how shop.LabelSheet
	var file string
	cmd := a.command("labels [--sheet SHEET] [--start N] -o FILE", 0, 0, a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
		if err := a.takesPDF(file); err != nil {
			return err
		}
		stamp, err := s.PrintBags(ctx, 0)
		if err != nil {
			return err
		}
		out, err := s.BagLabels(ctx, how, stamp)
		if err != nil {
			return err
		}
		return a.printed(file, out.PDF, &labelAnswer{File: file, Labelled: out}, func() { a.labelled(file, out) })
	}))
	cmd.Short = a.words.Say("cli.bag.labels")
	cmd.Flags().StringVar(&how.Sheet, "sheet", "", a.words.Say("cli.flag.sheet"))
	cmd.Flags().IntVar(&how.Start, "start", 1, a.words.Say("cli.flag.start"))
	cmd.Flags().StringVarP(&file, "output", "o", "", a.words.Say("cli.flag.label_output"))
	return cmd
}
