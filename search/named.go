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

const (
	mostBegun = 250 // numbers that are looked at of those that begin alike
	mostLinks = 100 // further numbers, and those of suppliers
)

// A link leads from a number to a part, with a reason.
type link struct {
	part string
	tier tier
	why  fault.Message
}

// byNumber gives the parts whose number, or whose number at a supplier, is or
// begins with norm (two characters at least), whole numbers first. Where within
// is not nil, only parts of it are looked at, else of many that begin so the
// best.
func (f *finder) byNumber(ctx context.Context, tx *store.Tx, norm string, within set) (set, error) {
	if all, ok := f.numbersFound[norm]; ok && within == nil {
		return all.clone(), nil
	}
	all, err := partsWhere(ctx, tx, named, because("search.why_number"), `p.number_norm = $1`, norm)
	if err != nil {
		return nil, err
	}
	until := norm
	if len([]rune(norm)) >= 2 {
		until += beyond
		if err := f.byBeginning(ctx, tx, norm, within, all); err != nil {
			return nil, err
		}
	}
	if err := f.byOtherNumber(ctx, tx, norm, until, all); err != nil {
		return nil, err
	}
	if err := f.byItemNumber(ctx, tx, norm, until, all); err != nil {
		return nil, err
	}
	if within == nil {
		f.numbersFound[norm] = all.clone()
	}
	return all, nil
}

// byBeginning adds the parts whose number begins with norm. Of more than will
// be shown, those in stock are taken first, then by number; the others are
// counted.
func (f *finder) byBeginning(ctx context.Context, tx *store.Tx, norm string, within, all set) error {
	why := because("search.why_begins", norm)
	if within != nil {
		more, err := partsWhere(ctx, tx, begins, why, `p.id IN (SELECT value FROM json_each($3))
			AND p.number_norm > $1 AND p.number_norm < $2`, norm, norm+beyond, jsonList(within.ids()))
		all.addAll(more)
		return err
	}
	more, looked, err := f.best(ctx, tx, begins, why, `number_norm > $1 AND number_norm < $2`, norm, norm+beyond)
	all.addAll(more)
	f.uncounted += looked - len(more)
	return err
}

// best gives of the first parts by number that a condition holds for those in
// stock, then the others, as many as may be shown, and how many were looked at.
func (f *finder) best(ctx context.Context, tx *store.Tx, t tier, says judge, where string, args ...any) (set, int, error) {
	looked, n, most, keep := 0, len(args), f.deep(mostBegun), f.deep(2*f.opt.Limit)
	from := `(SELECT id, number_norm, maker_norm FROM part WHERE merged_into IS NULL AND ` + where + ` ORDER BY number_norm, maker_norm LIMIT ` + placeholder(n+1) + `) p`
	if f.q.InStock && f.opt.OnHand != "" {
		from += ` WHERE (` + f.opt.OnHand + `)`
	} else if f.q.Out && f.opt.OnHand != "" {
		from += ` WHERE NOT (` + f.opt.OnHand + `)`
	}
	_, err := tx.One(ctx, store.Into(&looked), `SELECT count(*) FROM `+from, append(args, most+1)...)
	if err != nil || looked == 0 {
		return set{}, 0, err
	}
	if looked > most {
		looked, f.cut = most, true
		if !f.narrows() { // nothing is counted where not all was looked at
			looked, most, keep = mostBegun, mostBegun, 2*f.opt.Limit
		}
	}
	first := `SELECT p.id FROM ` + from
	if looked > keep && f.opt.OnHand != "" && !f.q.InStock && !f.q.Out {
		// Two branches, of which the second is read as far as the first leaves room.
		first += ` WHERE (` + f.opt.OnHand + `) UNION ALL SELECT p.id FROM ` + from + ` WHERE NOT (` + f.opt.OnHand + `)`
	}
	all, err := partsWhere(ctx, tx, t, says, `p.id IN (`+first+` LIMIT `+placeholder(n+2)+`)`, append(args, most, keep)...)
	return all, looked, err
}

// byItemNumber adds the parts that a supplier sells under a number.
func (f *finder) byItemNumber(ctx context.Context, tx *store.Tx, norm, until string, all set) error {
	var links []link
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part, supplier, number, found string
		err := scan(&part, &supplier, &number, &found)
		links = append(links, link{part, nameTier(found, norm), fault.Say("search.why_item", supplier, number)})
		return err
	}, `SELECT i.part, s.name, i.number, i.number_norm FROM supplier_item i JOIN supplier s ON s.id = i.supplier
		WHERE i.part IS NOT NULL AND i.number_norm >= $1 AND i.number_norm <= $2 ORDER BY i.number_norm, s.name_norm LIMIT $3`,
		norm, until, mostLinks)
	if err != nil {
		return err
	}
	f.cut = f.cut || len(links) == mostLinks
	return addLinks(ctx, tx, all, links)
}

// nameTier is the tier of what was found by a number of its own or a beginning.
func nameTier(found, norm string) tier {
	if found == norm {
		return named
	}
	return begins
}

// addLinks adds the parts that links lead to, unless they are there for a
// better reason; of equal links the first counts.
func addLinks(ctx context.Context, tx *store.Tx, all set, links []link) error {
	best := map[string]link{}
	ids := []string{}
	for _, l := range links {
		if old, ok := all[l.part]; ok && old.tier <= l.tier {
			continue
		}
		old, ok := best[l.part]
		if !ok {
			ids = append(ids, l.part)
		}
		if !ok || l.tier < old.tier {
			best[l.part] = l
		}
	}
	if len(ids) == 0 {
		return nil
	}
	found, err := partsWhere(ctx, tx, meets, func(p catalog.Part) (fault.Message, bool) { return best[p.ID].why, false },
		`p.id IN (SELECT value FROM json_each($1))`, jsonList(ids))
	for id, c := range found {
		c.tier = best[id].tier
		all.add(c)
	}
	return err
}

// byMiddle gives the parts whose number, or whose number at a supplier, holds
// what was typed, with a digit. Typed with a mark between its characters, as in
// 39-2, three of them are enough: nobody types the mark of anything else than a
// number, and what holds it with the mark is meant. Else it takes four; five
// beside a bike, for years and models' numbers have four.
func (f *finder) byMiddle(ctx context.Context, tx *store.Tx, typed string, more bool) (set, error) {
	norm := catalog.Normal(typed)
	n := len([]rune(norm))
	if n < 3 || !hasDigit(norm) {
		return set{}, nil
	}
	if strings.ContainsAny(typed, "-./") {
		all, err := f.holding(ctx, tx, norm, "upper(p.number)", "upper(i.number)", strings.ToUpper(typed))
		if err != nil || len(all) > 0 {
			return all, err
		}
	}
	if n < 4 || n < 5 && more {
		return set{}, nil
	}
	return f.holding(ctx, tx, norm, "p.number_norm", "i.number_norm", norm)
}

// holding gives the parts p of which column holds a text, and those that are
// sold under a number that does. The index knows where to look for norm.
func (f *finder) holding(ctx context.Context, tx *store.Tx, norm, column, sold, text string) (set, error) {
	why := because("search.why_holds", text)
	if ids, ok := f.lex.holding(ctx, norm); ok {
		return partsWhere(ctx, tx, begins, why, `p.id IN (SELECT value FROM json_each($2)) AND (instr(`+column+`, $1) > 0
			OR EXISTS (SELECT 1 FROM supplier_item i WHERE i.part = p.id AND instr(`+sold+`, $1) > 0))`, text, jsonList(ids))
	}
	all, err := partsWhere(ctx, tx, begins, why, `instr(`+column+`, $1) > 0`, text)
	if err != nil {
		return nil, err
	}
	more, err := partsWhere(ctx, tx, begins, why, `p.id IN (
		SELECT i.part FROM supplier_item i WHERE i.part > '' AND instr(`+sold+`, $1) > 0)`, text)
	all.addAll(more)
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
		all.addAll(found)
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
