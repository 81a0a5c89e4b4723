// Package inventory keeps the stock ledger: postings and the movements they
// are made of, bins, lots, deliveries and what was scanned for them.
//
// The ledger is append-only. On hand is the sum of movements, kept beside them
// by the database; it never goes below zero. A mistake is corrected by a new
// posting that names the one it corrects. Amounts are whole numbers of the
// part's unit; values are minor units of the shop's currency, and a value that
// is not known is kept apart from 0.
//
// Every posting carries the caller's key. The same key again posts nothing and
// gives the first answer; with other content it is refused.
//
// Functions take the transaction of their caller and never begin one.
//
// Non-goals: what fits what (package catalog), reading pictures (package
// scanner), what to order (package reorder below).
package inventory

import "forkstock/internal/store"

// Kinds of posting.
const (
	Receive      = "receive"
	Issue        = "issue"         // taken for a job
	Return       = "return"        // put back
	Scrap        = "scrap"         // thrown away
	Move         = "move"          // from bin to bin
	Found        = "found"         // in the hand though the book said no; for review
	Undo         = "undo"          // the reverse of another posting
	Opening      = "opening"       // what was there when the book began
	Sale         = "sale"          // over the counter
	SendBack     = "send_back"     // to the supplier
	Lend         = "lend"          // to another shop
	LentBack     = "lent_back"     // what was lent came back
	Borrow       = "borrow"        // from another shop
	BorrowedBack = "borrowed_back" // what was borrowed went back
	Count        = "count"         // the difference that a count found
	Unpacking    = "unpack"        // a kit or pair opened into singles
	Revaluing    = "revalue"       // the same pieces at what they did cost
)

// collect gathers the rows of a query.
func collect[T any](rows *[]T, read func(store.Scan) (T, error)) func(store.Scan) error {
	return func(scan store.Scan) error {
		row, err := read(scan)
		*rows = append(*rows, row)
		return err
	}
}
