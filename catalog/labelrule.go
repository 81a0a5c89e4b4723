package catalog

import (
	"context"
	"encoding/json"

	"forkstock/catalog/pattern"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// A LabelRule says which characters on a supplier's labels are the part number
// and, where the label says so, how many are in the pack.
type LabelRule struct {
	Number       int64  // what the shop calls it
	Supplier     string // id
	SupplierName string // given by queries
	pattern.Rule
	Example string // the scan that was shown
	Person  string // name, given by queries
	At      string // store.Stamp
}

// AddLabelRule keeps a rule. Error: Conflict where the supplier has it already.
func AddLabelRule(ctx context.Context, tx *store.Tx, r LabelRule, person string) (LabelRule, error) {
	all, err := LabelRules(ctx, tx, r.Supplier)
	if err != nil {
		return r, err
	}
	for _, o := range all {
		if o.Rule == r.Rule {
			return r, fault.New(fault.Conflict, "catalog.label_rule_twice", o.SupplierName, o.Number)
		}
	}
	if _, err := tx.One(ctx, store.Into(&r.Number), `SELECT coalesce(max(number), 0) + 1 FROM label_rule`); err != nil {
		return r, err
	}
	part, pieces, err := spans(r.Rule)
	if err != nil {
		return r, err
	}
	r.At = store.Stamp(tx.Now)
	_, err = tx.Exec(ctx, `INSERT INTO label_rule (number, supplier, symbology, begins, length, part, zeros, pieces, example, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)`, r.Number, r.Supplier, r.Symbology, r.Begins, r.Length, part, r.Zeros,
		pieces, r.Example, person, r.At)
	return r, err
}

// spans writes the spans of a rule; the second is empty where there is none.
func spans(r pattern.Rule) (part, pieces string, err error) {
	b, err := json.Marshal(r.Part)
	if err != nil || r.Pieces == (pattern.Span{}) {
		return string(b), "", err
	}
	p, err := json.Marshal(r.Pieces)
	return string(b), string(p), err
}

// LabelRules gives the rules of a supplier (id), of all suppliers where it is
// empty, in the order in which they were told.
func LabelRules(ctx context.Context, tx *store.Tx, supplier string) ([]LabelRule, error) {
	var all []LabelRule
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r LabelRule
		var part, pieces string
		if err := scan(&r.Number, &r.Supplier, &r.SupplierName, &r.Symbology, &r.Begins, &r.Length, &part, &r.Zeros, &pieces,
			&r.Example, &r.Person, &r.At); err != nil {
			return err
		}
		for text, to := range map[string]*pattern.Span{part: &r.Part, pieces: &r.Pieces} {
			if text == "" {
				continue
			}
			if err := json.Unmarshal([]byte(text), to); err != nil {
				return fault.New(fault.Damaged, "catalog.label_rule_damaged", r.Number).WithCause(err)
			}
		}
		all = append(all, r)
		return nil
	}, `SELECT r.number, r.supplier, s.name, r.symbology, r.begins, r.length, r.part, r.zeros, r.pieces, r.example, p.name, r.at
		FROM label_rule r JOIN supplier s ON s.id = r.supplier JOIN person p ON p.id = r.person
		WHERE r.ended = '' AND ($1 = '' OR r.supplier = $1) ORDER BY r.number`, supplier)
	return all, err
}

// EndLabelRule takes a rule back. Error: NotFound.
func EndLabelRule(ctx context.Context, tx *store.Tx, number int64) (r LabelRule, err error) {
	all, err := LabelRules(ctx, tx, "")
	if err != nil {
		return r, err
	}
	for _, r := range all {
		if r.Number == number {
			_, err := tx.Exec(ctx, `UPDATE label_rule SET ended = $2 WHERE number = $1`, number, store.Stamp(tx.Now))
			return r, err
		}
	}
	return r, fault.New(fault.NotFound, "catalog.label_rule_absent", number).WithHint("catalog.label_rule_absent.hint")
}

// A LabelReading is what a rule makes of a label.
type LabelReading struct {
	Rule   LabelRule
	Number string
	Pieces int64 // 0: the label does not say
}

// ReadLabel gives what the rules of a supplier (id), of all suppliers where it
// is empty, make of a text: each answer once for each supplier.
func ReadLabel(ctx context.Context, tx *store.Tx, supplier, symbology, text string) ([]LabelReading, error) {
	rules, err := LabelRules(ctx, tx, supplier)
	if err != nil {
		return nil, err
	}
	type answer struct {
		supplier, number string
		pieces           int64
	}
	var all []LabelReading
	seen := map[answer]bool{}
	for _, r := range rules {
		number, pieces, ok := r.Read(symbology, text)
		if a := (answer{r.Supplier, Normal(number), pieces}); ok && !seen[a] {
			seen[a] = true
			all = append(all, LabelReading{r, number, pieces})
		}
	}
	return all, nil
}
