package inventory

import (
	"context"
	"math/bits"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Content is what one kit, pair or box brings of a part when it is opened.
type Content struct {
	Part   string // id
	Pieces int64  // above 0, of the part's unit
	Weight int64  // its share of the kit's cost, in any unit, 0 or more; all 0: by pieces
}

// Unpack enters the opening of kits, each flow some of a lot in a bin (From): they
// go out, and what they hold comes into the bins named by to (by part id), in
// lots of the same delivery, batch and dates. The cost of the kits is split by
// weight, to the cent. Where the cost of a kit is not known, that of its contents
// is not either. Errors: Invalid, Short.
func Unpack(ctx context.Context, tx *store.Tx, p Posting, kits []Flow, contents []Content, to map[string]string) (Posting, error) {
	p.Kind = Unpacking
	p, err := open(ctx, tx, p)
	if err != nil {
		return p, err
	}
	for _, kit := range kits {
		if kit.Amount <= 0 || kit.From == "" || len(contents) == 0 {
			return p, fault.New(fault.Invalid, "inventory.bad_amount", kit.Amount)
		}
		lots := make([]string, len(contents))
		for i, c := range contents {
			if lots[i], err = twinOf(ctx, tx, kit.Lot, c.Part); err != nil {
				return p, err
			}
		}
		shares, err := average(ctx, tx, kit.Part, kit.Amount)
		if err != nil {
			return p, err
		}
		for _, s := range shares {
			if err := unpackShare(ctx, tx, &p, kit, s, contents, lots, to); err != nil {
				return p, err
			}
		}
	}
	return p, p.hold(ctx, tx)
}

func unpackShare(ctx context.Context, tx *store.Tx, p *Posting, kit Flow, s share, contents []Content, lots []string, to map[string]string) error {
	out := Movement{Part: kit.Part, Bin: kit.From, Lot: kit.Lot, Amount: -s.amount, Value: s.value.negative()}
	if err := enter(ctx, tx, p, out); err != nil {
		return err
	}
	split := Apportion(s.value.Minor, weights(contents))
	for i, c := range contents {
		in := Movement{Part: c.Part, Bin: to[c.Part], Lot: lots[i], Amount: s.amount * c.Pieces}
		if s.value.Known {
			in.Value = Value{split[i], true}
		}
		if err := enter(ctx, tx, p, in); err != nil {
			return err
		}
	}
	return nil
}

// weights gives the weight of each content, by pieces where none is told.
func weights(contents []Content) []int64 {
	all := make([]int64, len(contents))
	told := false
	for i, c := range contents {
		all[i] = c.Weight
		told = told || c.Weight > 0
	}
	if !told {
		for i, c := range contents {
			all[i] = c.Pieces
		}
	}
	return all
}

// Apportion shares total, 0 or more, out by weight, so that the shares add up to
// it: each is rounded down, and the units left over go to the largest
// remainders (Hamilton's method), among equals to the first. Without any
// weight all of it goes to the first.
func Apportion(total int64, weights []int64) []int64 {
	var sum uint64
	for _, w := range weights {
		sum += uint64(w)
	}
	shares := make([]int64, len(weights))
	if sum == 0 {
		if len(shares) > 0 {
			shares[0] = total
		}
		return shares
	}
	left := total
	rest := make([]uint64, len(weights))
	for i, w := range weights {
		hi, lo := bits.Mul64(uint64(total), uint64(w))
		q, r := bits.Div64(hi, lo, sum) // w <= sum, so hi < sum
		shares[i], rest[i] = int64(q), r
		left -= shares[i]
	}
	for ; left > 0; left-- {
		best := 0
		for i := range rest {
			if rest[i] > rest[best] {
				best = i
			}
		}
		shares[best]++
		rest[best] = 0
	}
	return shares
}
