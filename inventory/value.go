package inventory

import (
	"context"
	"math"
	"math/bits"

	"forkstock/internal/store"
)

// What a part is worth is kept in two heaps: pieces of known value, together
// with that value, and pieces whose value nobody has told yet. What goes out
// comes from the known heap first, at its moving average rounded half to even;
// the last piece of the heap takes what is left of the value, so that an empty
// heap is worth nothing to the cent. What is above the known heap goes out
// with its value not known.

// holding is the two heaps of a part.
type holding struct {
	known, value, unknown int64
}

// share is some pieces and their value together.
type share struct {
	amount int64
	value  Value
}

func holdingOf(ctx context.Context, tx *store.Tx, part string) (h holding, err error) {
	_, err = tx.One(ctx, store.Into(&h.known, &h.value, &h.unknown),
		`SELECT known, value_minor, unknown FROM holding WHERE part = $1`, part)
	return h, err
}

// average splits amount pieces that go out into those of known value and the
// rest.
func average(ctx context.Context, tx *store.Tx, part string, amount int64) ([]share, error) {
	h, err := holdingOf(ctx, tx, part)
	if err != nil {
		return nil, err
	}
	return h.take(amount), nil
}

func (h holding) take(amount int64) []share {
	var shares []share
	if n := min(amount, h.known); n > 0 {
		shares = append(shares, share{n, Value{h.price(n), true}})
		amount -= n
	}
	if amount > 0 {
		shares = append(shares, share{amount, Value{}})
	}
	return shares
}

// price gives what n of the known pieces are worth at the average.
func (h holding) price(n int64) int64 {
	if n == h.known {
		return h.value
	}
	// value*n/known, half to even, without overflow: n < known.
	hi, lo := bits.Mul64(uint64(h.value), uint64(n))
	q, r := bits.Div64(hi, lo, uint64(h.known))
	twice := 2 * r
	if twice > uint64(h.known) || twice == uint64(h.known) && q%2 == 1 {
		q++
	}
	return int64(q)
}

// reverse splits the going out again of what once came in with a value: the
// very value where the known heap can give it, else what the heaps can.
func (h holding) reverse(amount int64, value Value) []share {
	if !value.Known { // the unknown heap first
		var shares []share
		if n := min(amount, h.unknown); n > 0 {
			shares = append(shares, share{n, Value{}})
			amount -= n
		}
		if amount > 0 {
			shares = append(shares, h.take(amount)...)
		}
		return shares
	}
	if amount > h.known {
		return h.take(amount)
	}
	v := min(value.Minor, h.value)
	if amount == h.known {
		v = h.value
	}
	return []share{{amount, Value{v, true}}}
}

// Worth gives what amount pieces of a part are worth that come back: at its
// moving average, or as they went out last where no piece of known value is
// left. It is not known where that was not known either.
func Worth(ctx context.Context, tx *store.Tx, part string, amount int64) (Value, error) {
	h, err := holdingOf(ctx, tx, part)
	if err != nil {
		return Value{}, err
	}
	if h.known == 0 {
		if _, err := tx.One(ctx, store.Into(&h.value, &h.known), `SELECT -coalesce(m.value_minor, 0),
			iif(m.value_minor IS NULL, 0, -m.amount) FROM movement m JOIN posting p ON p.id = m.posting
			WHERE m.part = $1 AND p.kind IN ('issue', 'sale') ORDER BY m.seq DESC LIMIT 1`, part); err != nil {
			return Value{}, err
		}
	}
	if h.known == 0 || amount >= math.MaxInt64/max(h.value, 1) {
		return Value{}, nil
	}
	return Value{half(h.value*amount, h.known), true}, nil
}

// half gives a/b rounded half to even; a is not below 0, b above it.
func half(a, b int64) int64 {
	q, r := a/b, a%b
	if 2*r > b || 2*r == b && q%2 == 1 {
		q++
	}
	return q
}
