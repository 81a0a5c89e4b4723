package inventory

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// In which turn pieces are taken for use, where no lot is named:
//
//  1. What is still good goes before what is past its day: that of expiry, else
//     best before, else the end of its rubber by ISO 2230. Age advises and never
//     blocks: what is past is taken where nothing else is there.
//  2. Of an oil the open bottle goes first: there is one that is not full.
//  3. Else the oldest goes first, as Stock has it.
//  4. Two pieces are a pair, one for each leg: both are of one batch where one
//     holds them, the oldest that does, even if an older one holds a single
//     piece; where none does, the oldest go. One piece that is asked for alone is
//     the oldest, so singles are used up; where a job has one of a batch already,
//     it gets the other of the same.
//
// One part is of one maker, and lots with the maker's same text for their batch
// are one batch. Common practice, no source, but for ISO 2230.

// pair is how many pieces make one for each leg.
const pair = 2

// turns orders lines as they are to be taken.
func (p picking) turns(ctx context.Context, tx *store.Tx, lines []Line) ([]Line, error) {
	past := map[string]bool{}
	for _, l := range lines {
		over, err := l.Lot.past(ctx, tx)
		if err != nil {
			return nil, err
		}
		past[l.Lot.ID] = over
	}
	bottle, err := Bottle(ctx, tx, p.part)
	if err != nil {
		return nil, err
	}
	first, err := p.together(ctx, tx, lines, past)
	if err != nil {
		return nil, err
	}
	rank := func(l Line) int {
		switch {
		case past[l.Lot.ID]:
			return 2
		case bottle > 0 && l.Amount%bottle != 0, bottle == 0 && first != "" && l.Lot.batch() == first:
			return 0
		}
		return 1
	}
	slices.SortStableFunc(lines, func(a, b Line) int { return rank(a) - rank(b) })
	return lines, nil
}

// together gives the batch that goes before older ones, so that both legs get the
// same; "" where none does.
func (p picking) together(ctx context.Context, tx *store.Tx, lines []Line, past map[string]bool) (string, error) {
	if p.amount == 1 && p.job != "" {
		return p.other(ctx, tx)
	}
	if p.amount != pair {
		return "", nil
	}
	held := map[string]int64{}
	for _, l := range lines {
		if l.Bin.Free() && !past[l.Lot.ID] && (p.bin == "" || p.bin == l.Bin.ID) {
			held[l.Lot.batch()] += l.Amount
		}
	}
	for _, l := range lines { // the oldest first
		if held[l.Lot.batch()] >= pair {
			return l.Lot.batch(), nil
		}
	}
	return "", nil
}

// other gives the batch of which the job has a piece without its pair.
func (p picking) other(ctx context.Context, tx *store.Tx) (batch string, err error) {
	var l Lot
	_, err = tx.One(ctx, store.Into(&l.ID, &l.Batch), `SELECT l.id, l.batch FROM posting p JOIN movement m ON m.posting = p.id
		JOIN lot l ON l.id = m.lot
		WHERE m.part = $2 AND (p.job = $1 OR p.corrects IN (SELECT id FROM posting WHERE job = $1))
		GROUP BY l.id HAVING sum(m.amount) % 2 <> 0 ORDER BY max(m.seq) DESC LIMIT 1`, p.job, p.part)
	if err != nil || l.ID == "" {
		return "", err
	}
	return l.batch(), nil
}

// batch tells batches of one part apart.
func (l Lot) batch() string {
	if l.Batch != "" {
		return "batch " + l.Batch
	}
	return "lot " + l.ID
}

// past reports whether the day is over until which a lot is to be used.
func (l Lot) past(ctx context.Context, tx *store.Tx) (bool, error) {
	today := tx.Today()
	if l.UseBy != "" || l.Cure == "" {
		return l.UseBy != "" && l.UseBy < today, nil
	}
	part, _, err := catalog.PartByID(ctx, tx, l.Part)
	if err != nil {
		return false, err
	}
	rubber, err := catalog.RubberOf(ctx, tx, part)
	if err != nil {
		return false, err
	}
	cure, err := catalog.ParseCure(l.Cure, part.Maker, "", tx.Now)
	if err != nil { // a date that this program has not written says nothing
		return false, nil
	}
	age, known := catalog.UseBy(rubber, cure)
	if !known || today <= age.UseBy {
		return false, nil
	}
	kept, err := InspectedUntil(ctx, tx, l.ID)
	return kept == "" || kept < today, err
}

// Bottle gives what a bottle of an oil holds, in mL: as told, else what all its
// offers agree on; 0 where that is not known, or the part is counted in pieces.
func Bottle(ctx context.Context, tx *store.Tx, part string) (ml int64, err error) {
	_, err = tx.One(ctx, store.Into(&ml), `SELECT coalesce(p.bottle_ml,
			(SELECT iif(min(i.pack) = max(i.pack), min(i.pack), 0) FROM supplier_item i WHERE i.part = p.id), 0)
		FROM part p WHERE p.id = $1 AND p.unit = 'mL'`, part)
	return ml, err
}
