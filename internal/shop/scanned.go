package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// partFor finds the part that was typed or scanned: by a number as
// catalog.PartFor does, else by a code that stands for it; how says so.
// Errors: NotFound, Ambiguous.
func partFor(ctx context.Context, tx *store.Tx, text string) (p catalog.Part, how fault.Message, err error) {
	p, how, absent := catalog.PartFor(ctx, tx, text)
	if fault.KindOf(absent) != fault.NotFound {
		return p, how, absent
	}
	code, err := oneCode(text)
	if err != nil {
		return p, how, absent
	}
	link, known, err := catalog.LinkOf(ctx, tx, code)
	if err != nil {
		return p, how, err
	}
	if !known || link.Part == "" {
		return p, how, absent
	}
	p, _, err = catalog.PartByID(ctx, tx, link.Part)
	return p, fault.Say("shop.by_code", text, p.Name()), err
}
