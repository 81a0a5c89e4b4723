package shop

import (
	"context"
	"slices"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/search"
)

// Found is the answer to a search.
type Found struct {
	Understood fault.Message   `json:"understood"` // how the words were read
	Read       []Read          `json:"read"`       // the same by kinds
	Warnings   []fault.Message `json:"warnings"`   // what the answer does not keep to
	Notes      []fault.Message `json:"notes"`
	Parts      []Part          `json:"parts"`
	Forks      []ForkHit       `json:"forks"`
	Items      []Item          `json:"items"`
	Total      int             `json:"total"` // parts, shown or not; at least so many where more
	More       bool            `json:"more"`  // there are more than were looked at
	TookUS     int64           `json:"took_us"`
	Currency   string          `json:"currency"`
	Meant      []string        `json:"meant"`              // texts that may have been meant, where nothing was found or a word meant nothing
	Measured   *Measured       `json:"measured,omitempty"` // a diameter that nothing was found for
	Suggest    fault.Message   `json:"suggest,omitzero"`   // look-alikes of a number that is not there
	Degraded   fault.Message   `json:"degraded,omitzero"`  // set where the word index could not be asked

	Narrow  *Narrow  `json:"narrow,omitempty"`  // where that was asked for
	Related *Related `json:"related,omitempty"` // to the one part that was found, where that was asked for

	Index fault.Message   `json:"index,omitzero"` // what had to be done to the word index first
	Usual []fault.Message `json:"usual"`          // what is usual, where the shop has no such part
}

// Read is what was read of one kind: size, part, bike, place, words, or as what
// was typed otherwise.
type Read struct {
	Kind string        `json:"kind"`
	Says fault.Message `json:"says"`
}

// Measured is a diameter that nothing was found for: by it a fork is identified,
// and a part of the role fitted where that is told.
type Measured struct {
	Diameter   string         `json:"diameter"`
	DiameterUM measure.Length `json:"diameter_um"`
	Role       catalog.Role   `json:"role,omitempty"`
}

func measured(m search.Measured) *Measured {
	if m.Diameter == 0 {
		return nil
	}
	out := Measured{m.Diameter.String(), m.Diameter, m.Role}
	if !slices.Contains(m.Role.Sizes(), "tube") {
		out.Role = ""
	}
	return &out
}

// Empty reports whether nothing was found.
func (f Found) Empty() bool { return len(f.Parts) == 0 && len(f.Forks) == 0 && len(f.Items) == 0 }

// ForkHit is a fork that was found.
type ForkHit struct {
	Fork          string         `json:"fork"`
	LegDiameter   string         `json:"leg_diameter"`
	LegDiameterUM measure.Length `json:"leg_diameter_um"`
	Models        []Model        `json:"models"`
	Why           fault.Message  `json:"why,omitzero"`
}

// Item is an offer of a supplier that is no part of the shop yet.
type Item struct {
	Offer
	Proposed *Reading      `json:"proposed,omitempty"` // nobody's word yet
	Why      fault.Message `json:"why,omitzero"`
}

// Reading is what the description of an item proposes.
type Reading struct {
	Role catalog.Role `json:"role"` // empty: not certain
	Sizes
	LegDiameter   string         `json:"leg_diameter,omitempty"`
	LegDiameterUM measure.Length `json:"leg_diameter_um,omitzero"`
	Pieces        int64          `json:"pieces,omitzero"`
	Rule          bool           `json:"rule"` // a rule of the shop says what it is
}

func readingView(r catalog.Reading) *Reading {
	if (r == catalog.Reading{}) {
		return nil
	}
	v := &Reading{Role: r.Role, Sizes: sizes(r.Size, r.Thread), Pieces: r.Pieces, Rule: r.Sure}
	if r.Leg != 0 {
		v.LegDiameter, v.LegDiameterUM = r.Leg.String(), r.Leg
	}
	return v
}

// catchUp is how long a search waits for the index to hold what was committed
// before it answers.
const catchUp = 200 * time.Millisecond

// Find answers words, numbers, sizes, codes, and make, model and year with at
// most limit parts (0: 20). Nothing found is no error. Error: Invalid where
// the text says nothing.
func (s *Shop) Find(ctx context.Context, text string, limit int) (Found, error) {
	return s.find(ctx, text, search.Options{Limit: limit})
}

// FindOnly is Find narrowed down, with what the answer can be narrowed down to
// further, and where it is one part, with what belongs to that. Errors also:
// those of Only.
func (s *Shop) FindOnly(ctx context.Context, text string, limit int, o Only) (Found, error) {
	only, err := s.only(o)
	if err != nil {
		return Found{}, err
	}
	return s.find(ctx, text, search.Options{Limit: limit, Only: only, Tally: true})
}

func (s *Shop) find(ctx context.Context, text string, opt search.Options) (Found, error) {
	began := time.Now()
	out := Found{Parts: []Part{}, Forks: []ForkHit{}, Items: []Item{}, Usual: []fault.Message{}, Meant: []string{}, Read: []Read{}, Warnings: []fault.Message{}, Notes: []fault.Message{}, Currency: s.settings.Currency}
	index := s.words()
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		if _, err := index.CatchUp(ctx, tx, catchUp); err != nil {
			return err
		}
		opt.OnHand, opt.Stocked = inventory.PartOnHand, inventory.PartsOnHand
		opt.InBin = func(ctx context.Context, word string) (string, []string, error) {
			return inventory.PartsIn(ctx, tx, word)
		}
		hits, err := index.Find(ctx, tx, text, opt)
		if err != nil {
			return err
		}
		out.Index = index.Did()
		if err := out.fill(ctx, tx, hits); err != nil {
			return err
		}
		if opt.Tally {
			if err := out.around(ctx, tx, hits); err != nil {
				return err
			}
		}
		if len(out.Parts) == 0 {
			usual, err := usualFor(ctx, tx, text)
			if err != nil {
				return err
			}
			out.Usual = append(out.Usual, usual...)
		}
		if !out.Empty() {
			return nil
		}
		code, _ := gs1.Key("", text)
		waits, err := inventory.Waits(ctx, tx, code)
		if waits {
			out.Suggest = fault.Say("shop.code_waits", code, words.ShellWord(code))
		}
		return err
	})
	out.TookUS = time.Since(began).Microseconds()
	return out, err
}

// around tells what the answer can be narrowed down to, and what belongs to the
// part where it is the only one.
func (out *Found) around(ctx context.Context, tx *store.Tx, hits search.Hits) error {
	n := narrow(hits.Tally)
	out.Narrow = &n
	if hits.Total != 1 || len(hits.Parts) != 1 {
		return nil
	}
	fork := ""
	if len(hits.Forks) == 1 {
		fork = hits.Forks[0].Fork.Name
	}
	related, err := relatedTo(ctx, tx, hits.Parts[0].Part, fork)
	if !related.None() {
		out.Related = &related
	}
	return err
}

// Complete gives the numbers of at most 50 parts that begin as typed, as a
// shell completes them.
func (s *Shop) Complete(ctx context.Context, typed string) (numbers []string, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		numbers, err = catalog.NumbersLike(ctx, tx, typed, 50)
		return err
	})
	return numbers, err
}

func (out *Found) fill(ctx context.Context, tx *store.Tx, hits search.Hits) error {
	out.Meant = append(out.Meant, hits.Meant...)
	out.Understood, out.Total, out.Suggest, out.Degraded = hits.Understood, hits.Total, hits.Suggest, hits.Degraded
	out.More, out.Measured = hits.More, measured(hits.Measured)
	out.Warnings, out.Notes = append(out.Warnings, hits.Warnings...), append(out.Notes, hits.Notes...)
	for _, g := range hits.Read {
		out.Read = append(out.Read, Read(g))
	}
	ids := []string{}
	for _, h := range hits.Parts {
		ids = append(ids, h.Part.ID)
	}
	said, err := catalog.SizesSaid(ctx, tx, ids)
	if err != nil {
		return err
	}
	stock, err := inventory.StockOf(ctx, tx, ids)
	if err != nil {
		return err
	}
	kept, err := inventory.KeptOf(ctx, tx, ids)
	if err != nil {
		return err
	}
	for _, h := range hits.Parts {
		p, err := viewLying(ctx, tx, h.Part, h.Why, stock[h.Part.ID], kept[h.Part.ID])
		if err != nil {
			return err
		}
		if p.Standing = h.Said; p.Standing.IsZero() {
			p.Standing = said[h.Part.ID]
		}
		out.Parts = append(out.Parts, p)
	}
	for _, h := range hits.Forks {
		out.Forks = append(out.Forks, ForkHit{h.Fork.Name, h.Fork.Leg.String(), h.Fork.Leg, models(h.Models), h.Why})
	}
	for _, h := range hits.Items {
		out.Items = append(out.Items, Item{offer(h.Item), readingView(h.Reading), h.Why})
	}
	return nil
}
