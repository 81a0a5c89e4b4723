package catalog

import (
	"context"

	"forkstock/internal/store"
)

// Content is what a kit brings of one part.
type Content struct {
	Part   string // id
	Pieces int64  // of the part's unit
}

// SetContents says what is in a kit, in the given order.
func SetContents(ctx context.Context, tx *store.Tx, kit string, contents []Content) error {
	if _, err := tx.Exec(ctx, `DELETE FROM kit_content WHERE kit = $1`, kit); err != nil {
		return err
	}
	for i, c := range contents {
		if _, err := tx.Exec(ctx, `INSERT INTO kit_content (kit, seq, part, pieces) VALUES ($1, $2, $3, $4)`,
			kit, i+1, c.Part, c.Pieces); err != nil {
			return err
		}
	}
	return nil
}

// Contents gives what is in a kit.
func Contents(ctx context.Context, tx *store.Tx, kit string) ([]Content, error) {
	var all []Content
	err := tx.Each(ctx, func(scan store.Scan) error {
		var c Content
		err := scan(&c.Part, &c.Pieces)
		all = append(all, c)
		return err
	}, `SELECT part, pieces FROM kit_content WHERE kit = $1 ORDER BY seq`, kit)
	return all, err
}

// KitsWith gives the kits that bring a part, by number.
func KitsWith(ctx context.Context, tx *store.Tx, part string) ([]Part, error) {
	return queryParts(ctx, tx, `SELECT`+partColumns+`FROM part p
		WHERE p.id IN (SELECT kit FROM kit_content WHERE part = $1) AND p.merged_into IS NULL ORDER BY p.number_norm, p.maker_norm`, part)
}
