package search

import (
	"context"
	"regexp"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// beyond follows every text in normal form, for ranges of what begins alike.
const beyond = "\U0010ffff"

// byNumber gives the parts whose number, or whose number at a supplier, is or
// begins with norm (two characters at least), whole numbers first.
func byNumber(ctx context.Context, tx *store.Tx, norm string) (set, error) {
	all, err := partsWhere(ctx, tx, named, because("search.why_number"), `p.number_norm = $1`, norm)
	if err != nil {
		return nil, err
	}
	if len([]rune(norm)) >= 2 {
		more, err := partsWhere(ctx, tx, begins, because("search.why_begins", norm),
			`p.number_norm > $1 AND p.number_norm < $2`, norm, norm+beyond)
		if err != nil {
			return nil, err
		}
		for _, c := range more {
			all.add(c)
		}
	}
	if err := byOtherNumber(ctx, tx, norm, all); err != nil {
		return nil, err
	}
	return all, byItemNumber(ctx, tx, norm, all)
}

// byItemNumber adds the parts that a supplier sells under a number.
func byItemNumber(ctx context.Context, tx *store.Tx, norm string, all set) error {
	type offer struct {
		part string
		t    tier
		why  fault.Message
	}
	var offers []offer
	until := norm
	if len([]rune(norm)) >= 2 {
		until += beyond
	}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part, supplier, number, found string
		if err := scan(&part, &supplier, &number, &found); err != nil {
			return err
		}
		t := begins
		if found == norm {
			t = named
		}
		offers = append(offers, offer{part, t, fault.Say("search.why_item", supplier, number)})
		return nil
	}, `SELECT i.part, s.name, i.number, i.number_norm FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.part IS NOT NULL AND i.number_norm >= $1 AND i.number_norm <= $2 ORDER BY i.number_norm, s.name_norm`,
		norm, until)
	if err != nil {
		return err
	}
	for _, o := range offers {
		if err := addPart(ctx, tx, all, o.part, o.t, o.why); err != nil {
			return err
		}
	}
	return nil
}

// byMiddle gives the parts whose number, or whose number at a supplier, holds
// norm, with digits and four characters at least; five where the text asks for
// something else, for years and the numbers of models have four.
func byMiddle(ctx context.Context, tx *store.Tx, norm string, more bool) (set, error) {
	if n := len([]rune(norm)); n < 4 || n < 5 && more || !hasDigit(norm) {
		return set{}, nil
	}
	all, err := partsWhere(ctx, tx, begins, because("search.why_holds", norm), `instr(p.number_norm, $1) > 0`, norm)
	if err != nil {
		return nil, err
	}
	sold, err := partsWhere(ctx, tx, begins, because("search.why_holds", norm), `p.id IN (
		SELECT part FROM supplier_item WHERE part > '' AND instr(number_norm, $1) > 0)`, norm)
	for _, c := range sold {
		all.add(c)
	}
	return all, err
}

// aim is the symbology identifier that some readers put before a code.
var aim = regexp.MustCompile(`^\][A-Za-z][0-9A-Za-z]`)

// codeKeys gives what a scanned text can be filed under.
func codeKeys(text string) []string {
	bare := aim.ReplaceAllString(text, "")
	if joined := strings.ReplaceAll(bare, " ", ""); strings.Trim(joined, "0123456789") == "" {
		bare = joined // a GTIN as it is printed, in groups
	}
	k, _ := gs1.Key("", bare)
	keys := append([]string{k}, gs1.Readings(bare)...)
	if elements, err := gs1.Parse(text); err == nil && elements.GTIN() != "" {
		keys = append(keys, elements.GTIN())
	}
	return keys
}

// byCode gives the part that a scanned code stands for. Where the code is
// known to be no part, note says so.
func byCode(ctx context.Context, tx *store.Tx, text string) (all set, note fault.Message, err error) {
	all = set{}
	for _, k := range codeKeys(text) {
		link, ok, err := catalog.LinkOf(ctx, tx, k)
		if err != nil {
			return nil, note, err
		}
		if !ok {
			continue
		}
		if link.Part == "" {
			note = fault.Say("search.code_no_part", link.Code)
			continue
		}
		found, err := partsWhere(ctx, tx, named, because("search.why_code", link.Code), `p.id = $1`, link.Part)
		if err != nil {
			return nil, note, err
		}
		for _, c := range found {
			all.add(c)
		}
	}
	return all, note, nil
}

// byName gives the part that MAKER/NUMBER names, and what replaced it.
func byName(ctx context.Context, tx *store.Tx, text string) (set, error) {
	maker, number, ok := strings.Cut(text, "/")
	if !ok {
		return nil, nil
	}
	all, err := partsWhere(ctx, tx, named, because("search.why_number"), `p.maker_norm = $1 AND p.number_norm = $2`,
		catalog.Normal(maker), catalog.Normal(number))
	if err != nil {
		return nil, err
	}
	return all, byRef(ctx, tx, text, all)
}
