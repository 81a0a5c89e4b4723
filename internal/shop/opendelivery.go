package shop

import (
	"context"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// OpenDelivery is a delivery that is being scanned, or was: what came against
// what was expected.
type OpenDelivery struct {
	Delivery  string         `json:"delivery"`
	State     string         `json:"state"` // open, finished, dropped
	Supplier  string         `json:"supplier,omitempty"`
	Begun     time.Time      `json:"begun"`
	Orders    []int64        `json:"orders"` // that it is for
	Packs     int64          `json:"packs"`  // that count
	Last      *ScannedPack   `json:"last"`   // scanned last, null for none
	Lines     []DeliveryLine `json:"lines"`
	Unknown   []Unknown      `json:"unknown"`
	ToConfirm []ToConfirm    `json:"to_confirm"`
	SamePack  int            `json:"same_pack"` // counted with another code of the same pack
	Ignored   int            `json:"ignored"`   // codes that are no part
	TakenBack int            `json:"taken_back"`
	Pictures  []Viewed       `json:"pictures"`
	Owing     []Owing        `json:"owing,omitempty"` // complaints about what was short, of which something came now
	Repeated  bool           `json:"repeated"`        // what was asked for had been done before

	scans []ScannedPack // that were not taken back
}

// Scan gives a scan by its number; nil where it was taken back.
func (d OpenDelivery) Scan(number int64) *ScannedPack {
	for i := range d.scans {
		if d.scans[i].Scan == number {
			return &d.scans[i]
		}
	}
	return nil
}

// ScannedPack is a scan, and what it counts as.
type ScannedPack struct {
	Scan   int64  `json:"scan"` // its number, by which it is taken back
	Code   string `json:"code"` // empty for a pack without one
	Text   string `json:"text"`
	State  string `json:"state"` // open: it counts; unknown, to_confirm, same_pack, ignored
	Number string `json:"number"`
	Maker  string `json:"maker"`
	Unit   string `json:"unit"`
	Pieces int64  `json:"pieces"`
}

// Name gives the number of its part with the maker, empty where that is not
// known.
func (p ScannedPack) Name() string {
	if p.Number == "" {
		return ""
	}
	return p.Maker + "/" + p.Number
}

// States of a DeliveryLine.
const (
	LineMissing    = "missing" // nothing has come
	LineShort      = "short"
	LineComplete   = "complete"
	LineOver       = "over"
	LineNotOrdered = "not_ordered"
	LineInstead    = "instead" // it came for others, and counts there
	LineFree       = "free"    // it came, and the delivery is for no order
)

// DeliveryLine is what came of a part against what was expected.
type DeliveryLine struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit      string      `json:"unit"`
	State     string      `json:"state"`
	Expected  int64       `json:"expected"`
	Counted   int64       `json:"counted"` // of what was expected; where nothing was, what came
	Over      int64       `json:"over"`
	Packs     []PackCount `json:"packs"` // in which it came
	Pack      int64       `json:"pack"`  // pieces in a pack of it, as it was ordered; what a tap counts
	Orders    []int64     `json:"orders"`
	Jobs      []string    `json:"jobs"`
	Promised  string      `json:"promised"` // the day on which the rest is to follow
	Damaged   int64       `json:"damaged"`
	Wrong     int64       `json:"wrong"`
	Noted     *int64      `json:"noted"` // on the delivery note; null: nobody said
	Reasons   []string    `json:"reasons"`
	Instead   []CameFor   `json:"instead"`    // of Counted, what came of others
	InsteadOf string      `json:"instead_of"` // the part that it was sent instead of
	Last      int64       `json:"last"`       // number of the last scan of the part, 0 for none

	part string // id
}

// Name gives the number with the maker, as a command takes it.
func (l DeliveryLine) Name() string { return l.Maker + "/" + l.Number }

// All gives what came for the line, what is too much included.
func (l DeliveryLine) All() int64 {
	if l.Expected == 0 {
		return l.Counted
	}
	return l.Counted + l.Over
}

// OnNote gives the pieces that the delivery note names, 0 where nobody said.
func (l DeliveryLine) OnNote() int64 {
	if l.Noted == nil {
		return 0
	}
	return *l.Noted
}

// PackCount is how many packs of so many pieces came.
type PackCount struct {
	Packs  int64 `json:"packs"`
	Pieces int64 `json:"pieces"` // in one
}

// Total gives the pieces in all of them.
func (p PackCount) Total() int64 { return p.Packs * p.Pieces }

// CameFor is what came of another part.
type CameFor struct {
	Part   string `json:"part"` // maker/number
	Amount int64  `json:"amount"`
}

// OpenOne is an open delivery in a list.
type OpenOne struct {
	Delivery string    `json:"delivery"`
	Supplier string    `json:"supplier,omitempty"`
	Begun    time.Time `json:"begun"`
	Orders   []int64   `json:"orders"`
	Scans    int       `json:"scans"`
}

// OpenDeliveries gives the open deliveries, the newest first.
func (s *Shop) OpenDeliveries(ctx context.Context) ([]OpenOne, error) {
	out := []OpenOne{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		all, err := inventory.OpenDeliveries(ctx, tx)
		if err != nil {
			return err
		}
		for _, d := range all {
			o := OpenOne{Delivery: d.Name, Orders: []int64{}}
			if o.Begun, err = store.Time(d.At); err != nil {
				return err
			}
			if o.Supplier, err = supplierName(ctx, tx, d.Supplier); err != nil {
				return err
			}
			if o.Orders, err = orderNumbers(ctx, tx, d); err != nil {
				return err
			}
			scans, err := inventory.Counting(ctx, tx, d.ID)
			if err != nil {
				return err
			}
			o.Scans = len(scans)
			out = append(out, o)
		}
		return nil
	})
	return out, err
}

func orderNumbers(ctx context.Context, tx *store.Tx, d inventory.Delivery) ([]int64, error) {
	orders, err := d.Orders(ctx, tx)
	numbers := []int64{}
	for _, o := range orders {
		numbers = append(numbers, o.Number)
	}
	return numbers, err
}

// OpenDelivery gives a delivery as it stands, open or not. Error: NotFound.
func (s *Shop) OpenDelivery(ctx context.Context, name string) (out OpenDelivery, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, trimmed(name))
		if err != nil {
			return err
		}
		out, err = standing(ctx, tx, d)
		return err
	})
	return out, err
}

// IsOpen reports whether there is an open delivery of a name.
func (s *Shop) IsOpen(ctx context.Context, name string) (open bool, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, trimmed(name))
		if err != nil && fault.KindOf(err) != fault.NotFound {
			return err
		}
		open = err == nil && d.State == inventory.DeliveryOpen
		return nil
	})
	return open, err
}
