// Package sqlite opens the shop's database file with SQLite.
//
// The settings ride in the data source name, because a PRAGMA that is run once
// reaches one connection of a pool only; Open reads them back. Commits are
// synced to the disk before they are acknowledged (synchronous FULL; the
// driver's own default is NORMAL). Readers have a pool and a name of their
// own: a query-only connection cannot begin an immediate transaction.
package sqlite

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"io"
	"io/fs"
	"net/url"
	"os"
	"strconv"
	"syscall"
	"time"

	"github.com/mattn/go-sqlite3"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Options say how to open a file. The zero value opens an existing one with
// the system's clock.
type Options struct {
	Create bool             // make the file; it must not exist yet
	Clock  func() time.Time // default time.Now
	Random io.Reader        // for ids; default crypto/rand
	// Synchronous is FULL unless a test proves that the others lose data.
	Synchronous string
	// Fresh is for a file that this program alone fills and throws away where that fails: it is quicker, and what fails
	// half way leaves the file broken. Opened without it the next time, the file is as any other.
	Fresh bool
	Watch func(query string, args []any) // is told each statement before it runs; may be nil
	// Checkpoints is for a program that calls DB.Checkpoint every now and then: its commits leave that alone until the
	// log is twenty times as long as they would usually. One commit beside a large import took up to nine seconds.
	Checkpoints bool
}

const rarely = 20_000 // pages of the log; usually 1000

const readers = 4

// Open opens the database file at path and brings it to the newest version.
// Errors: NotFound, Conflict (Create and it exists), Denied, Busy, Damaged
// (no database, or of a newer forkstock), Full.
func Open(ctx context.Context, path string, opt Options) (_ *store.DB, err error) {
	if opt.Clock == nil {
		opt.Clock = time.Now
	}
	if opt.Random == nil {
		opt.Random = rand.Reader
	}
	if opt.Synchronous == "" {
		opt.Synchronous = "FULL"
	}
	if err := prepare(path, opt.Create); err != nil {
		return nil, err
	}
	journal, cache := "wal", "-32768" // KiB; with the usual 2 MB a long list spills and reads its indexes over and over
	if opt.Fresh {
		journal, cache, opt.Synchronous = "off", "-400000", "OFF"
	}
	writer, err := sql.Open("sqlite3", name(path, url.Values{
		"_journal_mode": {journal}, "_synchronous": {opt.Synchronous}, "_txlock": {"immediate"}, "_cache_size": {cache},
	}))
	if err != nil {
		return nil, Explain(err)
	}
	writer.SetMaxOpenConns(1)
	reader, err := sql.Open("sqlite3", name(path, url.Values{
		"_query_only": {"on"}, "_synchronous": {opt.Synchronous}, // of a checkpoint
		"_cache_size": {"-4096"}, // KiB; with the usual 2 MB a search among 100,000 parts reads most pages from the file again
	}))
	if err != nil {
		return nil, errors.Join(Explain(err), writer.Close())
	}
	reader.SetMaxOpenConns(readers)
	db := store.New(writer, reader, store.Options{Clock: opt.Clock, Random: opt.Random, Explain: Explain, Watch: opt.Watch, Checkpoint: "PRAGMA wal_checkpoint(PASSIVE)"})
	if err := ready(ctx, writer, reader, journal, opt.Synchronous); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	settle := "PRAGMA busy_timeout = 5" // store.DB tries again
	if opt.Checkpoints {
		settle += "; PRAGMA wal_autocheckpoint = " + strconv.Itoa(rarely)
	}
	if _, err := writer.ExecContext(ctx, settle); err != nil {
		return nil, errors.Join(Explain(err), db.Close())
	}
	return db, nil
}

// prepare makes the file where asked, and tells early what is wrong with one
// that is there.
func prepare(path string, create bool) error {
	flags := os.O_RDWR
	if create {
		flags |= os.O_CREATE | os.O_EXCL
	}
	f, err := os.OpenFile(path, flags, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return fault.New(fault.Conflict, "store.exists", path).WithCause(err)
	case errors.Is(err, fs.ErrNotExist):
		return fault.New(fault.NotFound, "store.absent", path).WithHint("store.absent.hint").WithCause(err)
	case errors.Is(err, fs.ErrPermission):
		return fault.New(fault.Denied, "store.denied", path).WithHint("store.denied.hint", path).WithCause(err)
	case errors.Is(err, syscall.ENOSPC):
		return fault.New(fault.Full, "store.full").WithHint("store.full.hint").WithCause(err)
	case err != nil: // a folder by that name, a file system that only reads
		return fault.New(fault.Denied, "store.denied", path).WithHint("store.denied.hint", path).WithCause(err)
	}
	return f.Close()
}

// Alone makes sure that no other program has the file open. Error: Busy.
func Alone(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite3", name(path, url.Values{"_busy_timeout": {"200"}}))
	if err != nil {
		return Explain(err)
	}
	defer db.Close()
	// The write-ahead log can be given up by one who is alone only.
	var mode string
	if err := db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode); err != nil {
		return Explain(err)
	}
	if mode != "delete" {
		return fault.New(fault.Busy, "store.busy").WithHint("store.busy.hint")
	}
	return nil
}

// name gives the data source name of path with what both pools need and more.
func name(path string, more url.Values) string {
	more.Set("mode", "rw")
	more.Set("_stmt_cache_size", "128") // preparing took a third of the time of a large delivery
	if !more.Has("_busy_timeout") {
		more.Set("_busy_timeout", "10000")
	}
	more.Set("_foreign_keys", "on")
	more.Set("_recursive_triggers", "on")
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: path}).EscapedPath(), RawQuery: more.Encode()}).String()
}

// ready migrates through the writer, and reads the settings of both pools back.
func ready(ctx context.Context, writer, reader *sql.DB, journal, synchronous string) error {
	if err := migrate(ctx, writer); err != nil {
		return err
	}
	level := map[string]string{"OFF": "0", "NORMAL": "1", "FULL": "2"}[synchronous]
	for _, want := range []struct {
		pool          *sql.DB
		pragma, value string
	}{
		{writer, "journal_mode", journal},
		{writer, "synchronous", level},
		{writer, "foreign_keys", "1"},
		{writer, "recursive_triggers", "1"},
		{writer, "query_only", "0"},
		{reader, "query_only", "1"},
	} {
		var got string
		if err := want.pool.QueryRowContext(ctx, "PRAGMA "+want.pragma).Scan(&got); err != nil {
			return Explain(err)
		}
		if got != want.value {
			return fault.New(fault.Damaged, "store.setting", want.pragma, got, want.value)
		}
	}
	return nil
}

// migrate brings the file forward, each step in a transaction of its own.
func migrate(ctx context.Context, writer *sql.DB) error {
	steps, err := store.Migrations()
	if err != nil {
		return Explain(err)
	}
	for {
		var version int
		if err := writer.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version); err != nil {
			return Explain(err)
		}
		if version == len(steps) {
			return nil
		}
		if version > len(steps) {
			return fault.New(fault.Damaged, "store.newer", version, len(steps)).WithHint("store.newer.hint")
		}
		if err := step(ctx, writer, version, steps[version]); err != nil {
			return err
		}
	}
}

// step takes one step. Foreign keys are off while it runs, so that a step may
// make a table anew beside its old self (https://sqlite.org/lang_altertable.html,
// section 7), and are looked at before it counts.
func step(ctx context.Context, writer *sql.DB, version int, query string) error {
	conn, err := writer.Conn(ctx)
	if err != nil {
		return Explain(err)
	}
	defer conn.Close()
	if _, err := conn.ExecContext(ctx, "PRAGMA foreign_keys = OFF"); err != nil { // takes no effect inside a transaction
		return Explain(err)
	}
	err = stepAlone(ctx, conn, version, query)
	_, on := conn.ExecContext(context.WithoutCancel(ctx), "PRAGMA foreign_keys = ON")
	return errors.Join(err, Explain(on))
}

func stepAlone(ctx context.Context, conn *sql.Conn, version int, query string) error {
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return Explain(err)
	}
	defer tx.Rollback()
	// Another program may have taken the step while this one waited.
	var now int
	if err := tx.QueryRowContext(ctx, "PRAGMA user_version").Scan(&now); err != nil || now != version {
		return Explain(err)
	}
	if _, err := tx.ExecContext(ctx, query); err != nil {
		return Explain(err)
	}
	var lost int
	if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM pragma_foreign_key_check").Scan(&lost); err != nil {
		return Explain(err)
	}
	if lost > 0 {
		return fault.New(fault.Damaged, "store.damaged").WithHint("store.damaged.hint")
	}
	if _, err := tx.ExecContext(ctx, "PRAGMA user_version = "+strconv.Itoa(version+1)); err != nil {
		return Explain(err)
	}
	return Explain(tx.Commit())
}

// Explain turns an error of the driver into a *fault.Error by its number. Any
// other error passes through; nil stays nil.
func Explain(err error) error {
	driver, ok := errors.AsType[sqlite3.Error](err)
	if !ok {
		return err
	}
	e := fault.New(fault.Internal, "internal").WithHint("internal.hint")
	switch code := driver.Code; {
	case code == sqlite3.ErrFull, driver.SystemErrno == syscall.ENOSPC, driver.SystemErrno == syscall.EDQUOT:
		e = fault.New(fault.Full, "store.full").WithHint("store.full.hint")
	case code == sqlite3.ErrIoErr:
		e = fault.New(fault.Damaged, "store.disk").WithHint("store.disk.hint")
	case code == sqlite3.ErrBusy, code == sqlite3.ErrLocked:
		e = fault.New(fault.Busy, "store.busy").WithHint("store.busy.hint")
	case code == sqlite3.ErrCorrupt, code == sqlite3.ErrNotADB:
		e = fault.New(fault.Damaged, "store.damaged").WithHint("store.damaged.hint")
	case code == sqlite3.ErrReadonly, code == sqlite3.ErrPerm, code == sqlite3.ErrCantOpen, code == sqlite3.ErrAuth:
		e = fault.New(fault.Denied, "store.readonly").WithHint("store.readonly.hint")
	}
	return e.WithCause(err)
}
