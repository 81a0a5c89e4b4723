package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Tally is a count of what lies in bins. Its numbers are kept beside the ledger
// until they are reviewed; posting them enters each difference by itself.
//
// A number belongs to the moment at which it was counted: what moved in the bin
// afterwards is added to it, so that nobody has to stand still while the shop is
// counted.
type Tally struct {
	ID     string
	Name   string
	Person string // id
	Begun  string // store.Stamp
	State  string // "open", "posted", "dropped"
	Ended  string
}

// TallyLine is what was counted of a part in a bin, beside what the book has.
type TallyLine struct {
	Part, Bin string // ids
	BinName   string
	Counted   int64 // with what moved since; of the part's unit
	Book      int64 // that lies there by the book, now
	Seen      bool  // false: the bin was looked through, and it was not there; then Counted is what came since
	Moved     bool  // something moved between two scans of it: count it again

	Reason, Posting string // of a difference that was posted; the posting's id
}

// Difference gives what the book is to be changed by.
func (l TallyLine) Difference() int64 { return l.Counted - l.Book }

// Tallies gives counts of a state, the newest first.
func Tallies(ctx context.Context, tx *store.Tx, state string) ([]Tally, error) {
	var all []Tally
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (t Tally, err error) {
		return t, scan(&t.ID, &t.Name, &t.Person, &t.Begun, &t.State, &t.Ended)
	}), `SELECT id, name, person, begun, state, ended FROM tally WHERE $1 = '' OR state = $1 ORDER BY begun DESC, id DESC`, state)
	return all, err
}

// TallyEnded gives the last count of a name that was ended. Error: NotFound.
func TallyEnded(ctx context.Context, tx *store.Tx, name string) (t Tally, err error) {
	found, err := tx.One(ctx, store.Into(&t.ID, &t.Name, &t.Person, &t.Begun, &t.State, &t.Ended), `SELECT id, name, person, begun, state, ended
		FROM tally WHERE name = $1 AND state <> 'open' ORDER BY ended DESC, id DESC LIMIT 1`, name)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.tally_absent", name).WithHint("inventory.tally_absent.hint")
	}
	return t, err
}

// TallyNamed gives the open count of a name. Error: NotFound.
func TallyNamed(ctx context.Context, tx *store.Tx, name string) (t Tally, err error) {
	found, err := tx.One(ctx, store.Into(&t.ID, &t.Name, &t.Person, &t.Begun, &t.State, &t.Ended),
		`SELECT id, name, person, begun, state, ended FROM tally WHERE name = $1 AND state = 'open'`, name)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.tally_absent", name).WithHint("inventory.tally_absent.hint")
	}
	return t, err
}

// BeginTally begins a count. Errors: Invalid (the name), Conflict (one of that
// name is open).
func BeginTally(ctx context.Context, tx *store.Tx, name, person string) (Tally, error) {
	t := Tally{Name: name, Person: person, Begun: store.Stamp(tx.Now), State: "open"}
	if !deliveryName.MatchString(name) {
		return t, fault.New(fault.Invalid, "inventory.bad_delivery", name).WithHint("inventory.bad_delivery.hint")
	}
	_, err := TallyNamed(ctx, tx, name)
	if err == nil {
		return t, fault.New(fault.Conflict, "inventory.tally_twice", name)
	} else if fault.KindOf(err) != fault.NotFound {
		return t, err
	}
	if t.ID, err = tx.NewID(); err != nil {
		return t, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO tally (id, name, person, begun, state) VALUES ($1, $2, $3, $4, $5)`,
		t.ID, t.Name, t.Person, t.Begun, t.State)
	return t, err
}

// Open says that a bin is being counted, or with done that it was looked
// through to the end, as of now: what is put there later was not seen. A bin
// that was looked through stays so.
func (t Tally) Open(ctx context.Context, tx *store.Tx, bin string, done bool) error {
	_, err := tx.Exec(ctx, `INSERT INTO tally_bin (tally, bin, done, mark)
		VALUES ($1, $2, $3, (SELECT coalesce(max(seq), 0) FROM movement))
		ON CONFLICT (tally, bin) DO UPDATE SET done = 1, mark = excluded.mark WHERE excluded.done = 1`, t.ID, bin, done)
	return err
}

// TallyBin is a bin that somebody counts in, or has looked through.
type TallyBin struct {
	Bin, Name string // id and name
	Done      bool   // looked through to the end
}

// Bins gives the bins that were begun, by name.
func (t Tally) Bins(ctx context.Context, tx *store.Tx) ([]TallyBin, error) {
	var all []TallyBin
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (b TallyBin, err error) {
		return b, scan(&b.Bin, &b.Name, &b.Done)
	}), `SELECT b.id, b.name, t.done FROM tally_bin t JOIN bin b ON b.id = t.bin WHERE t.tally = $1 ORDER BY b.name_norm`, t.ID)
	return all, err
}

// Once reports whether a key was not used in the count before, and keeps it.
func (t Tally) Once(ctx context.Context, tx *store.Tx, key string) (bool, error) {
	n, err := tx.Exec(ctx, `INSERT INTO tally_scan (tally, key) VALUES ($1, $2) ON CONFLICT (tally, key) DO NOTHING`, t.ID, key)
	return n > 0, err
}

// Set says how much of a part lies in a bin at this moment.
func (t Tally) Set(ctx context.Context, tx *store.Tx, bin, part, person string, amount int64) error {
	if amount < 0 {
		return fault.New(fault.Invalid, "inventory.bad_amount", amount)
	}
	_, err := tx.Exec(ctx, `INSERT INTO tally_line (tally, bin, part, amount, mark, person, at)
		VALUES ($1, $2, $3, $4, (SELECT coalesce(max(seq), 0) FROM movement), $5, $6)
		ON CONFLICT (tally, bin, part) DO UPDATE SET amount = excluded.amount, mark = excluded.mark, moved = 0,
			person = excluded.person, at = excluded.at`, t.ID, bin, part, amount, person, store.Stamp(tx.Now))
	return err
}

// Add counts one more pack of a part in a bin. The same key again counts
// nothing, and counted is false.
func (t Tally) Add(ctx context.Context, tx *store.Tx, bin, part, person, key string, amount int64) (counted bool, err error) {
	if fresh, err := t.Once(ctx, tx, key); err != nil || !fresh {
		return false, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO tally_line (tally, bin, part, amount, mark, person, at)
		VALUES ($1, $2, $3, $4, (SELECT coalesce(max(seq), 0) FROM movement), $5, $6)
		ON CONFLICT (tally, bin, part) DO UPDATE SET amount = amount + excluded.amount, mark = excluded.mark,
			moved = moved OR EXISTS (SELECT 1 FROM movement m WHERE m.part = excluded.part AND m.bin = excluded.bin AND m.seq > tally_line.mark),
			person = excluded.person, at = excluded.at`, t.ID, bin, part, amount, person, store.Stamp(tx.Now))
	return true, err
}

// Lines gives what was counted beside what the book has, and what the book has
// in the bins that were looked through and nobody counted.
func (t Tally) Lines(ctx context.Context, tx *store.Tx) ([]TallyLine, error) {
	var all []TallyLine
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (l TallyLine, err error) {
		return l, scan(&l.Part, &l.Bin, &l.BinName, &l.Counted, &l.Book, &l.Seen, &l.Moved)
	}), `SELECT l.part, l.bin, b.name, max(0, l.amount + (SELECT coalesce(sum(m.amount), 0) FROM movement m
				WHERE m.part = l.part AND m.bin = l.bin AND m.seq > l.mark)),
			(SELECT coalesce(sum(a.amount), 0) FROM balance a WHERE a.part = l.part AND a.bin = l.bin), 1, l.moved
		FROM tally_line l JOIN bin b ON b.id = l.bin WHERE l.tally = $1
		UNION ALL
		SELECT a.part, a.bin, b.name, max(0, (SELECT coalesce(sum(m.amount), 0) FROM movement m
				WHERE m.part = a.part AND m.bin = a.bin AND m.seq > t.mark)), sum(a.amount), 0, 0
		FROM tally_bin t JOIN balance a ON a.bin = t.bin JOIN bin b ON b.id = a.bin
		WHERE t.tally = $1 AND t.done = 1 AND a.amount > 0
			AND NOT EXISTS (SELECT 1 FROM tally_line l WHERE l.tally = t.tally AND l.bin = a.bin AND l.part = a.part)
		GROUP BY a.part, a.bin, b.name ORDER BY 3, 1`, t.ID)
	return all, err
}

// Posted gives the differences that were posted, beside what the book had then.
func (t Tally) Posted(ctx context.Context, tx *store.Tx) ([]TallyLine, error) {
	var all []TallyLine
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (l TallyLine, err error) {
		err = scan(&l.Part, &l.Bin, &l.BinName, &l.Counted, &l.Book, &l.Reason, &l.Posting)
		l.Seen = true
		l.Counted += l.Book
		return l, err
	}), `SELECT d.part, d.bin, b.name, d.difference, (SELECT coalesce(sum(m.amount), 0) FROM movement m
				WHERE m.part = d.part AND m.bin = d.bin AND m.seq < d.first), d.reason, d.posting
		FROM (SELECT m.part, m.bin, sum(m.amount) AS difference, min(m.seq) AS first, p.reason, p.id AS posting
			FROM posting p JOIN movement m ON m.posting = p.id WHERE p.tally = $1 AND p.kind = 'count' GROUP BY p.id, m.part, m.bin) d
		JOIN bin b ON b.id = d.bin ORDER BY d.first`, t.ID)
	return all, err
}

// Post enters the differences, each as a posting of its own with its reason, and
// ends the count. Error: Conflict where something moved between two scans of a
// line.
func (t Tally) Post(ctx context.Context, tx *store.Tx, person string, reason func(TallyLine) string) ([]Posting, error) {
	lines, err := t.Lines(ctx, tx)
	if err != nil {
		return nil, err
	}
	var all []Posting
	for _, l := range lines {
		if l.Moved {
			return nil, fault.New(fault.Conflict, "inventory.tally_moved", l.BinName).WithHint("inventory.tally_moved.hint")
		}
		flows, err := l.flows(ctx, tx)
		if err != nil {
			return nil, err
		}
		if len(flows) == 0 {
			continue
		}
		p, err := Post(ctx, tx, Posting{Kind: Count, Person: person, Tally: t.ID, Reason: reason(l)}, flows)
		if err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	return all, t.end(ctx, tx, "posted")
}

// Drop ends a count without posting anything.
func (t Tally) Drop(ctx context.Context, tx *store.Tx) error { return t.end(ctx, tx, "dropped") }

func (t Tally) end(ctx context.Context, tx *store.Tx, state string) error {
	_, err := tx.Exec(ctx, `UPDATE tally SET state = $2, ended = $3 WHERE id = $1`, t.ID, state, store.Stamp(tx.Now))
	return err
}

// flows gives how the book is brought to what was counted: what is too much by
// the book goes from the lots that are used first, what is too little comes to
// the lot that lies there longest, at what the pieces are worth.
func (l TallyLine) flows(ctx context.Context, tx *store.Tx) ([]Flow, error) {
	difference := l.Difference()
	if difference < 0 {
		return PickHeld(ctx, tx, l.Part, -difference, l.Bin, "")
	}
	if difference == 0 {
		return nil, nil
	}
	stock, err := Stock(ctx, tx, l.Part)
	if err != nil {
		return nil, err
	}
	lot := ""
	for _, s := range stock {
		if s.Bin.ID == l.Bin && lot == "" {
			lot = s.Lot.ID
		}
	}
	if lot == "" {
		made, err := LotOf(ctx, tx, Lot{Part: l.Part})
		if err != nil {
			return nil, err
		}
		lot = made.ID
	}
	worth, err := Worth(ctx, tx, l.Part, difference)
	return []Flow{{Part: l.Part, Lot: lot, To: l.Bin, Amount: difference, Value: worth}}, err
}
