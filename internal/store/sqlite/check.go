package sqlite

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Check asks the database whether its file is whole and every reference leads
// somewhere, and gives what it says.
func Check(ctx context.Context, tx *store.Tx) ([]fault.Message, error) {
	var findings []fault.Message
	err := tx.Each(ctx, func(scan store.Scan) error {
		var said string
		err := scan(&said)
		if said != "ok" {
			findings = append(findings, fault.Say("store.check_file", said))
		}
		return err
	}, `SELECT integrity_check FROM pragma_integrity_check`)
	if err != nil {
		return nil, err
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var table, parent string
		var row int64
		err := scan(&table, &row, &parent)
		findings = append(findings, fault.Say("store.check_reference", table, row, parent))
		return err
	}, `SELECT "table", coalesce(rowid, 0), parent FROM pragma_foreign_key_check`)
	return findings, err
}
