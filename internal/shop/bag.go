package shop

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"image/jpeg"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner/pages"
)

// The first stocktake: bags that lie on the shelves without a number. Of each is
// told what stands on the part, what the callipers say, how many there are and
// where; it is booked as a part that is chosen, as opening stock whose cost is not
// known, or left aside until somebody knows.
//
// A form has a key: sent twice it counts once. A bag that was told of before it
// was booked has a number, and is booked once, whoever sends a form for it; a
// second bag of a part in the same bin is asked about, for it may be the same one
// seen by two people.

// Bag is a bag without a number, as it was told of.
type Bag struct {
	Bag     int64  `json:"bag"`   // its number, to write on it
	State   string `json:"state"` // aside, booked, dropped
	Marking string `json:"marking"`
	Told    string `json:"told"` // what the callipers said, as it was typed
	Amount  int64  `json:"amount"`
	Bin     string `json:"bin"`
	Note    string `json:"note,omitempty"`

	Number string       `json:"number,omitempty"` // of the part, once it is known
	Maker  string       `json:"maker,omitempty"`
	Role   catalog.Role `json:"role,omitempty"`
	Sizes
	Unit string `json:"unit"`

	Code     string  `json:"code,omitempty"` // on its label, GTIN-14
	Text     string  `json:"text,omitempty"` // as it is printed
	Posting  string  `json:"posting,omitempty"`
	Printed  bool    `json:"printed"` // its label was
	Photos   []int64 `json:"photos"`
	Day      string  `json:"day"`
	Person   string  `json:"person"`
	Repeated bool    `json:"repeated,omitempty"` // the form had been sent before
}

// Name gives the part as a command takes it, empty where it is not known.
func (b Bag) Name() string {
	if b.Number == "" {
		return ""
	}
	return b.Maker + "/" + b.Number
}

// BagForm is what is told of a bag.
type BagForm struct {
	Bag     int64  // its number, 0 for one that nobody told of
	Key     string // of the form
	Marking string // what stands on the part
	Size    string // from the callipers, as catalog.ParseCallipers reads it
	Amount  int64  // 0: not counted yet
	Bin     string // name or label, empty: not told
	Note    string
	Photos  []Picture
}

// KeepBag leaves a bag aside: what is told of it is kept, nothing is booked.
// Errors: Invalid, NotFound, Conflict (it was booked).
func (s *Shop) KeepBag(ctx context.Context, q BagForm) (Bag, error) {
	k := bagKeeping{s: s, q: q}
	if err := k.read(ctx); err != nil {
		return Bag{}, err
	}
	var out Bag
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		b, err := k.find(ctx, tx, who)
		if err != nil {
			return err
		}
		if b.Booked() {
			return bagBooked(b)
		}
		if b, err = k.keep(ctx, tx, b); err != nil {
			return err
		}
		out, err = s.bag(ctx, tx, b)
		return err
	})
	return out, err
}

func bagBooked(b inventory.Bag) error {
	return fault.New(fault.Conflict, "shop.bag_booked", b.Seq).WithHint("shop.bag_booked.hint")
}

// bagKeeping keeps what a form tells of a bag.
type bagKeeping struct {
	s      *Shop
	q      BagForm
	photos []photo
}

// photo is a picture made small.
type photo struct {
	sum  string
	jpeg []byte
}

// largestPhoto is how wide and high a picture of a bag is kept at most, in pixels.
const largestPhoto = 1000

// read reads the form and makes its pictures small, before anything is changed.
func (k *bagKeeping) read(ctx context.Context) error {
	k.q.Marking, k.q.Size, k.q.Note = tidied(k.q.Marking), tidied(k.q.Size), tidied(k.q.Note)
	for _, text := range []string{k.q.Marking, k.q.Size, k.q.Note} {
		if len(text) > 500 {
			return fault.New(fault.Invalid, "shop.too_long")
		}
	}
	if k.q.Size != "" {
		if _, err := catalog.ParseCallipers(k.q.Size); err != nil {
			return err
		}
	}
	if k.q.Amount < 0 || k.q.Amount > mostAmount {
		return fault.New(fault.Invalid, "shop.bad_amount", k.q.Amount, int64(mostAmount))
	}
	if err := checkKey(k.q.Key); err != nil {
		return err
	}
	for _, p := range k.q.Photos {
		data := p.Data
		if data == nil && p.Load != nil {
			var err error
			if data, err = p.Load(); err != nil {
				return err
			}
		}
		small, err := pages.Small(ctx, data, largestPhoto)
		if err != nil {
			e := fault.Of(err)
			return &fault.Error{Kind: e.Kind, Message: fault.Say("shop.picture", p.Name, e.Message), Hint: e.Hint, Err: e}
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, small, &jpeg.Options{Quality: 80}); err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		k.photos = append(k.photos, photo{hex.EncodeToString(sum[:]), b.Bytes()})
	}
	return nil
}

// find gives the bag that the form is about, as it stands.
func (k *bagKeeping) find(ctx context.Context, tx *store.Tx, who Actor) (inventory.Bag, error) {
	if k.q.Bag != 0 {
		return inventory.BagNumbered(ctx, tx, k.q.Bag)
	}
	b, found, err := inventory.BagOfKey(ctx, tx, k.q.Key)
	if err != nil || found {
		return b, err
	}
	b = inventory.Bag{Key: k.q.Key, Person: who.ID}
	if b.Key == "" {
		b.Key, err = tx.NewID()
	}
	return b, err
}

// keep records what the form tells.
func (k *bagKeeping) keep(ctx context.Context, tx *store.Tx, b inventory.Bag) (inventory.Bag, error) {
	b.Marking, b.Size, b.Amount, b.Note, b.Dropped = k.q.Marking, k.q.Size, k.q.Amount, k.q.Note, ""
	if k.q.Bin != "" {
		bin, err := inventory.BinNamed(ctx, tx, k.q.Bin)
		if err != nil {
			return b, err
		}
		b.Bin = bin.ID
	}
	b, err := inventory.KeepBag(ctx, tx, b)
	if err != nil {
		return b, err
	}
	for _, p := range k.photos {
		if err := inventory.KeepPhoto(ctx, tx, b.Seq, p.sum, p.jpeg); err != nil {
			return b, err
		}
	}
	return inventory.BagNumbered(ctx, tx, b.Seq)
}

// DropBag says that a bag is none to be booked: it was told of twice, or thrown
// away. Errors: NotFound, Conflict (it was booked).
func (s *Shop) DropBag(ctx context.Context, number int64) error {
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		b, err := inventory.BagNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		if b.Booked() {
			return bagBooked(b)
		}
		b.Dropped = store.Stamp(tx.Now)
		_, err = inventory.KeepBag(ctx, tx, b)
		return err
	})
}

// bag tells of a bag.
func (s *Shop) bag(ctx context.Context, tx *store.Tx, b inventory.Bag) (Bag, error) {
	v := Bag{
		Bag: b.Seq, State: "aside", Marking: b.Marking, Told: b.Size, Amount: b.Amount, Note: b.Note, Posting: b.Posting,
		Printed: b.Printed != "", Photos: append([]int64{}, b.Photos...), Day: s.stampDay(b.At), Unit: catalog.Piece,
	}
	switch {
	case b.Dropped != "":
		v.State = "dropped"
	case b.Booked():
		v.State = "booked"
	}
	if _, err := tx.One(ctx, store.Into(&v.Person), `SELECT name FROM person WHERE id = $1`, b.Person); err != nil {
		return v, err
	}
	if b.Bin != "" {
		if _, err := tx.One(ctx, store.Into(&v.Bin), `SELECT name FROM bin WHERE id = $1`, b.Bin); err != nil {
			return v, err
		}
	}
	if b.Part == "" || !b.Booked() {
		return v, nil
	}
	p, _, err := catalog.PartByID(ctx, tx, b.Part)
	if err != nil {
		return v, err
	}
	v.Number, v.Maker, v.Role, v.Unit, v.Sizes = p.Number, p.Maker, p.Role, p.Unit, sizes(p.Size, p.Thread).as(p.Entered)
	v.Code, err = inventory.OwnNumberOfPart(ctx, tx, p.ID, labelled(p, b))
	v.Text = gs1.Printed(v.Code)
	return v, err
}

// labelled gives how much a scan of a bag's label counts: one piece, of a liquid
// the bottle.
func labelled(p catalog.Part, b inventory.Bag) int64 {
	if p.Unit == catalog.Millilitre {
		return b.Amount
	}
	return 1
}

// Stocktake is the first stocktake so far.
type Stocktake struct {
	Bags   []Bag `json:"bags"` // the newest first
	Aside  int   `json:"aside"`
	Booked int   `json:"booked"`
	Labels int   `json:"labels"` // that wait to be printed
}

// Stocktake gives every bag that was told of, but those that were dropped.
func (s *Shop) Stocktake(ctx context.Context) (Stocktake, error) {
	out := Stocktake{Bags: []Bag{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := inventory.Bags(ctx, tx)
		for _, b := range all {
			v, err := s.bag(ctx, tx, b)
			if err != nil {
				return err
			}
			switch {
			case v.State == "aside":
				out.Aside++
			case !v.Printed:
				out.Labels++
				out.Booked++
			default:
				out.Booked++
			}
			out.Bags = append(out.Bags, v)
		}
		return err
	})
	return out, err
}

// BagNumbered gives a bag by its number. Error: NotFound.
func (s *Shop) BagNumbered(ctx context.Context, number int64) (out Bag, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		b, err := inventory.BagNumbered(ctx, tx, number)
		if err == nil {
			out, err = s.bag(ctx, tx, b)
		}
		return err
	})
	return out, err
}

// BagPhoto gives a picture of a bag as JPEG. Error: NotFound.
func (s *Shop) BagPhoto(ctx context.Context, id int64) (jpeg []byte, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		jpeg, err = inventory.Photo(ctx, tx, id)
		return err
	})
	return jpeg, err
}
