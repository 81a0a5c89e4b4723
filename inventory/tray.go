package inventory

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Tray is a bin that holds what waits for a job. What lies in it is on hand and
// nobody else's: picking for other jobs never takes from it, its job takes from
// it first.
type Tray struct {
	ID  string
	Bin Bin
	Job string
}

func queryTrays(ctx context.Context, tx *store.Tx, where, arg string) ([]Tray, error) {
	var all []Tray
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (t Tray, err error) {
		return t, scan(&t.ID, &t.Job, &t.Bin.ID, &t.Bin.Name, &t.Bin.Kind)
	}), `SELECT t.id, t.job, b.id, b.name, b.kind FROM tray t JOIN bin b ON b.id = t.bin
		WHERE t.ended = '' AND `+where+` ORDER BY t.job, t.id`, arg)
	return all, err
}

func oneTray(ctx context.Context, tx *store.Tx, where, arg string) (Tray, bool, error) {
	all, err := queryTrays(ctx, tx, where, arg)
	if err != nil || len(all) == 0 {
		return Tray{}, false, err
	}
	return all[0], true, nil
}

// Trays gives the trays that are some job's, by job.
func Trays(ctx context.Context, tx *store.Tx) ([]Tray, error) {
	return queryTrays(ctx, tx, `$1 = ''`, "")
}

// TrayOf gives the tray of a job; found is false where it has none.
func TrayOf(ctx context.Context, tx *store.Tx, job string) (t Tray, found bool, err error) {
	return oneTray(ctx, tx, `t.job = $1`, job)
}

// TrayIn gives the job's tray that a bin (id) is; found is false for any other
// bin.
func TrayIn(ctx context.Context, tx *store.Tx, bin string) (t Tray, found bool, err error) {
	return oneTray(ctx, tx, `t.bin = $1`, bin)
}

// GiveTray gives a job a tray: the bin of that name, a new one where there is
// none; without a name an empty tray that is no job's, else a new one. A job that has one keeps it. Errors: Invalid (no job; the bin is no
// tray; a name that no label can carry), Conflict (it is another job's; the job
// has another).
func GiveTray(ctx context.Context, tx *store.Tx, job, bin, person string) (Tray, error) {
	old, found, err := TrayOf(ctx, tx, job)
	if err != nil {
		return old, err
	}
	if found && bin != "" && !strings.EqualFold(old.Bin.Name, bin) {
		return old, fault.New(fault.Conflict, "inventory.tray_other", job, old.Bin.Name).WithHint("inventory.tray_other.hint")
	}
	if found {
		return old, nil
	}
	t := Tray{Job: job}
	if t.Bin, err = trayBin(ctx, tx, bin); err != nil {
		return t, err
	}
	if t.ID, err = tx.NewID(); err != nil {
		return t, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO tray (id, bin, job, person, at) VALUES ($1, $2, $3, $4, $5)`,
		t.ID, t.Bin.ID, job, person, store.Stamp(tx.Now))
	return t, err
}

// trayBin finds or makes the bin of a new tray.
func trayBin(ctx context.Context, tx *store.Tx, name string) (Bin, error) {
	if name == "" {
		var b Bin
		found, err := tx.One(ctx, store.Into(&b.ID, &b.Name, &b.Kind), `SELECT id, name, kind FROM bin b WHERE kind = 'tray'
			AND NOT EXISTS (SELECT 1 FROM tray t WHERE t.bin = b.id AND t.ended = '')
			AND NOT EXISTS (SELECT 1 FROM balance a WHERE a.bin = b.id AND a.amount > 0) ORDER BY name_norm LIMIT 1`)
		if err != nil || found {
			return b, err
		}
		return newTrayBin(ctx, tx)
	}
	b, found, err := binNamed(ctx, tx, name)
	switch {
	case err != nil:
		return b, err
	case !found:
		return AddBin(ctx, tx, Bin{Name: name, Kind: "tray"})
	case b.Kind != "tray":
		return b, fault.New(fault.Invalid, "inventory.no_tray", b.Name).WithHint("inventory.no_tray.hint")
	}
	if t, taken, err := TrayIn(ctx, tx, b.ID); err != nil {
		return b, err
	} else if taken {
		return b, fault.New(fault.Conflict, "inventory.tray_taken", b.Name, t.Job).WithHint("inventory.tray_taken.hint")
	}
	return b, nil
}

// newTrayBin adds the next of TRAY-1, TRAY-2 and so on. They are not named for
// the job: a tray, and the label on it, goes on to the next one.
func newTrayBin(ctx context.Context, tx *store.Tx) (Bin, error) {
	for n := 1; ; n++ {
		name := "TRAY-" + strconv.Itoa(n)
		_, taken, err := binNamed(ctx, tx, name)
		if err != nil {
			return Bin{}, err
		}
		if !taken {
			return AddBin(ctx, tx, Bin{Name: name, Kind: "tray"})
		}
	}
}

// End frees a tray for another job. Error: Conflict where something lies in it.
func (t Tray) End(ctx context.Context, tx *store.Tx) error {
	lines, err := StockIn(ctx, tx, t.Bin.ID)
	if err != nil {
		return err
	}
	if len(lines) > 0 {
		return fault.New(fault.Conflict, "inventory.tray_full", t.Bin.Name)
	}
	_, err = tx.Exec(ctx, `UPDATE tray SET ended = $2 WHERE id = $1`, t.ID, store.Stamp(tx.Now))
	return err
}

// othersTray refuses to undo what took pieces out of a tray that has become
// another job's since: they would come back to that one. Error: Conflict.
func (p Posting) othersTray(ctx context.Context, tx *store.Tx) error {
	for _, m := range p.Movements {
		if m.Amount > 0 {
			continue
		}
		t, found, err := TrayIn(ctx, tx, m.Bin)
		if err != nil {
			return err
		}
		// What cleared a tray names its job for the reason only.
		if found && t.Job != p.Job && t.Job != p.Reason {
			return fault.New(fault.Conflict, "inventory.tray_passed", t.Bin.Name, t.Job).WithHint("inventory.tray_passed.hint")
		}
	}
	return nil
}

// PickFor is Pick for a job, from anywhere: from the job's tray first.
func PickFor(ctx context.Context, tx *store.Tx, part string, amount int64, lot, job string) ([]Flow, error) {
	t, found, err := TrayOf(ctx, tx, job)
	if err != nil {
		return nil, err
	}
	own := func(b Bin) bool { return found && b.ID == t.Bin.ID }
	return picking{part: part, amount: amount, lot: lot, use: true, job: job}.from(ctx, tx, own, Bin.Free)
}

// InTray gives how much of a part lies in the tray of a job.
func InTray(ctx context.Context, tx *store.Tx, part, job string) (n int64, err error) {
	_, err = tx.One(ctx, store.Into(&n), `SELECT coalesce(sum(a.amount), 0) FROM tray t JOIN balance a ON a.bin = t.bin
		WHERE t.job = $1 AND t.ended = '' AND a.part = $2`, job, part)
	return n, err
}

// ToPut gives the pieces of a part that are to go into the tray of a job, at most
// amount: what came on an order for the job first, as that is what the bench has
// in hand, then in the order of Stock.
func ToPut(ctx context.Context, tx *store.Tx, part string, amount int64, job string) ([]Line, error) {
	lines, err := Stock(ctx, tx, part)
	if err != nil {
		return nil, err
	}
	type place struct{ lot, bin string }
	came := map[place]bool{} // without a bin for the lot wherever it lies by now
	err = tx.Each(ctx, func(scan store.Scan) error {
		var p place
		err := scan(&p.lot, &p.bin)
		came[p], came[place{lot: p.lot}] = true, true
		return err
	}, `SELECT DISTINCT m.lot, m.bin FROM purchase_line l JOIN arrival a ON a.line = l.id JOIN movement m ON m.posting = a.posting
		WHERE l.part = $1 AND l.job = $2 ORDER BY m.lot, m.bin`, part, job)
	rank := func(l Line) int {
		switch {
		case came[place{l.Lot.ID, l.Bin.ID}]:
			return 0
		case came[place{lot: l.Lot.ID}]:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(lines, func(a, b Line) int { return rank(a) - rank(b) })
	var all []Line
	for _, l := range lines {
		if l.Amount = min(l.Amount, amount); l.Amount > 0 && l.Bin.Free() {
			all, amount = append(all, l), amount-l.Amount
		}
	}
	return all, err
}
