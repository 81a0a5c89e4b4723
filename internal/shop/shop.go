// Package shop is what a shop can do: one method is one use case and one
// transaction. The command line and the pages call it and show what it
// returns; the JSON of both is the JSON of its result types, whose keys are a
// contract (see DEVELOPERS.md).
//
// A shop is a folder with one database file and the folders of its indexes,
// which hold nothing that cannot be built anew. Results that name a part carry
// its unit, and counts are whole numbers of it; lengths are micrometres beside
// the printed size; money is minor units of the shop's currency. Messages in
// results are rendered by the caller (words.Printer.Fill).
//
// Errors are *fault.Error; a failed method has changed nothing.
package shop

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/search"
)

// file is the name of the database in a shop's folder.
const file = "forkstock.db"

// Shop is an open shop. It is safe for concurrent use.
type Shop struct {
	dir      string
	db       *store.DB
	settings Settings
	opt      Options

	mu      sync.Mutex
	index   *search.Index // opened at the first search
	renewed string        // the last mark to make indexes anew, see Reindex
}

// Options say who opens a shop, and with which clock.
type Options struct {
	By      string           // the person who acts; empty: the one that Init made
	Process string           // kind of process, whose index folder is its own: "command" (default) or "server"
	Clock   func() time.Time // default time.Now
	Random  io.Reader        // for ids; default crypto/rand
	Fresh   bool             // a shop that is filled by this program alone, and thrown away where that fails
	// Synchronous is FULL unless a test proves that the others lose data.
	Synchronous string
	// Watch is told each statement before it runs, for a measurement; it may be nil.
	Watch func(query string, args []any)
}

// Open opens the shop in a folder. Errors: NotFound, Denied, Busy, Damaged.
func Open(ctx context.Context, dir string, opt Options) (*Shop, error) {
	if info, err := os.Stat(dir); err != nil {
		return nil, folderFault(dir, err)
	} else if !info.IsDir() {
		return nil, fault.New(fault.Invalid, "shop.no_folder", dir).WithHint("shop.no_folder.hint")
	}
	if opt.Process == "" {
		opt.Process = "command"
	}
	if opt.Clock == nil {
		opt.Clock = time.Now
	}
	db, err := sqlite.Open(ctx, filepath.Join(dir, file), sqlite.Options{
		Clock: opt.Clock, Random: opt.Random, Fresh: opt.Fresh, Synchronous: opt.Synchronous, Watch: opt.Watch,
		Checkpoints: opt.Process == "server",
	})
	if err != nil {
		return nil, err
	}
	s := &Shop{dir: dir, db: db, opt: opt}
	if s.settings, err = loadSettings(ctx, db); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	s.renewed = s.settings.renewed
	db.SetZone(s.settings.zone)
	if s.opt.By == "" {
		s.opt.By = s.settings.Person
	}
	if err := checkPerson(s.opt.By); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return s, nil
}

// Close closes the shop's files.
func (s *Shop) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.db.Close()
	if s.index != nil {
		err = errors.Join(err, s.index.Close())
	}
	return err
}

// Load runs f in one writing transaction: for a program that fills a whole
// shop, such as the demo. f may set the transaction's time.
func (s *Shop) Load(ctx context.Context, f func(context.Context, *store.Tx, Actor) error) error {
	return s.write(ctx, f)
}

// Actor is who does what a transaction does.
type Actor struct {
	ID, Name string
}

// write runs f in the writing transaction, as the person who opened the shop.
func (s *Shop) write(ctx context.Context, f func(context.Context, *store.Tx, Actor) error) error {
	return s.db.Write(ctx, func(ctx context.Context, tx *store.Tx) error {
		who, err := person(ctx, tx, s.opt.By)
		if err != nil {
			return err
		}
		return f(ctx, tx, who)
	})
}

var personName = regexp.MustCompile(`^[\p{L}\d][\p{L}\d .'_-]{0,59}$`)

func checkPerson(name string) error {
	if !personName.MatchString(name) {
		return fault.New(fault.Invalid, "shop.bad_person", name).WithHint("shop.bad_person.hint")
	}
	return nil
}

// person gives the person of a name, who is remembered from the first act on.
func person(ctx context.Context, tx *store.Tx, name string) (Actor, error) {
	who := Actor{Name: name}
	found, err := tx.One(ctx, store.Into(&who.ID), `SELECT id FROM person WHERE name = $1`, name)
	if err != nil || found {
		return who, err
	}
	if who.ID, err = tx.NewID(); err != nil {
		return who, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ($1, $2, $3)`, who.ID, name, store.Stamp(tx.Now))
	return who, err
}

// day gives the day of t in the shop's zone, YYYY-MM-DD.
func (s *Shop) day(t time.Time) string { return t.In(s.settings.zone).Format(time.DateOnly) }

// trimmed gives text without the space around it.
func trimmed(text string) string { return strings.TrimSpace(text) }

// stampDay gives the day of a store.Stamp in the shop's zone, YYYY-MM-DD; one
// that is no stamp as it stands.
func (s *Shop) stampDay(stamp string) string {
	t, err := store.Time(stamp)
	if err != nil {
		return stamp
	}
	return s.day(t)
}
