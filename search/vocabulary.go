package search

import (
	"context"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/store"
)

// Bike is a make with one of its models, as the fitments write them.
type Bike struct{ Make, Model string }

// Vocabulary is what a text can name: kinds of parts in both languages, and
// the makes, models and forks of one catalog.
type Vocabulary struct {
	// Known reports whether the index holds a folded word. Such a word is
	// never read as a mistyped other one. It may be nil.
	Known func(word string) bool

	names map[string]*name   // by key
	made  map[string][]Bike  // by make
	keys  []string           // sorted
	kinds []string           // those of keys that name kinds of parts
	parts [][]string         // the words of each of kinds, as they are typed
	alike map[shape][]string // keys by shape, each sorted
}

// shape is what two words have in common of which one is the other mistyped,
// but for a letter more or less.
type shape struct {
	first  rune
	length int
}

func shapeOf(k string) shape {
	first, _ := utf8.DecodeRuneInString(k)
	return shape{first, utf8.RuneCountInString(k)}
}

// name is everything that a key can name, each with how the catalog writes it.
type name struct {
	typed  string // as the table or the catalog writes it
	roles  []catalog.Role
	stock  bool
	out    bool // of stock
	idle   bool
	slider bool   // roles of the "slider", which are another's on an upside-down fork
	tube   string // which, as Query has it
	shelf  bool   // a bin
	layout string // of a fork
	leg    string
	make   string
	bikes  []Bike // whose model it is, or make and model together
	begin  []Bike // whose model's name begins so
	fork   string
}

// NewVocabulary makes the vocabulary of a catalog that has these bikes and
// forks.
func NewVocabulary(bikes []Bike, forks []string) *Vocabulary {
	v := &Vocabulary{names: map[string]*name{}, made: map[string][]Bike{}}
	v.addWords()
	for _, b := range bikes {
		v.addBike(b)
	}
	for _, f := range forks {
		v.at(f).fork = f
	}
	delete(v.names, "")
	v.keys, v.alike = slices.Sorted(maps.Keys(v.names)), map[shape][]string{}
	for _, k := range v.keys {
		n := v.names[k]
		if n.roles != nil {
			v.kinds, v.parts = append(v.kinds, k), append(v.parts, split(n.typed))
		}
		if !n.idle {
			v.alike[shapeOf(k)] = append(v.alike[shapeOf(k)], k)
		}
	}
	return v
}

// addWords adds the words of the trade.
func (v *Vocabulary) addWords() {
	each := func(list string, set func(*name)) {
		for _, w := range commas(list) {
			set(v.at(w))
		}
	}
	for _, t := range slices.Concat(wording.Terms, moreTerms) {
		each(t.Words, func(n *name) { n.roles = t.Roles })
	}
	each(sliderWords, func(n *name) { n.roles, n.slider = []catalog.Role{catalog.LowerBushing}, true })
	for tube, list := range tubeWords {
		each(list, func(n *name) { n.tube = tube })
	}
	each(shelfWords, func(n *name) { n.shelf = true })
	each(stockWords, func(n *name) { n.stock = true })
	each(outWords, func(n *name) { n.out = true })
	for layout, list := range layoutWords {
		each(list, func(n *name) { n.layout = layout })
	}
	for leg, list := range legWords {
		each(list, func(n *name) { n.leg = leg })
	}
	each(idle, func(n *name) { n.idle = true })
}

// addBike adds a make, its model, and how the model's name begins.
func (v *Vocabulary) addBike(b Bike) {
	v.at(b.Make).make = b.Make
	v.made[b.Make] = append(v.made[b.Make], b)
	v.at(b.Model).addBike(b)
	v.at(b.Make + " " + b.Model).addBike(b)
	words := strings.Fields(b.Model)
	for n := 1; n < len(words); n++ {
		if begin := strings.Join(words[:n], " "); !weak(key(begin)) {
			v.at(begin).begin = append(v.at(begin).begin, b)
		}
	}
}

// at gives the name with w's key, a new one where there is none yet.
func (v *Vocabulary) at(w string) *name {
	k := key(w)
	if v.names[k] == nil {
		v.names[k] = &name{typed: w}
	}
	return v.names[k]
}

func (n *name) addBike(b Bike) {
	if !slices.Contains(n.bikes, b) {
		n.bikes = append(n.bikes, b)
	}
}

// coarse reports whether n names a kind that takes in much of which it is some:
// a seal driver is a tool.
func (n *name) coarse() bool {
	return !slices.ContainsFunc(n.roles, func(r catalog.Role) bool { return r != "tool" && r != "consumable" && r != catalog.Other })
}

// wordsBegin reports whether k is the first words of n.
func (n *name) wordsBegin(k string) bool {
	begin := ""
	for _, w := range split(n.typed) {
		if begin += key(w); begin == k {
			return true
		}
	}
	return false
}

// weak reports whether a model or fork of that key is named too much like a
// number or a filling word to stand without its make.
func weak(key string) bool { return len(key) < 3 || strings.Trim(key, "0123456789") == "" }

// find gives the name with a key, for words of parts also in the plural.
func (v *Vocabulary) find(k string) *name {
	if n := v.names[k]; n != nil {
		return n
	}
	for _, end := range endings {
		one, ok := strings.CutSuffix(k, end)
		if n := v.names[one]; ok && len(one) > 3 && n != nil && n.roles != nil {
			return n
		}
	}
	return nil
}

// knows reports whether a word stands in the index as it is.
func (v *Vocabulary) knows(w word) bool { return v.Known != nil && v.Known(wording.Fold(w.typed)) }

// almost gives the kind of part whose name has the words of run but for
// slips, in words that mean nothing themselves; nil where there is none. The
// fewest slips win, then the first by alphabet.
func (v *Vocabulary) almost(run []word) (best *name) {
	least := len(run) * 2
	for i, k := range v.kinds {
		n, theirs := v.names[k], v.parts[i]
		if len(theirs) != len(run) {
			continue
		}
		all := 0
		for i, w := range run {
			other := key(theirs[i])
			if w.key == other || one(w.key) == other {
				continue
			}
			some := min(slips(w.key, other, 1), slips(one(w.key), other, 1))
			if some > 1 || len(w.key) < 3 || v.find(w.key) != nil || v.knows(w) {
				all = least
				break
			}
			all += some
		}
		if all < least {
			least, best = all, n
		}
	}
	return best
}

// one gives a word of many in the singular, as far as an s makes the plural.
func one(k string) string { return strings.TrimSuffix(k, "s") }

// head gives the kind of part that a German compound is one of: a
// Gabelstaubkappe is a Staubkappe. Short heads say too little: no Bremsscheibe
// is a washer.
func (v *Vocabulary) head(k string) *name {
	for i := range k {
		if len(k)-i < 9 {
			break
		}
		if n := v.find(k[i:]); n != nil && n.roles != nil {
			return n
		}
	}
	return nil
}

// near gives the key that is one slip from k, "" where none is: the first by
// alphabet that names a kind of part, else the first.
func (v *Vocabulary) near(k string) (found string) {
	part := func(k string) bool { return v.names[k].roles != nil }
	for _, longer := range []int{0, 1, -1} {
		s := shapeOf(k)
		s.length += longer
		for _, other := range v.alike[s] {
			better := found == "" || part(other) && !part(found) || part(other) == part(found) && other < found
			if better && edits(other) > 0 && slips(k, other, 1) <= 1 {
				found = other
			}
		}
	}
	return found
}

// guess gives what a mistyped or half-typed key most likely names, nil where
// nothing comes near. The first by alphabet wins.
func (v *Vocabulary) guess(k string) (best *name) {
	if edits(k) == 0 {
		return nil
	}
	found := v.near(k)
	for _, end := range endings {
		one, ok := strings.CutSuffix(k, end)
		if !ok || found != "" || edits(one) == 0 {
			continue
		}
		if n := v.names[v.near(one)]; n != nil && n.roles != nil {
			return n
		}
	}
	if found != "" || hasDigit(k) {
		return v.names[found]
	}
	// Half-typed: whatever begins so has to mean the same.
	from, _ := slices.BinarySearch(v.keys, k)
	for _, other := range v.keys[from:] {
		n := v.names[other]
		switch {
		case !strings.HasPrefix(other, k):
			return best
		case n.idle || n.wordsBegin(k): // a gasket is no gasket set
		case best == nil:
			best = n
		case n.roles == nil || !slices.Equal(n.roles, best.roles):
			return nil
		}
	}
	return best
}

// vocabularyOf gives the vocabulary of the catalog as tx sees it, with what lex knows.
// It is read once for each generation of the catalog.
func (ix *Index) vocabularyOf(ctx context.Context, tx *store.Tx, newest int64, lex lexicon) (*Vocabulary, error) {
	var v *Vocabulary
	if ix != nil {
		ix.mu.RLock()
		if ix.vocabularyGen == newest {
			v = ix.vocabulary
		}
		ix.mu.RUnlock()
	}
	if v == nil {
		var err error
		if v, err = loadVocabulary(ctx, tx); err != nil {
			return nil, err
		}
		if ix != nil {
			ix.mu.Lock()
			ix.vocabulary, ix.vocabularyGen = v, newest
			ix.mu.Unlock()
		}
	}
	mine := *v
	mine.Known = lex.knows
	return &mine, nil
}

// loadVocabulary reads the makes, models and forks that tx sees.
func loadVocabulary(ctx context.Context, tx *store.Tx) (*Vocabulary, error) {
	var bikes []Bike
	err := tx.Each(ctx, func(scan store.Scan) error {
		var b Bike
		err := scan(&b.Make, &b.Model)
		bikes = append(bikes, b)
		return err
	}, `SELECT min(make), min(model) FROM fitment WHERE withdrawn = 0 GROUP BY make_norm, model_norm ORDER BY make_norm, model_norm`)
	if err != nil {
		return nil, err
	}
	var forks []string
	err = tx.Each(ctx, func(scan store.Scan) error {
		var f string
		err := scan(&f)
		forks = append(forks, f)
		return err
	}, `SELECT name FROM fork ORDER BY name_norm`)
	return NewVocabulary(bikes, forks), err
}
