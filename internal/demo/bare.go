package demo

import (
	"context"
	"encoding/json"
	"slices"

	"forkstock/internal/store"
)

// Begin takes the indexes off a database that Enter is about to fill: kept row by
// row they take more time than all the rows. Unique ones come off as well; what
// they forbid is found when End puts them back.
func (l *Large) Begin(ctx context.Context, tx *store.Tx) error {
	var names []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var name, made string
		err := scan(&name, &made)
		names, l.indexes = append(names, name), append(l.indexes, made)
		return err
	}, `SELECT name, sql FROM sqlite_schema WHERE type = 'index' AND sql IS NOT NULL ORDER BY rowid`)
	for _, name := range names {
		if err == nil {
			_, err = tx.Exec(ctx, `DROP INDEX `+name)
		}
	}
	return err
}

// End makes the indexes that Begin took off by the statements that made them, in
// their order, and counts the rows for the planner of queries.
func (l *Large) End(ctx context.Context, tx *store.Tx) error {
	for _, made := range l.indexes {
		if _, err := tx.Exec(ctx, made); err != nil {
			return err
		}
	}
	l.indexes = nil
	_, err := tx.Exec(ctx, `ANALYZE`)
	return err
}

// writeWords writes the words of all items that were entered, in the order of
// their table and with one statement: they are a third of all rows.
func (r *writer) writeWords(ctx context.Context) error {
	slices.SortFunc(r.words, func(a, b [2]string) int { return slices.Compare(a[:], b[:]) })
	rows, err := json.Marshal(slices.Compact(r.words))
	if err == nil {
		_, err = r.tx.Exec(ctx, `INSERT INTO item_word (word, item) SELECT value ->> 0, value ->> 1 FROM json_each($1)`, string(rows))
	}
	return err
}
