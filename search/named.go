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
// what was typed, with a digit. Typed with a mark between its characters, as in
// 39-2, three of them are enough: nobody types the mark of anything else than a
// number, and what holds it with the mark is meant. Else it takes four; five
// beside a bike, for years and models' numbers have four.
func byMiddle(ctx context.Context, tx *store.Tx, typed string, more bool) (set, error) {
	norm := catalog.Normal(typed)
	n := len([]rune(norm))
	if n < 3 || !hasDigit(norm) {
		return set{}, nil
	}
	if strings.ContainsAny(typed, "-./") {
		all, err := holding(ctx, tx, "upper(p.number)", "upper(number)", strings.ToUpper(typed))
		if err != nil || len(all) > 0 {
			return all, err
		}
	}
	if n < 4 || n < 5 && more {
		return set{}, nil
	}
	return holding(ctx, tx, "p.number_norm", "number_norm", norm)
}

// holding gives the parts p of which column holds a text, and those that are
// sold under a number that does.
func holding(ctx context.Context, tx *store.Tx, column, sold, text string) (set, error) {
	all, err := partsWhere(ctx, tx, begins, because("search.why_holds", text), `instr(`+column+`, $1) > 0`, text)
	if err != nil {
		return nil, err
	}
	more, err := partsWhere(ctx, tx, begins, because("search.why_holds", text), `p.id IN (
		SELECT part FROM supplier_item WHERE part > '' AND instr(`+sold+`, $1) > 0)`, text)
	for _, c := range more {
		all.add(c)
	}
	return all, err
}

// aim is the symbology identifier that some readers put before a code.
var aim = regexp.MustCompile(`^\][A-Za-z][0-9A-Za-z]`)

// printedAI is an application identifier as it is printed under a code (GS1
// General Specifications, 4.14: in brackets), with its value; dataLink the GTIN
// of a GS1 Digital Link.
var (
	printedAI = regexp.MustCompile(`\((\d{2,4})\)([^(]+)`)
	dataLink  = regexp.MustCompile(`(?i)^https?://[^ ]*/01/(\d{8,14})(?:[/?#]|$)`)
)

// codeKeys gives what a scanned text can be filed under; in capitals too, for a
// hand scanner types small letters where the keyboard is locked.
func codeKeys(text string) []string {
	bare := aim.ReplaceAllString(text, "")
	if link := dataLink.FindStringSubmatch(bare); link != nil {
		bare = link[1]
	}
	if all := printedAI.FindAllStringSubmatch(bare, -1); all != nil && bare[0] == '(' {
		text = ""
		for _, ai := range all {
			text += ai[1] + strings.TrimSpace(ai[2]) + "\x1d"
		}
		text = strings.TrimSuffix(text, "\x1d")
	}
	if joined := strings.ReplaceAll(bare, " ", ""); strings.Trim(joined, "0123456789") == "" {
		bare = joined // a GTIN as it is printed, in groups
	}
	k, _ := gs1.Key("", bare)
	keys := append([]string{k}, gs1.Readings(bare)...)
	if upper := strings.ToUpper(k); upper != k {
		keys = append(keys, upper)
	}
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
