package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Credit is what a supplier paid back for a claim.
type Credit struct {
	Number    int64  // the shop's running number
	Key       string // of the caller, unique
	Content   string // what the key was used for
	Claim     string // id
	Minor     int64  // net, above 0
	Day       string // YYYY-MM-DD
	Note      string // such as the number of the credit note
	Person    string // id
	TakenBack bool   // it was a mistake
}

// CreditByKey gives the credit that was entered under a key. Error: Conflict
// where it was entered with other content.
func CreditByKey(ctx context.Context, tx *store.Tx, key, content string) (c Credit, found bool, err error) {
	found, err = tx.One(ctx, store.Into(&c.Number, &c.Content, &c.Claim, &c.Minor), `SELECT number, content, claim, amount_minor
		FROM credit WHERE key = $1`, key)
	if err == nil && found && c.Content != content {
		err = fault.New(fault.Conflict, "inventory.key_used", key).WithHint("inventory.key_used.hint")
	}
	return c, found, err
}

// Pay enters what a supplier paid back. The claim ends where that is all that was
// expected, or last says that nothing more will come. Errors: Invalid, Conflict
// (it is settled).
func (c Claim) Pay(ctx context.Context, tx *store.Tx, k Credit, last bool) error {
	if k.Minor <= 0 {
		return fault.New(fault.Invalid, "inventory.bad_credit")
	}
	if !c.Open() {
		return c.ended()
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	if k.Key == "" {
		k.Key = id
	}
	if _, err := tx.Exec(ctx, `INSERT INTO credit (number, key, content, claim, amount_minor, day, note, person, at)
		VALUES ((SELECT coalesce(max(number), 0) + 1 FROM credit), $1, $2, $3, $4, $5, $6, $7, $8)`,
		k.Key, k.Content, c.ID, k.Minor, k.Day, k.Note, k.Person, store.Stamp(tx.Now)); err != nil {
		return err
	}
	if !last && (!c.Expected.Known || c.Credited+k.Minor < c.Expected.Minor) {
		return nil
	}
	return c.End(ctx, tx, Credited, k.Person, k.Note)
}

// TakeBack takes the last credit of a claim back, and opens the claim again where
// it had ended by credit. Error: Conflict (there is none).
func (c Claim) TakeBack(ctx context.Context, tx *store.Tx) error {
	n, err := tx.Exec(ctx, `UPDATE credit SET taken_back = $2
		WHERE number = (SELECT max(number) FROM credit WHERE claim = $1 AND taken_back = '')`, c.ID, store.Stamp(tx.Now))
	if err != nil {
		return err
	}
	if n == 0 {
		return fault.New(fault.Conflict, "inventory.no_credit", c.Number)
	}
	if c.Ending == Credited {
		return c.Reopen(ctx, tx)
	}
	return nil
}

// Credits gives what was paid back for a claim, in order, with what was taken
// back.
func (c Claim) Credits(ctx context.Context, tx *store.Tx) ([]Credit, error) {
	var all []Credit
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (k Credit, err error) {
		return k, scan(&k.Number, &k.Claim, &k.Minor, &k.Day, &k.Note, &k.Person, &k.TakenBack)
	}), `SELECT number, claim, amount_minor, day, note, person, taken_back <> '' FROM credit WHERE claim = $1 ORDER BY number`, c.ID)
	return all, err
}
