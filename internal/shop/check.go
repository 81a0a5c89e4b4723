package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/inventory"
)

// Checked is what Check found.
type Checked struct {
	Findings  []Finding `json:"findings"`
	Movements int64     `json:"movements"` // looked at
	Parts     int64     `json:"parts"`
}

// Finding is something that is wrong, or not known and would mislead.
type Finding struct {
	Kind    string        `json:"kind"`  // "file", "books", "aged", or as catalog.Finding has it
	About   string        `json:"about"` // the thing; empty for the file and the books
	Message fault.Message `json:"message"`
	Mend    fault.Message `json:"hint"` // what mends it
}

// Check compares the ledger with what is kept beside it, asks the database
// about its own order, and looks through the catalog of what the shop uses
// and through the rubber that may be taken for a job.
func (s *Shop) Check(ctx context.Context) (Checked, error) {
	out := Checked{Findings: []Finding{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		for _, look := range []struct {
			kind string
			look func(context.Context, *store.Tx) ([]fault.Message, error)
		}{{"file", sqlite.Check}, {"books", inventory.Check}} {
			found, err := look.look(ctx, tx)
			if err != nil {
				return err
			}
			for _, m := range found {
				out.Findings = append(out.Findings, Finding{Kind: look.kind, Message: m, Mend: fault.Say("shop.damaged.hint")})
			}
		}
		found, err := catalog.Audit(ctx, tx)
		if err != nil {
			return err
		}
		for _, f := range found {
			out.Findings = append(out.Findings, Finding(f))
		}
		aged, err := s.aged(ctx, tx)
		if err != nil {
			return err
		}
		out.Findings = append(out.Findings, aged...)
		_, err = tx.One(ctx, store.Into(&out.Movements, &out.Parts),
			`SELECT (SELECT count(*) FROM movement), (SELECT count(*) FROM part)`)
		return err
	})
	return out, err
}
