package shop

import (
	"cmp"
	"context"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// BagBooking says which part lies in a bag.
type BagBooking struct {
	BagForm
	Part    string      // number, code, or maker/number; empty: New
	New     *BagNewPart // a part that the catalog does not have
	Another bool        // it is a bag beside the one that the book has of the part in that bin
}

// BagNewPart is a part that is added with its bag.
type BagNewPart struct {
	Role        string // id, or a word for it in either language
	Maker       string // empty: no maker
	Number      string // empty: the marking where a number may stand in it, else the shop's own number
	Size        string // nominal, as catalog.ParseCallipers reads it; empty: as measured
	Description string // empty: the word for the role, and the size
}

// content is what the key of the form stands for.
func (q BagBooking) content() string {
	all := []string{q.Part, strconv.FormatInt(q.Amount, 10), strings.ToUpper(q.Bin)}
	if q.New != nil {
		all = append(all, q.New.Role, q.New.Maker, q.New.Number, q.New.Size)
	}
	return strings.Join(all, "\n")
}

// BookBag books what lies in a bag as opening stock, gives the part a number of
// the shop's own where it has none, and puts its label to those that wait. Errors:
// Invalid, NotFound, Ambiguous, Conflict (the bag was booked, the key used for
// something else, or the part lies in that bin already).
func (s *Shop) BookBag(ctx context.Context, q BagBooking) (Bag, error) {
	k := bagKeeping{s: s, q: q.BagForm}
	if err := k.read(ctx); err != nil {
		return Bag{}, err
	}
	if q.Amount == 0 {
		return Bag{}, fault.New(fault.Invalid, "shop.bag_count").WithHint("shop.bag_count.hint")
	}
	if trimmed(q.Bin) == "" {
		return Bag{}, fault.New(fault.Invalid, "shop.bag_where").WithHint("shop.bag_where.hint")
	}
	var out Bag
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		b, err := k.find(ctx, tx, who)
		if err != nil {
			return err
		}
		key := ""
		if q.Key != "" {
			key = bagKey + q.Key
			_, repeated, err := inventory.PostingByKey(ctx, tx, key, q.content())
			if err != nil {
				return err
			}
			if repeated {
				out, err = s.bag(ctx, tx, b)
				out.Repeated = true
				return err
			}
		}
		if b.Booked() {
			return bagBooked(b)
		}
		if b, err = k.keep(ctx, tx, b); err != nil {
			return err
		}
		if b, err = s.book(ctx, tx, who, b, q, key); err != nil {
			return err
		}
		out, err = s.bag(ctx, tx, b)
		return err
	})
	return out, err
}

// bagKey begins the key of a posting that books a bag.
const bagKey = "bag:"

// book posts what lies in a bag.
func (s *Shop) book(ctx context.Context, tx *store.Tx, who Actor, b inventory.Bag, q BagBooking, key string) (inventory.Bag, error) {
	var err error
	if b.Bin, err = homeBin(ctx, tx, q.Bin); err != nil {
		return b, err
	}
	p, err := s.bagPart(ctx, tx, who, b, q)
	if err != nil {
		return b, err
	}
	if !q.Another {
		if err := seenThere(ctx, tx, p, b.Bin); err != nil {
			return b, err
		}
	}
	if p.HomeBin == "" {
		p.HomeBin = b.Bin
		if err := catalog.ChangePart(ctx, tx, p); err != nil {
			return b, err
		}
	}
	lot, err := inventory.LotOf(ctx, tx, inventory.Lot{Part: p.ID})
	if err != nil {
		return b, err
	}
	if err := lot.Refilled(ctx, tx); err != nil {
		return b, err
	}
	posting, err := inventory.Post(ctx, tx, inventory.Posting{
		Key: key, Content: q.content(), Kind: inventory.Opening, Person: who.ID,
		Reason: words.For(s.settings.Language).Say("shop.bag_reason", b.Seq),
	}, []inventory.Flow{{Part: p.ID, Lot: lot.ID, To: b.Bin, Amount: b.Amount}})
	if err != nil {
		return b, err
	}
	b.Part, b.Posting, b.Printed = p.ID, posting.ID, ""
	if b, err = inventory.KeepBag(ctx, tx, b); err != nil {
		return b, err
	}
	code, err := inventory.OwnNumberOfPart(ctx, tx, p.ID, labelled(p, b))
	if err == nil && code == "" {
		_, err = inventory.NumberPart(ctx, tx, p.ID, labelled(p, b), who.ID)
	}
	return b, err
}

// seenThere refuses a part of which the book has some in the bin. Error: Conflict.
func seenThere(ctx context.Context, tx *store.Tx, p catalog.Part, bin string) error {
	lines, err := inventory.Stock(ctx, tx, p.ID)
	var there int64
	name := ""
	for _, l := range lines {
		if l.Bin.ID == bin {
			there, name = there+l.Amount, l.Bin.Name
		}
	}
	if err == nil && there > 0 {
		err = fault.New(fault.Conflict, "shop.bag_again", p.Name(), name, there).WithHint("shop.bag_again.hint")
	}
	return err
}

// bagPart gives the part of a booking, or adds it.
func (s *Shop) bagPart(ctx context.Context, tx *store.Tx, who Actor, b inventory.Bag, q BagBooking) (catalog.Part, error) {
	if q.New == nil {
		if trimmed(q.Part) == "" {
			return catalog.Part{}, fault.New(fault.Invalid, "shop.bag_which").WithHint("shop.bag_which.hint")
		}
		p, _, err := partFor(ctx, tx, q.Part)
		return p, err
	}
	role, err := s.role(tidied(q.New.Role))
	if err != nil {
		return catalog.Part{}, err
	}
	number := tidied(q.New.Number)
	if number == "" && numberMarked(b.Marking) {
		number = b.Marking
	}
	if number == "" {
		code, err := inventory.NextNumber(ctx, tx)
		if err != nil {
			return catalog.Part{}, err
		}
		number = gs1.Printed(code)
	}
	maker := cmp.Or(tidied(q.New.Maker), words.For(s.settings.Language).Say("shop.bag_maker"))
	id := string(role)
	f := PartFacts{Role: &id, How: "bench"}
	if size := cmp.Or(tidied(q.New.Size), b.Size); size != "" {
		c, err := catalog.ParseCallipers(size)
		if err != nil {
			return catalog.Part{}, err
		}
		f.SizeFacts = sizeFacts(c, role)
	}
	if description := tidied(q.New.Description); description != "" {
		f.Description = &description
	}
	return s.newPart(ctx, tx, who, catalog.Part{Maker: maker, Number: number, Source: who.Name}, f)
}

// sizeFacts gives what callipers say as facts of a part of a role; a kind without
// sizes has none.
func sizeFacts(c catalog.Callipers, role catalog.Role) (f SizeFacts) {
	size, thread := c.Size(role)
	if role.Sizes() == nil {
		return f
	}
	if thread != "" {
		f.Thread = &thread
		if size.Height != 0 {
			long := size.Height.String()
			f.Length = &long
		}
		return f
	}
	if text := size.String(); text != "" {
		f.Size = &text
	}
	return f
}

// numberMarked reports whether a marking may be a number of its maker: a digit, no
// size, and not too long.
func numberMarked(marking string) bool {
	_, err := catalog.ParseCallipers(marking)
	return err != nil && strings.ContainsAny(marking, "0123456789") && len(catalog.Normal(marking)) >= 3 && len(marking) <= 40
}

// UnbookBag takes the posting of a bag back, and leaves it aside. Errors: NotFound,
// Conflict, Short (pieces of it were taken).
func (s *Shop) UnbookBag(ctx context.Context, number int64) (Bag, error) {
	b, err := s.BagNumbered(ctx, number)
	if err != nil {
		return b, err
	}
	if b.Posting != "" {
		if _, err := s.Undo(ctx, b.Posting, "", ""); err != nil {
			return b, err
		}
	}
	return s.BagNumbered(ctx, number)
}
