package shop

import (
	"context"
	"errors"
	"fmt"
	"time"

	"forkstock/catalog"
	"forkstock/catalog/exchange"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A large list goes in by many short transactions under one import, so that
// scans go on between them. Its rows are staged first; then they are switched
// in, and each transaction notes how far it came. A run that is cut short
// leaves a list that is partly in, and the same command with the same file
// goes on where it stopped: staging after the rows that are staged, switching
// after the row that was reached. Two runs at once share the work.

const (
	staged   = 2000                 // rows staged in one transaction, for whose end whoever scans waits
	switched = 2000                 // rows switched in in one: fewer write the pages of the indexes more often
	breath   = 4 * time.Millisecond // between two, for programs that wait for the writer
)

// takeLarge takes a list in by short transactions.
func (s *Shop) takeLarge(ctx context.Context, l *list) (err error) {
	if l.q.DryRun {
		return s.dryLarge(ctx, l)
	}
	if err := s.begin(ctx, l); err != nil {
		return err
	}
	if err := s.checkpoints(ctx, rarePages); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.checkpoints(context.WithoutCancel(ctx), oftenPages)) }()
	if err := s.stage(ctx, l); err != nil {
		return err
	}
	if err := s.switchIn(ctx, l); err != nil {
		return err
	}
	return s.clear(ctx, l.file.Import, l.sum)
}

// How many pages of 4 KB the write-ahead log collects before they go into the
// database's file: SQLite's own choice, and that for a long list, whose
// transactions write the same pages of the indexes again and again.
const (
	oftenPages = 1000
	rarePages  = 20_000
)

func (s *Shop) checkpoints(ctx context.Context, pages int) error {
	return s.db.Write(ctx, func(ctx context.Context, tx *store.Tx) error {
		_, err := tx.Exec(ctx, fmt.Sprintf(`PRAGMA wal_autocheckpoint = %d`, pages))
		return err
	})
}

// begin finds the import that was cut short, or begins one. Earlier ones of
// the kind that were left are given up: this list is newer.
func (s *Shop) begin(ctx context.Context, l *list) error {
	var left []string
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		if _, err := s.taker(ctx, tx, who, l); err != nil { // the supplier, and how its prices are printed
			return err
		}
		err := tx.Each(ctx, func(scan store.Scan) error {
			var id, sum string
			err := scan(&id, &sum)
			if sum == l.sum && l.file.Import == "" {
				l.file.Import, l.file.Resumed = id, true
			} else {
				left = append(left, id)
			}
			return err
		}, `SELECT id, sum FROM import WHERE kind = $1 AND about = $2 AND state <> 'done' ORDER BY at DESC, id`, l.kind.Name, l.about())
		if err != nil || l.file.Resumed {
			return err
		}
		if l.file.Import, err = tx.NewID(); err != nil {
			return err
		}
		_, err = tx.Exec(ctx, `INSERT INTO import (id, kind, about, file, sum, person, at, state) VALUES ($1, $2, $3, $4, $5, $6, $7, 'staging')`,
			l.file.Import, l.kind.Name, l.about(), l.file.File, l.sum, who.ID, store.Stamp(tx.Now))
		return err
	})
	for _, id := range left {
		if err == nil {
			err = s.clear(ctx, id, "")
		}
	}
	return err
}

// stage puts the good rows of the file behind those that are staged. The file
// is read on while rows are written.
func (s *Shop) stage(ctx context.Context, l *list) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	batches := make(chan []exchange.Row, 1)
	unread := make(chan error, 1)
	go func() {
		defer close(batches)
		unread <- s.batches(ctx, l, batches)
	}()
	seq := 0
	for rows := range batches {
		err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
			return stageRows(ctx, tx, l.file.Import, seq+1, rows)
		})
		if err != nil {
			return err
		}
		seq += len(rows)
		l.progress(seq, 2*l.rows)
		time.Sleep(breath)
	}
	if err := <-unread; err != nil {
		return err
	}
	l.rows = seq
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		_, err := tx.Exec(ctx, `UPDATE import SET state = 'switching' WHERE id = $1 AND state = 'staging'`, l.file.Import)
		return err
	})
}

// batches sends the good rows of the file, some at a time.
func (s *Shop) batches(ctx context.Context, l *list, to chan<- []exchange.Row) error {
	var rows []exchange.Row
	send := func() error {
		select {
		case to <- rows:
			rows = nil
			return nil
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	err := l.good(s.settings.Currency, true, func(row exchange.Row) error {
		if rows = append(rows, row); len(rows) < staged {
			return nil
		}
		return send()
	})
	if err == nil && len(rows) > 0 {
		err = send()
	}
	return err
}

// stageRows stages the rows from number first on that are not staged yet.
func stageRows(ctx context.Context, tx *store.Tx, id string, first int, rows []exchange.Row) error {
	var there int
	var state string
	if _, err := tx.One(ctx, store.Into(&there, &state), `SELECT rows, state FROM import WHERE id = $1`, id); err != nil {
		return err
	}
	last := first + len(rows) - 1
	if state != "staging" || last <= there {
		return nil
	}
	insert, err := tx.Prepare(ctx, `INSERT INTO import_row (import, seq, line, cells) VALUES ($1, $2, $3, $4)`)
	if err != nil {
		return err
	}
	bulk := context.WithoutCancel(ctx) // see takeIn
	for i, row := range rows {
		if first+i <= there {
			continue
		}
		if err := insert.Exec(bulk, id, first+i, row.Line, row.Pack()); err != nil {
			return err
		}
	}
	_, err = tx.Exec(ctx, `UPDATE import SET rows = $2 WHERE id = $1`, id, last)
	return err
}

// A chunk is some staged rows in their order, made ready.
type chunk struct {
	first int // number of the first row
	rows  []ready
	err   error
}

// switchIn takes the staged rows in, from the row that was reached on. The
// next chunk is made ready while one is taken in.
func (s *Shop) switchIn(ctx context.Context, l *list) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	reached, err := s.sum(ctx, l)
	if err != nil {
		return err
	}
	chunks := make(chan chunk, 1)
	go func() {
		defer close(chunks)
		for c := s.chunkAfter(ctx, l, reached); c.err != nil || len(c.rows) > 0; c = s.chunkAfter(ctx, l, c.first+len(c.rows)-1) {
			select {
			case chunks <- c:
			case <-ctx.Done():
				return
			}
			if c.err != nil {
				return
			}
		}
	}()
	for c := range chunks {
		if c.err == nil {
			c.err = s.take(ctx, l, c)
		}
		if c.err != nil {
			return c.err
		}
		l.progress(l.rows+c.first+len(c.rows)-1, 2*l.rows)
		time.Sleep(breath)
	}
	if ctx.Err() == nil {
		_, err = s.sum(ctx, l)
	}
	return errors.Join(err, ctx.Err())
}

// sum counts what all runs of the import did together, and gives the row that
// they reached.
func (s *Shop) sum(ctx context.Context, l *list) (reached int, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var t tally
		_, err := tx.One(ctx, store.Into(&reached, &t.added, &t.changed, &t.unchanged, &t.refused),
			`SELECT reached, added, changed, unchanged, refused FROM import WHERE id = $1`, l.file.Import)
		l.done(tally{t.added - l.tally.added, t.changed - l.tally.changed, t.unchanged - l.tally.unchanged, t.refused - l.tally.refused})
		return err
	})
	return reached, err
}

// chunkAfter reads the staged rows behind number seq.
func (s *Shop) chunkAfter(ctx context.Context, l *list, seq int) chunk {
	c := chunk{first: seq + 1}
	c.err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var cells string
			var row exchange.Row
			if err := scan(&row.Line, &cells); err != nil {
				return err
			}
			if !row.Unpack(cells, l.kind) {
				return fault.New(fault.Damaged, "shop.import.staged", l.file.File)
			}
			c.rows = append(c.rows, l.prepared(row))
			return nil
		}, `SELECT line, cells FROM import_row WHERE import = $1 AND seq > $2 ORDER BY seq LIMIT $3`, l.file.Import, seq, switched)
	})
	return c
}

// take takes the rows of a chunk in that are not in, and notes that they are.
func (s *Shop) take(ctx context.Context, l *list, c chunk) error {
	before := l.tally
	return s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		var reached int
		if _, err := tx.One(ctx, store.Into(&reached), `SELECT reached FROM import WHERE id = $1`, l.file.Import); err != nil {
			return err
		}
		last := c.first + len(c.rows) - 1
		if reached >= last { // another run was here
			return nil
		}
		if err := s.takeRows(ctx, tx, who, l, c.rows[max(reached+1-c.first, 0):]); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `DELETE FROM import_row WHERE import = $1 AND seq <= $2`, l.file.Import, last); err != nil {
			return err
		}
		_, err := tx.Exec(ctx, `UPDATE import SET reached = $2, added = added + $3, changed = changed + $4, unchanged = unchanged + $5,
			refused = refused + $6 WHERE id = $1`, l.file.Import, last,
			l.tally.added-before.added, l.tally.changed-before.changed, l.tally.unchanged-before.unchanged, l.tally.refused-before.refused)
		return err
	})
}

func (s *Shop) takeRows(ctx context.Context, tx *store.Tx, who Actor, l *list, rows []ready) error {
	bulk := context.WithoutCancel(ctx) // see takeIn
	t, err := s.taker(bulk, tx, who, l)
	if err != nil {
		return err
	}
	for _, r := range rows {
		if err := l.take(bulk, tx, t, r); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// clear takes away what was staged, in short transactions, and ends an import;
// sum is that of the file, empty where the import is given up.
func (s *Shop) clear(ctx context.Context, id, sum string) error {
	for {
		var n int64
		err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) (err error) {
			n, err = tx.Exec(ctx, `DELETE FROM import_row WHERE import = $1 AND seq IN
				(SELECT seq FROM import_row WHERE import = $1 ORDER BY seq LIMIT 10000)`, id)
			if err == nil && n == 0 {
				_, err = tx.Exec(ctx, `UPDATE import SET state = 'done', sum = $2 WHERE id = $1`, id, sum)
			}
			return err
		})
		if err != nil || n == 0 {
			return err
		}
		time.Sleep(breath)
	}
}

// dryLarge says what a large list would do: its rows are taken in by short
// transactions, and each is taken back.
func (s *Shop) dryLarge(ctx context.Context, l *list) error {
	var rows []ready
	done := 0
	try := func() error {
		err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
			return errors.Join(s.takeRows(ctx, tx, who, l, rows), errDry)
		})
		done += len(rows)
		rows = rows[:0]
		l.progress(done, l.rows)
		if errors.Is(err, errDry) && !isFault(err) {
			return nil
		}
		return err
	}
	err := l.good(s.settings.Currency, true, func(row exchange.Row) error {
		if rows = append(rows, l.prepared(row)); len(rows) < switched {
			return nil
		}
		return try()
	})
	if err == nil && len(rows) > 0 {
		err = try()
	}
	return err
}

func isFault(err error) bool {
	_, ok := errors.AsType[*fault.Error](err)
	return ok
}

// prepare finds out what the rows of a list are made ready with.
func (s *Shop) prepare(ctx context.Context, l *list) error {
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var seen, there bool
		_, err := tx.One(ctx, store.Into(&seen, &there), `SELECT EXISTS (SELECT 1 FROM import WHERE sum = $1 AND kind = $2 AND state = 'done'),
			EXISTS (SELECT 1 FROM supplier_item i JOIN supplier s ON s.id = i.supplier WHERE $3 = '' OR s.name_norm = $3)`,
			l.sum, l.kind.Name, catalog.Normal(l.q.Supplier))
		if err != nil {
			return err
		}
		l.news = !there
		if !seen && !l.has["listed"] {
			l.listed = tx.Today()
		}
		if l.kind.Name == "stock" {
			if l.counts, err = s.countsOf(ctx, tx, l); err != nil {
				return err
			}
		}
		r, err := newReaders(ctx, tx)
		description, supplier := l.kind.At("description"), l.kind.At("supplier")
		l.prepared = func(row exchange.Row) ready {
			if description < 0 || row.Cells[description] == "" {
				return ready{row: row}
			}
			name := l.q.Supplier
			if supplier >= 0 && row.Cells[supplier] != "" {
				name = row.Cells[supplier]
			}
			return ready{row, r.read(name, row.Cells[description]).Item()}
		}
		return err
	})
}
