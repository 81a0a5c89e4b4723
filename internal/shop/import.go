package shop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// How a file is taken in. It is read twice: first to find out what it is, what
// is wrong with it, and which rows contradict each other; then to take the
// good rows in. Up to oneGo rows go in together, in one transaction; a larger
// file is staged in the database and switched in by many short ones (see
// import_stage.go). A dry run does the same and takes all of it back.

// oneGo is the most rows that go in in one transaction: it holds the writer
// for a second or two.
const oneGo = 20_000

// mostRejected is how many rejected cells and rows an answer names; it counts
// them all.
const mostRejected = 1000

// mostChanges is how many changes of stock an answer names; it counts them
// all.
const mostChanges = 50

// ImportRequest asks for files to be taken in.
type ImportRequest struct {
	Files    []string // paths
	Kind     string   // of exchange.Kinds; empty: guessed from each header
	Supplier string   // of price lists without a column for it
	Net      bool     // the supplier's lists print net prices: told once, and kept
	Discount string   // or less this discount, in percent
	DryRun   bool     // say what would be done, and do nothing
	Strict   bool     // one bad row or cell, and nothing goes in
	// Progress, where it is not nil, is told how many rows of how many are done.
	Progress func(done, of int)
}

// Imported is what taking files in did, or would do. Added, Changed and
// Unchanged count rows.
type Imported struct {
	DryRun        bool           `json:"dry_run"`
	Added         int            `json:"added"`
	Changed       int            `json:"changed"`
	Unchanged     int            `json:"unchanged"`
	Rejected      []Rejected     `json:"rejected"`             // the first of them
	RejectedCount int            `json:"rejected_count"`       // rows
	CellsLeftOut  int            `json:"cells_left_out_count"` // cells of rows that went in without them
	Unnamed       int            `json:"-"`                    // rejected cells and rows that Rejected does not name
	Refused       bool           `json:"refused"`              // strict, and something was rejected: nothing went in
	Noted         []Rejected     `json:"noted"`                // taken as it stands, but worth a look
	Changes       []StockChange  `json:"changes"`              // of a list of stock, the first of them
	ChangesCount  int            `json:"changes_count"`
	Files         []ImportedFile `json:"files"`
	NewBins       []string       `json:"new_bins"`
}

// Problems counts the rows and the cells that did not go in.
func (i *Imported) Problems() int { return i.RejectedCount + i.CellsLeftOut }

// Rejected is a cell or a row that did not go in, and why.
type Rejected struct {
	File   string        `json:"file"`
	Line   int           `json:"line"`
	Column string        `json:"column"` // its header; empty: the row as a whole
	Row    bool          `json:"row"`    // the whole row; false: the row went in without the cell
	Why    fault.Message `json:"why"`
	Hint   fault.Message `json:"hint,omitzero"`
}

// ImportedFile is what was found out about a file.
type ImportedFile struct {
	File      string           `json:"file"`
	Kind      string           `json:"kind"`
	Rows      int              `json:"rows"` // that could be used
	Format    string           `json:"format"`
	Encoding  string           `json:"encoding,omitempty"`
	Delimiter string           `json:"delimiter,omitempty"`
	Decimal   string           `json:"decimal,omitempty"`
	Sheet     string           `json:"sheet,omitempty"`
	Others    []string         `json:"other_sheets,omitempty"` // not read
	Header    int              `json:"header"`                 // its line
	Columns   []exchange.Found `json:"columns"`
	Unknown   []string         `json:"unknown_columns"` // kept as notes where the kind has a place for them
	Import    string           `json:"import,omitempty"`
	Resumed   bool             `json:"resumed,omitempty"` // an earlier run was cut short, this one went on
}

// Import takes files in. Bad rows are rejected with line, column and reason,
// and the good ones go in; the same file again changes nothing. Errors:
// Invalid and NotFound (a file that cannot be read as a table, or is of no
// kind), Ambiguous (its kind), NotFound (the supplier): then nothing has
// changed.
func (s *Shop) Import(ctx context.Context, q ImportRequest) (Imported, error) {
	out := Imported{DryRun: q.DryRun, Rejected: []Rejected{}, Noted: []Rejected{}, Changes: []StockChange{}, Files: make([]ImportedFile, 0, len(q.Files)), NewBins: []string{}}
	var lists []*list
	for _, path := range q.Files {
		l, err := s.survey(ctx, path, q, &out)
		if err != nil {
			return out, err
		}
		lists = append(lists, l)
	}
	if q.Strict && !q.DryRun {
		return out, s.strict(ctx, q, lists, &out)
	}
	return out, s.takeAll(ctx, lists)
}

// strict takes files in where a dry run finds nothing wrong with them.
func (s *Shop) strict(ctx context.Context, q ImportRequest, lists []*list, out *Imported) error {
	dry := q
	dry.DryRun, dry.Strict, dry.Progress = true, false, nil
	if out.Problems() == 0 {
		would, err := s.Import(ctx, dry)
		if err != nil {
			return err
		}
		out.Rejected, out.RejectedCount, out.CellsLeftOut, out.Unnamed = would.Rejected, would.RejectedCount, would.CellsLeftOut, would.Unnamed
	}
	if out.Problems() > 0 {
		out.Refused = true
		return nil
	}
	return s.takeAll(ctx, lists)
}

func (s *Shop) takeAll(ctx context.Context, lists []*list) error {
	for _, l := range lists {
		if err := s.takeIn(ctx, l); err != nil {
			return err
		}
	}
	return nil
}

// A list is a file on its way in.
type list struct {
	q        ImportRequest
	out      *Imported
	file     *ImportedFile
	path     string
	kind     *exchange.Kind
	sum      string // SHA-256 of its bytes
	twice    *exchange.Twice
	has      map[string]bool // columns of the kind
	counts   counts          // of a list of stock
	leftOut  map[int]int     // cells left out, by line
	rows     int
	tally    tally
	prepared func(exchange.Row) ready
	listed   string // day of a price list; empty: the file was taken in before
	news     bool   // nothing of this supplier was there before
}

// survey reads a file to its end, and finds out all that it can without
// touching the shop.
func (s *Shop) survey(ctx context.Context, path string, q ImportRequest, out *Imported) (*list, error) {
	l := &list{q: q, out: out, path: path, has: map[string]bool{}, leftOut: map[int]int{}}
	f, err := l.open(s.settings.Currency)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	l.kind, l.twice = f.Kind, exchange.NewTwice(f.Kind)
	for _, c := range f.Columns {
		l.has[c.Column] = true
	}
	l.describe(f)
	err = f.Rest(func(row exchange.Row, flaws []exchange.Flaw, ok bool) error {
		l.reject(flaws...)
		if ok {
			l.rows++
			l.twice.See(&row)
		}
		return ctx.Err()
	})
	if err == nil {
		l.sum, err = sumOf(path)
	}
	for _, n := range f.Noted {
		l.note(n)
	}
	return l, err
}

func (l *list) open(currency string) (*exchange.File, error) {
	opt := exchange.Options{Kind: l.kind, Currency: currency}
	if l.q.Supplier != "" || l.q.Net || l.q.Discount != "" {
		opt.Prefer, _ = exchange.Named("prices")
	}
	if l.kind == nil && l.q.Kind != "" {
		var err error
		if opt.Kind, err = exchange.Named(l.q.Kind); err != nil {
			return nil, err
		}
	}
	return exchange.Open(l.path, opt)
}

// describe puts what was found out about the file into the answer.
func (l *list) describe(f *exchange.File) {
	form := f.Form
	mark := func(r rune) string {
		if r == 0 {
			return ""
		}
		return string(r)
	}
	l.out.Files = append(l.out.Files, ImportedFile{
		File: filepath.Base(l.path), Kind: f.Kind.Name, Format: form.Format, Encoding: form.Encoding, Delimiter: mark(form.Delimiter),
		Decimal: mark(form.Decimal), Sheet: form.Sheet, Others: form.Others, Header: form.Header, Columns: f.Columns,
		Unknown: append([]string{}, f.Unknown...),
	})
	l.file = &l.out.Files[len(l.out.Files)-1]
}

// reject leaves a row out, or cells of it: the flaws are those of one row. A
// cell of a row that is rejected later does not count beside it.
func (l *list) reject(flaws ...exchange.Flaw) {
	row, line := false, 0
	for _, f := range flaws {
		row, line = row || f.Row, f.Line
		if len(l.out.Rejected) < mostRejected {
			l.out.Rejected = append(l.out.Rejected, Rejected{filepath.Base(l.path), f.Line, f.Column, f.Row, f.Why, f.Hint})
		} else {
			l.out.Unnamed++
		}
	}
	switch {
	case row:
		l.out.RejectedCount++
		l.out.CellsLeftOut -= l.leftOut[line]
		delete(l.leftOut, line)
	case len(flaws) > 0:
		l.out.CellsLeftOut += len(flaws)
		l.leftOut[line] += len(flaws)
	}
}

func (l *list) note(f exchange.Flaw) {
	if len(l.out.Noted) < mostRejected {
		l.out.Noted = append(l.out.Noted, Rejected{filepath.Base(l.path), f.Line, f.Column, f.Row, f.Why, f.Hint})
	}
}

// done adds up outcomes.
func (l *list) done(t tally) {
	l.tally = l.tally.plus(t)
	l.out.Added += t.added
	l.out.Changed += t.changed
	l.out.Unchanged += t.unchanged
}

// A tally counts outcomes.
type tally struct{ added, changed, unchanged, refused int }

func (t tally) plus(u tally) tally {
	return tally{t.added + u.added, t.changed + u.changed, t.unchanged + u.unchanged, t.refused + u.refused}
}

func (t *tally) count(o catalog.Outcome) {
	switch o {
	case catalog.Added:
		t.added++
	case catalog.Changed:
		t.changed++
	default:
		t.unchanged++
	}
}

// good calls each with the rows that can go in; contradictions are told where
// tell is set.
func (l *list) good(currency string, tell bool, each func(exchange.Row) error) error {
	f, err := l.open(currency)
	if err != nil {
		return err
	}
	defer f.Close()
	return f.Rest(func(row exchange.Row, _ []exchange.Flaw, ok bool) error {
		if !ok {
			return nil
		}
		if flaw, bad := l.twice.Flaw(&row); bad {
			if tell {
				flaw.Column = l.header(flaw.Column)
				l.reject(flaw)
			}
			return nil
		}
		return each(row)
	})
}

// sumOf gives the SHA-256 of a file's bytes.
func sumOf(path string) (string, error) {
	f, err := os.Open(path)
	if err != nil {
		return "", fault.New(fault.NotFound, "table.no_file", path).WithHint("table.no_file.hint").WithCause(err)
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return "", fault.New(fault.Damaged, "table.broken", path).WithHint("table.broken.hint").WithCause(err)
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// A ready is a row with what was worked out of it outside of a transaction.
type ready struct {
	row     exchange.Row
	reading catalog.Reading
}

// A taker takes the rows of a list in, in one transaction.
type taker interface {
	// take takes one row in and says what that did. A *rowError rejects the row.
	take(ctx context.Context, r ready) (catalog.Outcome, error)
}

// A rowError rejects a row, or where cell is set nothing but the cell.
type rowError struct {
	column string // of the kind
	err    error
}

func (e *rowError) Error() string { return e.column + ": " + e.err.Error() }

// Unwrap gives the cause.
func (e *rowError) Unwrap() error { return e.err }

// in says in which column of the kind an error of a row lies.
func in(column string, err error) error {
	if err == nil {
		return nil
	}
	return &rowError{column, err}
}

// ofRow reports whether an error is the row's, so that others can go on.
func ofRow(err error) bool {
	switch fault.KindOf(err) {
	case fault.Invalid, fault.NotFound, fault.Ambiguous, fault.Conflict, fault.Short:
		return true
	}
	return false
}

// header gives the header of a column as the file has it.
func (l *list) header(column string) string {
	for _, c := range l.file.Columns {
		if c.Column == column {
			return c.Header
		}
	}
	return column
}

// flaw makes a Flaw of an error of a row.
func (l *list) flaw(line int, err error) exchange.Flaw {
	e := fault.Of(err)
	f := exchange.Flaw{Line: line, Why: e.Message, Hint: e.Hint, Row: true}
	if at, ok := errors.AsType[*rowError](err); ok && at.column != "" {
		f.Column = l.header(at.column)
	}
	return f
}

// cell rejects a cell alone for an error that is the row's; any other it gives
// back.
func (l *list) cell(line int, column string, err error) error {
	if err == nil || !ofRow(err) {
		return err
	}
	f := l.flaw(line, in(column, err))
	f.Row = false
	l.reject(f)
	return nil
}

var errDry = errors.New("dry run")

// takeIn takes a list in.
func (s *Shop) takeIn(ctx context.Context, l *list) error {
	l.file.Rows = l.rows
	if err := s.prepare(ctx, l); err != nil {
		return err
	}
	if l.rows > oneGo {
		return s.takeLarge(ctx, l)
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		bulk := context.WithoutCancel(ctx) // the driver watches a context that can end, for each statement
		t, err := s.taker(bulk, tx, who, l)
		if err != nil {
			return err
		}
		done := 0
		err = l.good(s.settings.Currency, true, func(row exchange.Row) error {
			done++
			l.progress(done, l.rows)
			if err := ctx.Err(); err != nil {
				return err
			}
			return l.take(bulk, tx, t, l.prepared(row))
		})
		if err == nil && !l.q.DryRun {
			err = s.remember(ctx, tx, who, l)
		}
		if err == nil && l.q.DryRun {
			err = errDry
		}
		return err
	})
	if errors.Is(err, errDry) {
		err = nil
	}
	return err
}

// take takes one row in and counts it.
func (l *list) take(ctx context.Context, tx *store.Tx, t taker, r ready) error {
	var o catalog.Outcome
	var err error
	bins := len(l.out.NewBins)
	if l.kind.Name == "prices" { // it checks before it writes
		o, err = t.take(ctx, r)
	} else {
		err = tx.Try(ctx, func() error {
			o, err = t.take(ctx, r)
			return err
		})
	}
	switch {
	case err == nil:
		var one tally
		one.count(o)
		l.done(one)
	case ofRow(err):
		l.reject(l.flaw(r.row.Line, err))
		l.out.NewBins = l.out.NewBins[:bins]
		l.tally.refused++
		err = nil
	}
	return err
}

func (l *list) progress(done, of int) {
	if l.q.Progress != nil && (done%500 == 0 || done == of) {
		l.q.Progress(done, of)
	}
}

// remember notes that a file was taken in.
func (s *Shop) remember(ctx context.Context, tx *store.Tx, who Actor, l *list) error {
	if l.tally.added+l.tally.changed == 0 {
		return nil
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	l.file.Import = id
	_, err = tx.Exec(ctx, `INSERT INTO import (id, kind, about, file, sum, person, at, state, rows, reached, added, changed, unchanged)
		VALUES ($1, $2, $3, $4, $5, $6, $7, 'done', $8, $8, $9, $10, $11)`, id, l.kind.Name, l.about(), l.file.File, l.sum, who.ID,
		store.Stamp(tx.Now), l.rows, l.tally.added, l.tally.changed, l.tally.unchanged)
	return err
}

// about is what else was said of a file: the same file with something else is
// another import.
func (l *list) about() string { return catalog.Normal(l.q.Supplier) }
