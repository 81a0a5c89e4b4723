package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Stock is what is where.
type Stock struct {
	Lines    []StockLine   `json:"lines"`
	Currency string        `json:"currency"`
	How      fault.Message `json:"how,omitzero"` // how the part came to be meant, where not by its own number
}

// StockLine is what lies in a bin of one lot.
type StockLine struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit  string `json:"unit"`
	Bin   string `json:"bin"`
	Lot   int64  `json:"lot"`
	Batch string `json:"batch"`
	UseBy string `json:"use_by"`
	Aging
	Since  string `json:"since"` // the day it came, in the shop's zone
	Amount int64  `json:"amount"`
}

// Stock gives what is on hand, of one part where part is not empty. Errors:
// NotFound, Ambiguous.
func (s *Shop) Stock(ctx context.Context, part string) (Stock, error) {
	out := Stock{Lines: []StockLine{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		id, how, err := partID(ctx, tx, part)
		if err != nil {
			return err
		}
		out.How = how
		out.Lines, err = s.stockLines(ctx, tx, id)
		sortLines(out.Lines)
		return err
	})
	return out, err
}

// partID gives the id of a named part, empty for no name, and how it came to be
// meant where not by its own number.
func partID(ctx context.Context, tx *store.Tx, name string) (id string, how fault.Message, err error) {
	if name == "" {
		return "", how, nil
	}
	p, how, err := partFor(ctx, tx, name)
	return p.ID, how, err
}

func (s *Shop) stockLines(ctx context.Context, tx *store.Tx, part string) ([]StockLine, error) {
	out := []StockLine{}
	lines, err := inventory.Stock(ctx, tx, part)
	if err != nil {
		return out, err
	}
	parts, err := partsByID(ctx, tx)
	if err != nil {
		return out, err
	}
	for _, l := range lines {
		p := parts[l.Part]
		since, err := store.Time(l.Lot.Since)
		if err != nil {
			return out, err
		}
		out = append(out, StockLine{
			Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit, Bin: l.Bin.Name,
			Lot: l.Lot.Short, Batch: l.Lot.Batch, UseBy: l.Lot.UseBy, Since: s.day(since), Amount: l.Amount,
		})
		if out[len(out)-1].Aging, err = s.aging(ctx, tx, p, l.Lot); err != nil {
			return out, err
		}
	}
	return out, nil
}

func partsByID(ctx context.Context, tx *store.Tx) (map[string]catalog.Part, error) {
	parts, err := catalog.PartsEver(ctx, tx)
	byID := make(map[string]catalog.Part, len(parts))
	for _, p := range parts {
		byID[p.ID] = p
	}
	return byID, err
}

// Ledger is how the stock came so.
type Ledger struct {
	Movements []Entry       `json:"movements"`
	Currency  string        `json:"currency"`
	How       fault.Message `json:"how,omitzero"` // how the part came to be meant, where not by its own number
}

// Entry is a movement with its posting.
type Entry struct {
	Movement
	Posting  string    `json:"posting"`
	Key      string    `json:"key"`
	Kind     string    `json:"kind"`
	Person   string    `json:"person"`
	Time     time.Time `json:"time"`
	Day      string    `json:"day"` // in the shop's zone
	Delivery string    `json:"delivery,omitempty"`
	Reason   string    `json:"reason,omitempty"`
	Corrects string    `json:"corrects,omitempty"`
	OnHand   int64     `json:"on_hand"` // of the part, after this movement
}

// Ledger gives the movements in their order, of one part where part is not
// empty. Errors: NotFound, Ambiguous.
func (s *Shop) Ledger(ctx context.Context, part string) (Ledger, error) {
	out := Ledger{Movements: []Entry{}, Currency: s.settings.Currency}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		id, how, err := partID(ctx, tx, part)
		if err != nil {
			return err
		}
		out.How = how
		entries, err := inventory.Ledger(ctx, tx, id)
		if err != nil {
			return err
		}
		parts, err := partsByID(ctx, tx)
		if err != nil {
			return err
		}
		sum := map[string]int64{}
		for _, e := range entries {
			sum[e.Part] += e.Amount
			p := parts[e.Part]
			out.Movements = append(out.Movements, Entry{
				Movement: Movement{e.Seq, p.Number, p.Maker, p.Unit, e.BinName, e.LotShort, e.Amount, minor(e.Value)},
				Posting:  e.Posting, Key: e.Key, Kind: e.Kind, Person: e.Person, Time: e.At, Day: s.day(e.At),
				Delivery: e.Delivery, Reason: e.Reason, Corrects: e.Corrects, OnHand: sum[e.Part],
			})
		}
		return nil
	})
	return out, err
}

// AddBin adds a bin of a kind ("shelf" where empty). Errors: Invalid,
// Conflict.
func (s *Shop) AddBin(ctx context.Context, name, kind string) error {
	if kind == "" {
		kind = "shelf"
	}
	if kind != "shelf" && kind != "tray" && kind != "blocked" {
		return fault.New(fault.Invalid, "shop.bad_bin_kind", kind)
	}
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		_, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: name, Kind: kind})
		return err
	})
}

// sortLines orders lines by part, then as they should be used, for tables.
func sortLines(lines []StockLine) {
	slices.SortStableFunc(lines, func(a, b StockLine) int {
		return cmp.Or(strings.Compare(a.Number, b.Number), strings.Compare(a.Maker, b.Maker))
	})
}

// Bins gives the names of all bins, sorted.
func (s *Shop) Bins(ctx context.Context) ([]string, error) {
	names := []string{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		bins, err := inventory.Bins(ctx, tx)
		for _, b := range bins {
			names = append(names, b.Name)
		}
		return err
	})
	return names, err
}

// Today gives the day in the shop's zone, YYYY-MM-DD: the name of the
// delivery where none is named.
func (s *Shop) Today() string { return s.day(s.opt.Clock()) }
