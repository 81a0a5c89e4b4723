package inventory

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// Going by the looks of a text. A code of which nobody has said anything may be
// of a kind that is no part, or a label of a supplier with a part number in it:
// then it is filed under that number, and what the number stands for counts as
// often as the label says. That is done where one thing only is meant. Two
// suppliers' rules that read a label, or a rule where the text looks like no
// part, too, are asked about, never guessed; and so is no part where the text
// is a number that the shop knows.

// unread takes back what looks made of a scan before.
func (s *Scan) unread() {
	if s.Rule != 0 {
		s.Code, _ = gs1.Key(s.Symbology, s.Text)
		s.Rule, s.Times, s.Supplier = 0, 1, s.from
	}
}

// ByLooks reports whether the looks of a scan may say what it is: not where its
// digits are a GTIN, or can be, and nothing says that they are not.
func (s Scan) ByLooks() bool {
	if s.Rule != 0 {
		return true
	}
	if s.Code != strings.TrimSpace(s.Text) && !gs1.Valid(strings.TrimSpace(s.Text)) {
		return false // elements say what it is
	}
	switch s.Symbology {
	case "ean13", "ean8", "upca", "upce", "itf":
		return false
	case "":
		return !gs1.Valid(s.Code) && len(gs1.Readings(s.Code)) == 0
	}
	return true
}

// look goes by the looks of a scan.
func look(ctx context.Context, tx *store.Tx, s *Scan) (link catalog.Link, known bool, err error) {
	labels, err := catalog.ReadLabel(ctx, tx, s.Supplier, s.Symbology, s.Text)
	if err != nil {
		return link, false, err
	}
	_, stray, err := catalog.StrayOf(ctx, tx, s.Symbology, s.Text)
	switch {
	case err != nil || len(labels) > 1 || len(labels) == 1 && stray:
		return link, false, err
	case stray:
		number, err := catalog.IsNumber(ctx, tx, s.Code)
		return catalog.Link{Code: s.Code}, !number, err
	case len(labels) == 0:
		return link, false, nil
	}
	label := labels[0]
	s.Rule, s.Supplier, s.Code, s.Times = label.Rule.Number, label.Rule.Supplier, label.Number, max(label.Pieces, 1)
	return catalog.LinkFrom(ctx, tx, s.Code, s.Supplier)
}

// Resettle settles the scans anew that wait or were no part, and that which
// picks: after something was said of looks, or of a delivery.
func Resettle(ctx context.Context, tx *store.Tx, which func(Scan) bool) ([]Scan, error) {
	all, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.state IN ('unknown', 'ignored') ORDER BY s.seq`)
	if err != nil {
		return nil, err
	}
	var settled []Scan
	for _, s := range all {
		if !which(s) {
			continue
		}
		was := s.State
		if s, err = Settle(ctx, tx, s); err != nil {
			return nil, err
		}
		if s.State != was {
			settled = append(settled, s)
		}
	}
	return settled, nil
}

// LastScans gives the last scans, the newest first, each text once.
func LastScans(ctx context.Context, tx *store.Tx, most int) ([]Scan, error) {
	return queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.seq IN (SELECT max(seq) FROM
		(SELECT seq, symbology, text FROM scan ORDER BY seq DESC LIMIT 2000) GROUP BY symbology, text ORDER BY max(seq) DESC LIMIT $1)
		ORDER BY s.seq DESC`, most)
}

// IgnoredText is a text whose scans are no part.
type IgnoredText struct {
	Symbology, Text, Code string
	Count                 int
}

// IgnoredTexts gives the texts whose scans are no part, by text.
func IgnoredTexts(ctx context.Context, tx *store.Tx) ([]IgnoredText, error) {
	var all []IgnoredText
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (i IgnoredText, err error) {
		return i, scan(&i.Symbology, &i.Text, &i.Code, &i.Count)
	}), `SELECT symbology, text, code, count(*) FROM scan WHERE state = 'ignored' GROUP BY symbology, text, code ORDER BY text, symbology`)
	return all, err
}
