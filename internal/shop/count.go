package shop

import (
	"cmp"
	"context"
	"io"
	"slices"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Count is a count of what lies in bins, beside what the book has.
type Count struct {
	ID          string      `json:"id"` // tells it from others of its name
	Name        string      `json:"count"`
	Begun       string      `json:"begun"`
	Person      string      `json:"person"`
	State       string      `json:"state"` // open, posted, dropped
	Lines       []CountLine `json:"lines"`
	Bins        []CountBin  `json:"bins"` // that were begun, by name
	Differences int         `json:"differences"`
	Postings    []string    `json:"postings,omitempty"` // ids, once it is posted
	Repeated    bool        `json:"repeated,omitempty"` // it was posted before
	Last        string      `json:"last,omitempty"`     // the part that was counted just now, MAKER/NUMBER
}

// CountBin is a bin that somebody counts in.
type CountBin struct {
	Bin   string `json:"bin"`
	Done  bool   `json:"done"`  // looked through: what nobody counted in it is not there
	Lines int    `json:"lines"` // parts that were counted in it
}

// CountLine is what was counted of a part in a bin.
type CountLine struct {
	Bin    string       `json:"bin"`
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit       string `json:"unit"`
	Counted    int64  `json:"counted"` // with what moved since
	Book       int64  `json:"book"`
	Difference int64  `json:"difference"`
	Seen       bool   `json:"seen"`              // false: the bin was looked through, and it was not there
	Moved      bool   `json:"moved"`             // something moved between two scans: count it again
	InTrays    int64  `json:"in_trays"`          // pieces of it in the trays of jobs
	Reason     string `json:"reason,omitempty"`  // of a difference that was posted
	Posting    string `json:"posting,omitempty"` // id, likewise

	part string // id
}

// Name gives the part as a command takes it.
func (l CountLine) Name() string { return l.Maker + "/" + l.Number }

// Counts gives the counts that are open.
func (s *Shop) Counts(ctx context.Context) ([]Count, error) {
	all := []Count{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		open, err := inventory.Tallies(ctx, tx, "open")
		for _, t := range open {
			c, err := s.count(ctx, tx, t)
			if err != nil {
				return err
			}
			all = append(all, c)
		}
		return err
	})
	return all, err
}

// BeginCount begins a count under a name. Errors: Invalid, Conflict (one of that
// name is open).
func (s *Shop) BeginCount(ctx context.Context, name string) (Count, error) {
	var out Count
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		t, err := inventory.BeginTally(ctx, tx, strings.TrimSpace(name), who.ID)
		if err != nil {
			return err
		}
		out, err = s.count(ctx, tx, t)
		return err
	})
	return out, err
}

// CountOf gives an open count with its differences. Error: NotFound.
func (s *Shop) CountOf(ctx context.Context, name string) (Count, error) {
	var out Count
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		out, err = s.count(ctx, tx, t)
		return err
	})
	return out, err
}

// CountSet says how much of a part lies in a bin.
type CountSet struct {
	Count, Bin, Part string // names
	Amount           int64  // of the part's unit
	Key              string // of the caller; the same again changes nothing
}

// SetCount takes what was counted of a part in a bin. Errors: Invalid, NotFound,
// Ambiguous.
func (s *Shop) SetCount(ctx context.Context, q CountSet) (Count, error) {
	if q.Amount < 0 || q.Amount > mostAmount {
		return Count{}, fault.New(fault.Invalid, "shop.bad_count", q.Amount, int64(mostAmount))
	}
	last := ""
	out, err := s.counting(ctx, q.Count, func(ctx context.Context, tx *store.Tx, t inventory.Tally, who Actor) error {
		b, err := inventory.BinNamed(ctx, tx, q.Bin)
		if err != nil {
			return err
		}
		p, _, err := partFor(ctx, tx, q.Part)
		if err != nil {
			return err
		}
		last = p.Name()
		if q.Key != "" {
			if fresh, err := t.Once(ctx, tx, q.Key); err != nil || !fresh {
				return err
			}
		}
		if err := t.Open(ctx, tx, b.ID, false); err != nil {
			return err
		}
		return t.Set(ctx, tx, b.ID, p.ID, who.ID, q.Amount)
	})
	out.Last = last
	return out, err
}

// CountBin says that a bin was looked through to its end: what nobody counted in
// it is not there. Error: NotFound.
func (s *Shop) CountBin(ctx context.Context, name, bin string) (Count, error) {
	return s.counting(ctx, name, func(ctx context.Context, tx *store.Tx, t inventory.Tally, _ Actor) error {
		b, err := inventory.BinNamed(ctx, tx, bin)
		if err != nil {
			return err
		}
		return t.Open(ctx, tx, b.ID, true)
	})
}

// DropCount ends a count without posting anything. Error: NotFound.
func (s *Shop) DropCount(ctx context.Context, name string) error {
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		return t.Drop(ctx, tx)
	})
}

func (s *Shop) counting(ctx context.Context, name string, do func(context.Context, *store.Tx, inventory.Tally, Actor) error) (Count, error) {
	var out Count
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if err := do(ctx, tx, t, who); err != nil {
			return err
		}
		out, err = s.count(ctx, tx, t)
		return err
	})
	return out, err
}

func (s *Shop) count(ctx context.Context, tx *store.Tx, t inventory.Tally) (Count, error) {
	out := Count{ID: t.ID, Name: t.Name, State: t.State, Lines: []CountLine{}, Bins: []CountBin{}}
	begun, err := store.Time(t.Begun)
	if err != nil {
		return out, err
	}
	out.Begun = s.day(begun)
	if _, err := tx.One(ctx, store.Into(&out.Person), `SELECT name FROM person WHERE id = $1`, t.Person); err != nil {
		return out, err
	}
	if out.Bins, err = countBins(ctx, tx, t); err != nil {
		return out, err
	}
	lines, err := t.Lines(ctx, tx)
	if t.State == "posted" {
		lines, err = t.Posted(ctx, tx)
	}
	if err != nil {
		return out, err
	}
	ids := make([]string, len(lines))
	for i, l := range lines {
		ids[i] = l.Part
	}
	parts, err := catalog.PartsByID(ctx, tx, ids)
	if err != nil {
		return out, err
	}
	stock, err := inventory.StockOf(ctx, tx, ids)
	if err != nil {
		return out, err
	}
	for _, l := range lines {
		p := parts[l.Part]
		v := CountLine{
			Bin: l.BinName, Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread), Unit: p.Unit,
			Counted: l.Counted, Book: l.Book, Difference: l.Difference(), Seen: l.Seen, Moved: l.Moved,
			Reason: l.Reason, Posting: l.Posting, part: l.Part,
		}
		for _, at := range stock[l.Part] {
			if at.Bin.Kind == "tray" {
				v.InTrays += at.Amount
			}
		}
		if v.Difference != 0 {
			out.Differences++
		}
		out.Lines = append(out.Lines, v)
		if i := slices.IndexFunc(out.Bins, func(b CountBin) bool { return b.Bin == v.Bin }); i >= 0 && v.Seen {
			out.Bins[i].Lines++
		}
		if v.Posting != "" {
			out.Postings = append(out.Postings, v.Posting)
		}
	}
	slices.SortStableFunc(out.Lines, func(a, b CountLine) int {
		return cmp.Or(strings.Compare(a.Bin, b.Bin), strings.Compare(a.Number, b.Number))
	})
	return out, nil
}

func countBins(ctx context.Context, tx *store.Tx, t inventory.Tally) ([]CountBin, error) {
	all := []CountBin{}
	bins, err := t.Bins(ctx, tx)
	for _, b := range bins {
		all = append(all, CountBin{Bin: b.Name, Done: b.Done})
	}
	return all, err
}

// CountScanned is what became of the lines of a hand scanner in a count.
type CountScanned struct {
	Count
	Scanned  int      `json:"scanned"`  // packs counted now
	Repeated int      `json:"repeated"` // lines that were counted before
	Unknown  []string `json:"unknown"`  // codes that stand for no part: nothing was counted for them
	Bin      string   `json:"bin"`      // where the next one lies
}

// ScanCount counts packs by scanning: a line with the label of a bin says where
// the packs after it lie, any other is one pack. session names the lines, so that
// the same lines again count nothing. Errors: Invalid (a line before any bin),
// NotFound.
func (s *Shop) ScanCount(ctx context.Context, name, bin, session string, lines io.Reader) (CountScanned, error) {
	out := CountScanned{Unknown: []string{}}
	typed, err := s.typed(ctx, lines)
	if err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		t, err := inventory.TallyNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		if session == "" {
			if session, err = tx.NewID(); err != nil {
				return err
			}
		}
		c := countScan{tally: t, who: who, session: session, out: &out}
		if bin != "" {
			b, err := inventory.BinNamed(ctx, tx, bin)
			if err != nil {
				return err
			}
			c.bin, out.Bin = b.ID, b.Name
			if err := t.Open(ctx, tx, b.ID, false); err != nil {
				return err
			}
		}
		for _, l := range typed {
			if err := c.line(ctx, tx, l); err != nil {
				return err
			}
		}
		last := out.Last
		out.Count, err = s.count(ctx, tx, t)
		out.Last = last
		return err
	})
	return out, err
}

// countScan is scanning for a count under way.
type countScan struct {
	tally   inventory.Tally
	who     Actor
	session string
	bin     string // id, "" before the first
	out     *CountScanned
}

// line takes one line: a bin, or a pack that lies in it.
func (c *countScan) line(ctx context.Context, tx *store.Tx, l scanner.Line) error {
	b, err := inventory.BinNamed(ctx, tx, l.Text)
	if err == nil {
		c.bin, c.out.Bin = b.ID, b.Name
		return c.tally.Open(ctx, tx, b.ID, false)
	}
	if fault.KindOf(err) != fault.NotFound {
		return err
	}
	if c.bin == "" {
		return fault.New(fault.Invalid, "shop.count_where", l.Text).WithHint("shop.count_where.hint")
	}
	part, pieces, known, err := packFor(ctx, tx, l.Text)
	if err != nil {
		return err
	}
	if !known {
		c.out.Unknown = append(c.out.Unknown, l.Text)
		return nil
	}
	key := c.session + "/" + strconv.Itoa(l.Number)
	counted, err := c.tally.Add(ctx, tx, c.bin, part, c.who.ID, key, pieces*int64(l.Times))
	switch {
	case err != nil:
		return err
	case counted:
		c.out.Scanned += l.Times
	default:
		c.out.Repeated++
	}
	p, _, err := catalog.PartByID(ctx, tx, part)
	c.out.Last = p.Name()
	return err
}

// packFor gives the part that a scanned text stands for, and of how many pieces a
// pack is.
func packFor(ctx context.Context, tx *store.Tx, text string) (part string, pieces int64, known bool, err error) {
	if code, err := oneCode(text); err == nil {
		link, known, err := catalog.LinkOf(ctx, tx, code)
		if err != nil || known {
			return link.Part, link.Pieces, known && link.Part != "", err
		}
	}
	p, _, err := partFor(ctx, tx, text)
	switch fault.KindOf(err) {
	case fault.NotFound, fault.Ambiguous, fault.Invalid:
		return "", 0, false, nil
	}
	return p.ID, 1, err == nil, err
}
