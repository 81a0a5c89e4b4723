package shop

import (
	"context"
	"errors"
	"io"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Tried is what hand-scanner lines say, the stock untouched.
type Tried struct {
	Packs  int          `json:"packs"`
	Counts []TriedCount `json:"counts"` // the one scanned last first
	Bad    []TriedBad   `json:"bad"`
	Next   int          `json:"next"` // how many the next line will stand for: 12 behind the line =12, else 1
}

// TriedCount is a code with how often it was scanned.
type TriedCount struct {
	Code   string          `json:"code"`
	Text   string          `json:"text"`
	Packs  int             `json:"packs"`
	Last   int             `json:"last"`  // the line scanned last
	State  string          `json:"state"` // known, likely, unknown, ignored, bin
	Part   string          `json:"part,omitempty"`
	Role   catalog.Role    `json:"role,omitempty"`
	Unit   string          `json:"unit,omitempty"`
	Pieces int64           `json:"pieces,omitempty"` // in all
	Odd    []fault.Message `json:"odd,omitempty"`
}

// TriedBad is a line that cannot be used.
type TriedBad struct {
	Line int           `json:"line"`
	Why  fault.Message `json:"why"`
}

// TryLines tells what hand-scanner lines would be received as, from a supplier
// where one is named. A line =12 at the end waits for the next.
func (s *Shop) TryLines(ctx context.Context, in io.Reader, supplier string) (out Tried, err error) {
	good, bad, err := s.readLines(ctx, in)
	if err != nil {
		return out, err
	}
	out = Tried{Counts: []TriedCount{}, Bad: []TriedBad{}, Next: 1}
	for _, b := range bad {
		last := !slices.ContainsFunc(good, func(l scanner.Line) bool { return l.Number > b.Number })
		if n, waits := scanner.Waits(b); waits && last {
			out.Next = n
			continue
		}
		out.Bad = append(out.Bad, TriedBad{b.Number, b.Err.Message})
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		from := ""
		if trimmed(supplier) != "" {
			v, err := catalog.SupplierNamed(ctx, tx, supplier)
			if err != nil {
				return err
			}
			from = v.ID
		}
		for _, l := range good {
			if err := out.count(ctx, tx, l, from); err != nil {
				return err
			}
		}
		return nil
	})
	slices.SortStableFunc(out.Counts, func(a, b TriedCount) int { return b.Last - a.Last })
	return out, err
}

// count adds a line.
func (out *Tried) count(ctx context.Context, tx *store.Tx, l scanner.Line, from string) error {
	code, times := filedLine(l)
	sc := inventory.NewScan(inventory.Scan{
		Symbology: l.Symbology, Text: l.Text, Code: code, Times: times, Supplier: from, Keyboard: l.Keyboard,
	})
	c := TriedCount{Code: code, Text: l.Text, Packs: l.Times, Last: l.Number, Odd: odd(sc), State: "unknown"}
	if b, bin, err := inventory.BinOfCode(ctx, tx, code); err != nil {
		return err
	} else if bin {
		c.State, c.Part = "bin", b.Name
		out.Counts = append(out.Counts, c)
		return nil
	}
	out.Packs += l.Times
	link, known, err := inventory.Resolve(ctx, tx, &sc)
	if err != nil {
		return err
	}
	c.Code = sc.Code
	for i := range out.Counts {
		if o := &out.Counts[i]; o.Code == c.Code && o.Text == c.Text {
			o.Pieces = o.Pieces / int64(o.Packs) * int64(o.Packs+c.Packs)
			o.Packs, o.Last = o.Packs+c.Packs, c.Last
			return nil
		}
	}
	switch {
	case known && link.Part == "":
		c.State = "ignored"
	case known:
		c.State = "known"
		err = c.part(ctx, tx, link.Part, link.Pieces*sc.Times*int64(c.Packs))
	default:
		err = c.likely(ctx, tx, sc)
	}
	out.Counts = append(out.Counts, c)
	return err
}

// part names the part.
func (c *TriedCount) part(ctx context.Context, tx *store.Tx, id string, pieces int64) error {
	p, found, err := catalog.PartByID(ctx, tx, id)
	if found {
		c.Part, c.Role, c.Unit, c.Pieces = p.Name(), p.Role, p.Unit, pieces
	}
	return err
}

// likely names the one part that a code may stand for.
func (c *TriedCount) likely(ctx context.Context, tx *store.Tx, sc inventory.Scan) error {
	codes := []string{sc.Code}
	if two := gs1.Readings(sc.Code); len(two) == 2 && sc.Symbology == "" {
		codes = append(two, sc.Code)
	}
	meant, err := meantBy(ctx, tx, codes, sc.Supplier)
	if err != nil || len(meant) != 1 || meant[0].part == "" {
		return err
	}
	c.State = "likely"
	return c.part(ctx, tx, meant[0].part, meant[0].Pieces*sc.Times*int64(c.Packs))
}

// filedLine gives the code under which a line is filed, and how many of what it
// stands for are in the pack. Eight digits that can be two codes stay as they
// are: which is meant, the catalog may know.
func filedLine(l scanner.Line) (code string, times int64) {
	code, times = filed(l.Key, l.Text, l.Elements)
	switch two := gs1.Readings(l.Text); {
	case l.Symbology != "":
	case len(two) == 2:
		code = l.Text
	case len(two) == 1:
		code = two[0]
	}
	return code, times
}

// readLines reads hand-scanner lines, good and bad ones.
func (s *Shop) readLines(ctx context.Context, in io.Reader) ([]scanner.Line, []scanner.BadLine, error) {
	var failed error
	good, bad, err := scanner.Lines(in, func(code string) (known bool) {
		err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) (err error) {
			known, err = knows(ctx, tx, code)
			return err
		})
		failed = errors.Join(failed, err)
		return known
	})
	return good, bad, errors.Join(err, failed)
}
