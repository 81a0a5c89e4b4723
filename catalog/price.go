package catalog

import (
	"context"
	"math/big"

	"forkstock/internal/store"
)

// Price is what a pack costs, net.
type Price struct {
	Pack  int64 // of the part's unit
	Minor int64
}

// JumpAt is by how many percent the price of a piece may change, up or down,
// before it is a jump that somebody should look at. A rule of our own, no source.
const JumpAt = 20

// Jump compares the price of a piece with a later one: by how many percent it
// changes, halves away from zero, and whether that is a jump. Of what was free
// there is no percentage.
func (p Price) Jump(now Price) (percent int64, jumped bool) {
	if p.Minor <= 0 || p.Pack <= 0 || now.Pack <= 0 || now.Minor < 0 {
		return 0, false
	}
	times := func(a, b int64) *big.Int { return new(big.Int).Mul(big.NewInt(a), big.NewInt(b)) }
	was := times(p.Minor, now.Pack)
	change := times(now.Minor, p.Pack)
	change.Sub(change, was)
	change.Mul(change, big.NewInt(100))
	jumped = change.CmpAbs(new(big.Int).Mul(was, big.NewInt(JumpAt))) > 0
	// change/was to the nearest: (2*change + was)/(2*was), of what is above zero
	down := change.Sign() < 0
	change.Abs(change).Lsh(change, 1).Add(change, was).Quo(change, was.Lsh(was, 1))
	if percent = change.Int64(); down {
		percent = -percent
	}
	return percent, jumped
}

// Price gives the price of an offer; known is false where it has none.
func (i Item) Price() (p Price, known bool) { return Price{i.Pack, i.PackPriceMinor}, i.Priced }

// PriceWas is what an offer did cost until another price was told.
type PriceWas struct {
	Price
	Until  string // store.Stamp
	Listed string // day of the list that told it; empty: no list did, or it had none
}

const keepPrice = `INSERT INTO price_was (item, until, pack, pack_price_minor, listed) VALUES ($1, $2, $3, $4, $5)`

// repriced gives what keepPrice takes where an offer costs something else now,
// by the pack or because of what is in it.
func (i Item) repriced(now Item, at string) (args []any, changed bool) {
	was, known := i.Price()
	is, still := now.Price()
	if !known || still && was == is {
		return nil, false
	}
	return []any{i.ID, at, was.Pack, was.Minor, i.Listed}, true
}

// KeepPrice keeps what an offer did cost until now, where that changes.
func KeepPrice(ctx context.Context, tx *store.Tx, old, now Item) error {
	args, changed := old.repriced(now, store.Stamp(tx.Now))
	if !changed {
		return nil
	}
	_, err := tx.Exec(ctx, keepPrice, args...)
	return err
}

// PricesWere gives what an offer did cost before, the latest first.
func PricesWere(ctx context.Context, tx *store.Tx, item string) (all []PriceWas, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		var w PriceWas
		err := scan(&w.Pack, &w.Minor, &w.Until, &w.Listed)
		all = append(all, w)
		return err
	}, `SELECT pack, pack_price_minor, until, listed FROM price_was WHERE item = $1 ORDER BY seq DESC`, item)
	return all, err
}
