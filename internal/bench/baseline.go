package bench

import (
	"context"
	"strings"
	"unicode/utf8"

	"forkstock/internal/store"
)

// A document is the text by which the plainer means find a part: number, role,
// description, maker, diameters as one word each ("39mm"), and the bikes that a
// list names it for, each year as one word ("y2001").
type document struct{ id, text string }

// documents gives those of all parts.
func documents(ctx context.Context, tx *store.Tx) (all []document, err error) {
	bikes := map[string]string{} // of forks
	err = tx.Each(ctx, func(scan store.Scan) error {
		var fork, make, model string
		var from, to int
		err := scan(&fork, &make, &model, &from, &to)
		text := " " + make + " " + model
		for year := from; year <= to; year++ {
			text += " y" + itoa(year)
		}
		bikes[fork] += text
		return err
	}, `SELECT fork, make, model, year_from, coalesce(year_to, 2026) FROM fitment WHERE year_from IS NOT NULL ORDER BY id`)
	if err != nil {
		return nil, err
	}
	of := map[string]string{} // of parts
	err = tx.Each(ctx, func(scan store.Scan) error {
		var part, fork string
		err := scan(&part, &fork)
		of[part] += bikes[fork]
		return err
	}, `SELECT n.part, o.fork FROM position_part n JOIN position o ON o.id = n.position ORDER BY n.part`)
	if err != nil {
		return nil, err
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var d document
		err := scan(&d.id, &d.text)
		d.text = strings.ToLower(d.text + of[d.id])
		all = append(all, d)
		return err
	}, `SELECT id, number_norm || ' ' || role || ' ' || description || ' ' || maker
		|| coalesce(' ' || rtrim(rtrim(printf('%d.%03d', inner_um / 1000, inner_um % 1000), '0'), '.') || 'mm', '')
		|| coalesce(' ' || rtrim(rtrim(printf('%d.%03d', outer_um / 1000, outer_um % 1000), '0'), '.') || 'mm', '') FROM part ORDER BY id`)
	return all, err
}

// fillFTS puts the documents into two bare tables of FTS5, one by words and one
// by three characters, which forgives a slip and finds the middle of a number.
// It reports false where SQLite was built without FTS5.
func fillFTS(ctx context.Context, tx *store.Tx, all []document) (there bool, err error) {
	if _, err := tx.Exec(ctx, `CREATE VIRTUAL TABLE bench_words USING fts5(text, tokenize = "unicode61 tokenchars '.'")`); err != nil {
		return false, nil
	}
	if _, err := tx.Exec(ctx, `CREATE VIRTUAL TABLE bench_grams USING fts5(text, tokenize = 'trigram')`); err != nil {
		return false, err
	}
	for _, table := range []string{"bench_words", "bench_grams"} {
		insert, err := tx.Prepare(ctx, `INSERT INTO `+table+` (rowid, text) VALUES ($1, $2)`)
		if err != nil {
			return false, err
		}
		for i, d := range all {
			if err := insert.Exec(ctx, i+1, d.text); err != nil {
				return false, err
			}
		}
	}
	return true, nil
}

// askFTS asks FTS5 for the twenty best of a question: by words, or where words
// would find nothing (half numbers, slips), by three characters each.
func askFTS(ctx context.Context, tx *store.Tx, class string, q Question) error {
	table, match := "bench_words", ""
	for _, t := range q.Terms {
		t, begun := strings.CutSuffix(strings.ToLower(t), "*")
		match += ` "` + t + `"`
		if begun {
			match += "*"
		}
	}
	switch class {
	case "half number":
		table = "bench_grams"
	case "typo", "no answer":
		table, match = "bench_grams", grams(strings.ToLower(strings.Join(q.Terms, " ")))
	}
	return tx.Each(ctx, func(scan store.Scan) error {
		var row int
		return scan(&row)
	}, `SELECT rowid FROM `+table+` WHERE `+table+` MATCH $1 ORDER BY rank LIMIT 20`, match)
}

// grams asks for any three characters of a text.
func grams(text string) string {
	var all []string
	for r := []rune(text); len(r) >= 3; r = r[1:] {
		all = append(all, `"`+string(r[:3])+`"`)
	}
	return strings.Join(all, " OR ")
}

// look looks at every document in memory: all terms have to stand in it, of a
// slip a word of almost as many letters that begins alike. It gives how many.
func look(class string, q Question, all []document) (n int) {
	terms := make([]string, len(q.Terms))
	for i, t := range q.Terms {
		terms[i] = strings.TrimSuffix(strings.ToLower(t), "*")
	}
	for _, d := range all {
		has := true
		for _, t := range terms {
			if !strings.Contains(d.text, t) && (class != "typo" || !slipped(d.text, t)) {
				has = false
				break
			}
		}
		if has {
			n++
		}
	}
	return n
}

// slipped reports whether a text has a word of almost as many letters as w, of
// which all but two stand at the same place from either end.
func slipped(text, w string) bool {
	for word := range strings.FieldsSeq(text) {
		if short := utf8.RuneCountInString(word) - len(w); short < -1 || short > 1 {
			continue
		}
		same := 0
		for same < min(len(w), len(word)) && w[same] == word[same] {
			same++
		}
		back := 0
		for back < min(len(w), len(word))-same && w[len(w)-1-back] == word[len(word)-1-back] {
			back++
		}
		if same+back >= len(w)-2 {
			return true
		}
	}
	return false
}
