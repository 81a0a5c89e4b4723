package bench

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strings"

	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Question is a text that somebody types, and what the plainer means are asked
// for it: words that have to stand as they are.
type Question struct {
	Text  string
	Terms []string
}

// classes are the kinds of question, in the order of the tables.
var classes = []string{
	"number", "prefix", "half number", "size", "inch size", "diameter", "model-year", "synonym", "typo", "mixed", "no answer", "suggestion",
}

// source is a part as the questions are made from it, with a bike that takes it.
type source struct {
	number, norm, role, description string
	size                            measure.Size
	make, model                     string
	year                            int
}

// questions makes n questions of each class from parts that tx sees, the same
// for the same catalog. The bikes are those of a place that names the part.
func questions(ctx context.Context, tx *store.Tx, n int) (map[string][]Question, error) {
	parts, err := sources(ctx, tx, `p.inner_um IS NOT NULL AND p.outer_um IS NOT NULL AND p.role IN ('oil_seal', 'wiper', 'tube_bushing')`, n)
	if err != nil {
		return nil, err
	}
	r := rand.New(rand.NewPCG(seed, 5))
	all := map[string][]Question{}
	for i, p := range parts {
		for _, class := range classes {
			all[class] = append(all[class], ask(class, p, i, r))
		}
	}
	return all, nil
}

// synonyms are words of the trade for the roles that questions are asked about.
var synonyms = map[string][]string{
	"oil_seal": {"fork seal", "oil seal", "Simmerring"}, "wiper": {"dust seal", "wiper", "Staubkappe"},
	"tube_bushing": {"slide bushing", "tube bushing", "Gleitbuchse"},
}

func ask(class string, p source, i int, r *rand.Rand) Question {
	size := fmt.Sprintf("%sx%s", p.size.Inner, p.size.Outer)
	legs := []string{p.size.Inner.String() + "mm"}
	word := synonyms[p.role][i%3]
	bike := fmt.Sprintf("%s %s %d", p.make, p.model, p.year)
	switch class {
	case "number":
		return Question{p.number, []string{p.norm}}
	case "prefix":
		return Question{p.norm[:5], []string{p.norm[:5] + "*"}}
	case "half number":
		return Question{p.norm[2:], []string{p.norm[2:]}}
	case "size":
		if p.size.Height != 0 && i%3 > 0 {
			size += "x" + p.size.Height.String()
		}
		return Question{size, append(legs, p.size.Outer.String()+"mm")}
	case "inch size":
		return Question{fmt.Sprintf("%.3fin %s", float64(p.size.Inner)/25400, word), legs}
	case "diameter":
		return Question{p.size.Inner.String() + " mm", legs}
	case "model-year":
		return Question{[]string{bike, bike, word + " " + bike}[i%3], append(strings.Fields(p.make+" "+p.model), fmt.Sprint("y", p.year))}
	case "synonym":
		return Question{p.size.Inner.String() + " " + word, append(legs, p.role)}
	case "typo":
		t := slip(longest(p.description), r)
		return Question{t, []string{t}}
	case "suggestion": // as far as it is typed: a number, a bike, a kind of part
		typed := []string{p.norm[:4], strings.ToLower(p.make + " " + p.model[:2]), word[:3]}[i%3]
		terms := strings.Fields(typed)
		terms[len(terms)-1] += "*"
		return Question{typed, terms}
	case "mixed":
		return Question{fmt.Sprintf("%s %s in stock", word, size), append(legs, p.size.Outer.String()+"mm", p.role)}
	}
	text := fmt.Sprintf("%s %d", invented(r), 700_000+r.IntN(99_999))
	return Question{text, strings.Fields(text)}
}

// longest gives the longest word of letters of a text.
func longest(text string) (word string) {
	for _, w := range strings.Fields(text) {
		if w = strings.Trim(w, ",.()"); len(w) > len(word) && !strings.ContainsAny(w, "0123456789/") {
			word = w
		}
	}
	return word
}

// slip swaps two letters, leaves one out or doubles one; the first two stay.
func slip(word string, r *rand.Rand) string {
	b := []byte(strings.ToLower(word))
	if len(b) < 5 {
		return string(b) + string(b[len(b)-1])
	}
	i := 2 + r.IntN(len(b)-3)
	switch r.IntN(3) {
	case 0:
		b[i], b[i+1] = b[i+1], b[i]
		return string(b)
	case 1:
		return string(b[:i]) + string(b[i+1:])
	}
	return string(b[:i+1]) + string(b[i:])
}

// invented gives a word that nothing is called.
func invented(r *rand.Rand) string {
	const letters = "qxzvwjk"
	b := make([]byte, 7)
	for i := range b {
		b[i] = letters[r.IntN(len(letters))]
	}
	return string(b)
}

// sources gives n parts that a condition holds for, spread over the catalog,
// each with a bike whose fork names it.
func sources(ctx context.Context, tx *store.Tx, where string, n int) (all []source, err error) {
	var ids []string
	err = tx.Each(ctx, func(scan store.Scan) error {
		var id string
		err := scan(&id)
		ids = append(ids, id)
		return err
	}, `SELECT p.id FROM part p WHERE p.merged_into IS NULL AND p.id IN (SELECT part FROM position_part) AND `+where+` ORDER BY p.id`)
	r := rand.New(rand.NewPCG(seed, 4))
	for len(all) < n && err == nil {
		var s source
		var found bool
		found, err = tx.One(ctx, store.Into(&s.number, &s.norm, &s.role, &s.description, &s.size.Inner, &s.size.Outer, &s.size.Height, &s.make, &s.model, &s.year),
			`SELECT p.number, p.number_norm, p.role, p.description, p.inner_um, p.outer_um, coalesce(p.height_um, 0), m.make, m.model, m.year_from + 1
			FROM part p JOIN position_part n ON n.part = p.id JOIN position o ON o.id = n.position JOIN fitment m ON m.fork = o.fork
			WHERE p.id = $1 AND m.year_from IS NOT NULL ORDER BY m.id LIMIT 1`, ids[r.IntN(len(ids))])
		if found && len(s.norm) > 5 {
			all = append(all, s)
		}
	}
	return all, err
}
