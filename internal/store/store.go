// Package store runs transactions on the shop's database: one writer at a
// time, many readers, each transaction with one frozen time.
//
// It speaks database/sql only. The driver, its settings and its error numbers
// stand in internal/store/sqlite, so that every room above compiles and tests
// without C where it needs no database. SQL is written with numbered
// placeholders ($1); text in a statement never contains a dollar sign.
//
// Non-goals: building SQL, mapping structs, nested transactions.
package store

import (
	"context"
	"database/sql"
	"errors"
	"io"
	"strings"
	"time"

	"forkstock/internal/fault"
)

// DB is an open database: a pool of one connection that writes, and a pool of
// connections that can only read.
type DB struct {
	writer, reader *sql.DB
	opt            Options
	zone           *time.Location
}

// Options are what a DB needs beside its pools.
type Options struct {
	// Clock gives the time of each transaction.
	Clock func() time.Time
	// Random feeds the ids.
	Random io.Reader
	// Explain turns a driver's error into a *fault.Error.
	Explain func(error) error
	// Checkpoint is the statement that brings what was committed from the log into the file, while others write.
	Checkpoint string
	// Watch, where not nil, is told each statement before it runs.
	Watch func(query string, args []any)
}

// New makes a DB of two pools.
func New(writer, reader *sql.DB, opt Options) *DB {
	return &DB{writer: writer, reader: reader, opt: opt, zone: time.UTC}
}

// SetZone says where the days of transactions begin; before, that is in UTC.
// It comes before the first use of the database by several goroutines.
func (db *DB) SetZone(zone *time.Location) { db.zone = zone }

// Close closes both pools.
func (db *DB) Close() error {
	return errors.Join(db.reader.Close(), db.writer.Close())
}

// Write runs f in the one writing transaction. It commits when f returns nil,
// and changes nothing otherwise, also when f panics.
func (db *DB) Write(ctx context.Context, f func(context.Context, *Tx) error) error {
	return db.run(ctx, db.writer, f)
}

// Read runs f on an unchanging view of the database; a statement that writes
// fails.
func (db *DB) Read(ctx context.Context, f func(context.Context, *Tx) error) error {
	return db.run(ctx, db.reader, f)
}

func (db *DB) run(ctx context.Context, pool *sql.DB, f func(context.Context, *Tx) error) error {
	raw, err := db.begin(ctx, pool)
	if err != nil {
		return db.explain(ctx, err)
	}
	defer raw.Rollback() // after a commit it does nothing
	tx := &Tx{Now: db.opt.Clock().UTC().Truncate(time.Millisecond), raw: raw, opt: &db.opt, zone: db.zone}
	if err := f(ctx, tx); err != nil {
		if ctx.Err() != nil {
			return db.explain(ctx, err)
		}
		return err
	}
	if err := raw.Commit(); err != nil {
		return db.explain(ctx, err)
	}
	return nil
}

// Checkpoint brings what was committed into the file, while others read and write.
// Whoever commits does so by and by in any case, and then has to wait for it.
func (db *DB) Checkpoint(ctx context.Context) error {
	_, err := db.reader.ExecContext(ctx, db.opt.Checkpoint)
	return db.opt.Explain(err)
}

// patience is how long a transaction waits for another program's.
const patience = 10 * time.Second

// begin begins a transaction. While another program writes it tries again and
// again, a few milliseconds apart: SQLite itself tries less often the longer it
// has waited, up to a tenth of a second, and then misses the short breaks that an
// import makes for others.
func (db *DB) begin(ctx context.Context, pool *sql.DB) (*sql.Tx, error) {
	for began := time.Now(); ; {
		raw, err := pool.BeginTx(ctx, nil)
		if err == nil || ctx.Err() != nil || time.Since(began) > patience || fault.KindOf(db.opt.Explain(err)) != fault.Busy {
			return raw, err
		}
	}
}

// explain tells a transaction that was stopped from one that failed.
func (db *DB) explain(ctx context.Context, err error) error {
	if ctx.Err() != nil {
		return fault.New(fault.Busy, "store.stopped").WithCause(err)
	}
	return db.opt.Explain(err)
}

// Tx is a transaction.
type Tx struct {
	// Now is the time of everything that this transaction does, in UTC, to
	// the millisecond.
	Now time.Time

	raw  *sql.Tx
	opt  *Options
	zone *time.Location
	ids  int // given so far, see NewID
}

// Today gives the day of Now in the zone of the database, YYYY-MM-DD.
func (tx *Tx) Today() string { return tx.Now.In(tx.zone).Format(time.DateOnly) }

// Day gives the day of a stamp of the database in its zone, YYYY-MM-DD.
func (tx *Tx) Day(stamp string) (string, error) {
	at, err := Time(stamp)
	return at.In(tx.zone).Format(time.DateOnly), err
}

func (tx *Tx) watch(query string, args []any) {
	if tx.opt.Watch != nil {
		tx.opt.Watch(query, args)
	}
}

// Exec runs a statement and gives the number of rows that it changed.
func (tx *Tx) Exec(ctx context.Context, query string, args ...any) (int64, error) {
	tx.watch(query, args)
	res, err := tx.raw.ExecContext(ctx, numbered(query), args...)
	if err != nil {
		return 0, tx.opt.Explain(err)
	}
	n, err := res.RowsAffected()
	return n, err
}

// Scan copies the columns of the current row.
type Scan func(dest ...any) error

// Each calls f with every row of a query, in its order.
func (tx *Tx) Each(ctx context.Context, f func(Scan) error, query string, args ...any) error {
	tx.watch(query, args)
	rows, err := tx.raw.QueryContext(ctx, numbered(query), args...)
	if err != nil {
		return tx.opt.Explain(err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := f(rows.Scan); err != nil {
			if _, ours := errors.AsType[*fault.Error](err); ours {
				return err
			}
			return tx.opt.Explain(err)
		}
	}
	if err := rows.Err(); err != nil {
		return tx.opt.Explain(err)
	}
	return nil
}

// One copies the only row of a query into dest, and reports whether there was
// one.
func (tx *Tx) One(ctx context.Context, dest []any, query string, args ...any) (bool, error) {
	tx.watch(query, args)
	err := tx.raw.QueryRowContext(ctx, numbered(query), args...).Scan(dest...)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	if err != nil {
		return false, tx.opt.Explain(err)
	}
	return true, nil
}

// A Stmt is a statement made ready for many runs in its transaction, with
// which it ends.
type Stmt struct {
	raw   *sql.Stmt
	tx    *Tx
	query string
}

// Prepare makes a statement ready. Preparing takes longer than running where
// one statement runs for each of many rows.
func (tx *Tx) Prepare(ctx context.Context, query string) (*Stmt, error) {
	raw, err := tx.raw.PrepareContext(ctx, numbered(query))
	if err != nil {
		return nil, tx.opt.Explain(err)
	}
	return &Stmt{raw, tx, query}, nil
}

// Exec runs the statement.
func (s *Stmt) Exec(ctx context.Context, args ...any) error {
	s.tx.watch(s.query, args)
	_, err := s.raw.ExecContext(ctx, args...)
	return s.tx.opt.Explain(err)
}

// One copies the only row of the statement into dest, and reports whether
// there was one.
func (s *Stmt) One(ctx context.Context, dest []any, args ...any) (bool, error) {
	s.tx.watch(s.query, args)
	err := s.raw.QueryRowContext(ctx, args...).Scan(dest...)
	if errors.Is(err, sql.ErrNoRows) {
		return false, nil
	}
	return err == nil, s.tx.opt.Explain(err)
}

// Try runs f, and takes back what f has changed where it fails; the
// transaction goes on in either case.
func (tx *Tx) Try(ctx context.Context, f func() error) error {
	if _, err := tx.Exec(ctx, `SAVEPOINT try`); err != nil {
		return err
	}
	failed := f()
	if failed != nil {
		if _, err := tx.Exec(ctx, `ROLLBACK TO try`); err != nil {
			return errors.Join(failed, err)
		}
	}
	if _, err := tx.Exec(ctx, `RELEASE try`); err != nil {
		return errors.Join(failed, err)
	}
	return failed
}

// Into collects the destinations of One.
func Into(dest ...any) []any { return dest }

// numbered turns $1 into +?1: SQLite binds $1 by name, in order of appearance.
// The sign changes no value, and hides the placeholder from the planner. That
// would plan a statement anew at each run, for what is bound may tell a better
// way, where it stands as a limit or in a condition that no index answers.
func numbered(query string) string { return strings.ReplaceAll(query, "$", "+?") }

// Stamp writes t as the database keeps it: UTC with milliseconds, so that
// text order is time order.
func Stamp(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }

// Time reads what Stamp wrote.
func Time(stamp string) (time.Time, error) {
	t, err := time.Parse("2006-01-02T15:04:05.000Z", stamp)
	if err != nil {
		return t, fault.New(fault.Damaged, "store.bad_time", stamp).WithCause(err)
	}
	return t, nil
}
