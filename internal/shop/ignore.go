package shop

import (
	"context"
	"strings"
	"unicode/utf8"

	"forkstock/catalog"
	"forkstock/catalog/pattern"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Codes that are no part: told once, by the code itself or by how its kind
// looks, and from then on counted as such and never asked about.

// IgnoreRequest tells that a code is no part.
type IgnoreRequest struct {
	Code      string
	Alike     bool   // and so is every code that looks like it
	Begins    string // how those begin; empty: as the code suggests
	AnyLength bool   // and they may be longer or shorter
	Yes       bool   // of Alike: keep it; else it is shown
	Back      bool   // takes back what was told of the code
	BackShape int64  // takes back what was told of a shape, 0: none
}

// Ignoring is what is no part, or what telling it did or would do.
type Ignoring struct {
	Codes     []IgnoredCode  `json:"codes"`
	Shapes    []IgnoredShape `json:"shapes"`
	Would     *IgnoredShape  `json:"would,omitempty"` // the shape that is shown and not kept
	Takes     []string       `json:"takes,omitempty"` // of the last scans, those that have it
	Kept      bool           `json:"kept"`
	TakenBack bool           `json:"taken_back"`
	Settled   Received       `json:"settled"`
}

// IgnoredCode is a code that is no part.
type IgnoredCode struct {
	Code   string `json:"code"`
	Scans  int    `json:"scans"` // that were ignored by it
	Person string `json:"person"`
	Day    string `json:"day"`
}

// IgnoredShape is a kind of code that is no part.
type IgnoredShape struct {
	Shape     int64  `json:"shape"` // what the shop calls it
	Symbology string `json:"symbology"`
	Begins    string `json:"begins"`
	Length    int    `json:"length"` // 0: any
	Example   string `json:"example"`
	Scans     int    `json:"scans"`
	Person    string `json:"person"`
	Day       string `json:"day"`
}

// Ignored lists what is no part.
func (s *Shop) Ignored(ctx context.Context) (out Ignoring, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out, err = s.ignored(ctx, tx)
		return err
	})
	return out, err
}

func (s *Shop) ignored(ctx context.Context, tx *store.Tx) (out Ignoring, err error) {
	out = Ignoring{Codes: []IgnoredCode{}, Shapes: []IgnoredShape{}}
	if out.Settled, err = tell(ctx, tx, nil, nil); err != nil {
		return out, err
	}
	codes, err := catalog.IgnoredCodes(ctx, tx)
	if err != nil {
		return out, err
	}
	counts, err := inventory.IgnoredTexts(ctx, tx)
	if err != nil {
		return out, err
	}
	exact := map[string]bool{}
	for _, c := range codes {
		exact[c.Code] = true
		n := 0
		for _, i := range counts {
			if i.Code == c.Code {
				n += i.Count
			}
		}
		out.Codes = append(out.Codes, IgnoredCode{c.Code, n, c.Person, s.stampDay(c.Since)})
	}
	strays, err := catalog.Strays(ctx, tx)
	for _, y := range strays {
		shape := s.ignoredShape(y)
		for _, i := range counts {
			if !exact[i.Code] && y.Fits(i.Symbology, i.Text) {
				shape.Scans += i.Count
			}
		}
		out.Shapes = append(out.Shapes, shape)
	}
	return out, err
}

func (s *Shop) ignoredShape(y catalog.Stray) IgnoredShape {
	return IgnoredShape{y.Number, y.Symbology, y.Begins, y.Length, y.Example, 0, y.Person, s.stampDay(y.At)}
}

// Ignore tells that a code is no part, or takes that back. A shape is shown
// with the scans that have it, and kept with Yes. Errors: Invalid, NotFound
// (what is to be taken back), Conflict (the code stands for a part, or a code
// with that shape does).
func (s *Shop) Ignore(ctx context.Context, q IgnoreRequest) (Ignoring, error) {
	var out Ignoring
	var settled []inventory.Scan
	run := s.write
	if q.Alike && !q.Yes {
		run = func(ctx context.Context, f func(context.Context, *store.Tx, Actor) error) error {
			return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error { return f(ctx, tx, Actor{}) })
		}
	}
	err := run(ctx, func(ctx context.Context, tx *store.Tx, who Actor) (err error) {
		var would *IgnoredShape
		var takes []string
		switch {
		case q.BackShape != 0:
			settled, err = endStray(ctx, tx, q.BackShape)
		case q.Back:
			settled, err = unignore(ctx, tx, q.Code, who)
		case q.Alike:
			would, takes, settled, err = s.ignoreAlike(ctx, tx, q, who)
		default:
			settled, err = ignoreCode(ctx, tx, q.Code, who)
		}
		if err != nil {
			return err
		}
		if out, err = s.ignored(ctx, tx); err != nil {
			return err
		}
		out.Would, out.Takes, out.TakenBack = would, takes, q.Back || q.BackShape != 0
		out.Kept = would == nil
		out.Settled, err = tell(ctx, tx, settled, nil)
		return err
	})
	return out, err
}

func ignoreCode(ctx context.Context, tx *store.Tx, text string, who Actor) ([]inventory.Scan, error) {
	code, err := oneCode(text)
	if err != nil {
		return nil, err
	}
	if err := meant(ctx, tx, code, LinkRequest{Code: text}); err != nil {
		return nil, err
	}
	if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: code, Pieces: 1}, who.ID, false); err != nil {
		return nil, err
	}
	return inventory.SettleCode(ctx, tx, code)
}

// unignore takes back that a code is no part; it waits again then.
func unignore(ctx context.Context, tx *store.Tx, text string, who Actor) ([]inventory.Scan, error) {
	code, err := oneCode(text)
	if err != nil {
		return nil, err
	}
	if l, known, err := catalog.LinkOf(ctx, tx, code); err != nil || !known || l.Part != "" || l.Supplier != "" {
		if err == nil {
			err = fault.New(fault.NotFound, "shop.not_ignored", text).WithHint("shop.not_ignored.hint")
		}
		return nil, err
	}
	if err := catalog.UnlinkCode(ctx, tx, code, "", who.ID); err != nil {
		return nil, err
	}
	return inventory.SettleCode(ctx, tx, code)
}

func endStray(ctx context.Context, tx *store.Tx, number int64) ([]inventory.Scan, error) {
	y, err := catalog.EndStray(ctx, tx, number)
	if err != nil {
		return nil, err
	}
	return inventory.Resettle(ctx, tx, func(sc inventory.Scan) bool {
		return sc.State == inventory.ScanIgnored && y.Fits(sc.Symbology, sc.Text)
	})
}

// ignoreAlike works out the shape of a code, and keeps it with Yes.
func (s *Shop) ignoreAlike(ctx context.Context, tx *store.Tx, q IgnoreRequest, who Actor) (*IgnoredShape, []string, []inventory.Scan, error) {
	text := trimmed(q.Code)
	if text == "" {
		return nil, nil, nil, fault.New(fault.Invalid, "shop.no_code")
	}
	symbology, err := symbologyOf(ctx, tx, text)
	if err != nil {
		return nil, nil, nil, err
	}
	y := catalog.Stray{Shape: pattern.ShapeOf(symbology, text), Example: text}
	if q.Begins != "" {
		y.Begins, y.Length = q.Begins, utf8.RuneCountInString(text)
	}
	if q.AnyLength {
		y.Length = 0
	}
	if !strings.HasPrefix(text, y.Begins) {
		return nil, nil, nil, fault.New(fault.Invalid, "shop.begins_otherwise", text, y.Begins).WithHint("shop.begins_otherwise.hint")
	}
	if err := partsAlike(ctx, tx, y); err != nil {
		return nil, nil, nil, err
	}
	if !q.Yes {
		last, err := inventory.LastScans(ctx, tx, mostPreview)
		takes := []string{}
		for _, sc := range last {
			if sc.ByLooks() && y.Fits(sc.Symbology, sc.Text) {
				takes = append(takes, sc.Text)
			}
		}
		shape := s.ignoredShape(y)
		return &shape, takes, nil, err
	}
	if y, err = catalog.AddStray(ctx, tx, y, who.ID); err != nil {
		return nil, nil, nil, err
	}
	settled, err := inventory.Resettle(ctx, tx, func(sc inventory.Scan) bool {
		return sc.State == inventory.ScanUnknown && y.Fits(sc.Symbology, sc.Text)
	})
	return nil, nil, settled, err
}

// mostPreview is how many of the last scans a shape or a rule is tried on.
const mostPreview = 200

// symbologyOf gives the symbology in which a text was scanned last, empty
// where nobody said or it never was.
func symbologyOf(ctx context.Context, tx *store.Tx, text string) (symbology string, err error) {
	_, err = tx.One(ctx, store.Into(&symbology), `SELECT symbology FROM scan WHERE text = $1 AND symbology <> '' ORDER BY seq DESC LIMIT 1`, text)
	return symbology, err
}

// partsAlike refuses a shape that codes of parts have, too.
func partsAlike(ctx context.Context, tx *store.Tx, y catalog.Stray) error {
	links, err := catalog.Links(ctx, tx)
	if err != nil {
		return err
	}
	for _, l := range links {
		if l.Part == "" || !y.Fits("", l.Code) {
			continue
		}
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return err
		}
		return fault.New(fault.Conflict, "shop.part_alike", l.Code, p.Name()).WithHint("shop.part_alike.hint", words.ShellWord(y.Example))
	}
	number, err := catalog.IsNumber(ctx, tx, y.Example)
	if err == nil && number {
		err = fault.New(fault.Conflict, "shop.number_alike", y.Example).WithHint("shop.number_alike.hint", words.ShellWord(y.Example))
	}
	return err
}
