// Package demo makes the invented demo shop: forks, bikes, parts, kits,
// suppliers, barcodes, bins, and two years of deliveries and jobs.
//
// Everything is invented but the sizes, which follow common practice for the
// leg diameter (no source); the story is told by Story. GTINs begin with 952,
// the prefix that GS1 keeps for demonstrations, the shop's own labels with
// 040 to 049, the prefixes for use inside one company.
//
// The same Options make the same shop, byte for byte where the ids come from
// Random. The catalog depends on nothing but Version and Scale, so that part
// numbers, codes and what fits what stay as they are when the day or the seed
// changes; the seed moves prices and the two years. Every choice draws from a
// stream of its own, named after what is chosen, so that a new part or fork
// does not shift the others.
//
// Non-goals: realism beyond what the pages show, any name or number of
// anybody's products.
package demo

import (
	"context"
	"hash/fnv"
	"io"
	"math/rand/v2"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Version is the version of the catalog: parts, forks, bikes, kits, codes. It
// rises when any of them changes.
const Version = 2

// MostScale is the highest Scale.
const MostScale = 1000

// Options say which demo shop to make.
type Options struct {
	// Seed moves prices and the two years.
	Seed uint64
	// End is the day before which the two years of jobs end, in UTC; it must
	// not lie before 2018.
	End time.Time
	// Scale is how many times the catalog stands in the shop, for
	// benchmarks: copies after the first have numbers and names of their own
	// and an opening stock, but no jobs. 0 counts as 1.
	Scale int
}

// founded is when the shop's catalog was entered. It does not move with End.
var founded = time.Date(2015, time.November, 2, 7, 0, 0, 0, time.UTC)

// Random gives random bytes for the ids of the shop: the same seed, the same
// ids.
func Random(seed uint64) io.Reader {
	var key [32]byte
	for i := range 8 {
		key[i] = byte(seed >> (8 * i))
	}
	return rand.NewChaCha8(key)
}

// Fill makes the shop in an empty database, as person (id). Bin INTAKE is
// taken if it is there. It sets tx.Now as it goes and puts it back. Error:
// Invalid for Options out of range.
func Fill(ctx context.Context, tx *store.Tx, person string, opt Options) error {
	opt.Scale = max(opt.Scale, 1)
	if opt.Scale > MostScale {
		return fault.New(fault.Invalid, "demo.bad_scale", opt.Scale, MostScale).WithHint("demo.hint_size", MostScale)
	}
	if opt.End.Year() < 2018 {
		return fault.New(fault.Invalid, "demo.bad_end", opt.End.Format(time.DateOnly)).WithHint("demo.hint_end")
	}
	before := tx.Now
	defer func() { tx.Now = before }()
	tx.Now = founded
	s := &filler{tx: tx, person: person, opt: opt, bins: map[string]string{}}
	if err := s.addBins(ctx); err != nil {
		return err
	}
	if err := s.addSuppliers(ctx); err != nil {
		return err
	}
	taken := map[string]bool{}
	b := newBook(opt.Seed, 0, taken)
	if err := s.enter(ctx, b); err != nil {
		return err
	}
	if err := s.known(ctx, b); err != nil {
		return err
	}
	if err := s.doubts(ctx, b); err != nil {
		return err
	}
	for copy := 1; copy < opt.Scale; copy++ {
		c := newBook(opt.Seed, copy, taken)
		if err := s.enter(ctx, c); err != nil {
			return err
		}
		if err := s.begin(c).open(ctx); err != nil {
			return err
		}
	}
	if err := s.begin(b).play(ctx); err != nil {
		return err
	}
	_, err := catalog.AddStarter(ctx, tx)
	return err
}

// stream gives the random numbers for one choice.
func stream(seed uint64, what string) *rand.Rand { return rand.New(rand.NewPCG(seed, hash(what))) }

// hash gives a number for a name that never changes.
func hash(what string) uint64 {
	h := fnv.New64a()
	_, _ = io.WriteString(h, what)
	return h.Sum64()
}
