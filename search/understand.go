package search

import (
	"reflect"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/measure"
)

// Query is a text as it was understood. The zero value of a field is "not
// asked for".
type Query struct {
	Text    string // as typed, trimmed
	Sizes   []measure.Size
	Lengths []measure.Length // the leg diameter, of washers and bolts their own; then other sizes
	Partly  measure.Size     // measures that say which one they are, where they are no whole size: od 54
	Threads []measure.Thread
	Cross   measure.Size     // 53x1.8 of no kind of part: what it may be beside an O-ring, inside or outside and what is thin
	Long    measure.Length   // a bolt's length: 30 mm in M8x30
	Roles   []catalog.Role   // the likeliest first
	With    [][]catalog.Role // what a kit has to bring, any of each
	Without []catalog.Role   // what a kit must not bring, or no part may be
	Prefer  []string         // a material that a word for parts names, as the catalog writes it: copper
	Named   []string         // what tools and consumables were called: there are many of one kind
	Slider  bool             // the "slider" is meant, which of the tubes depends on the layout
	Tube    string           // "inner", "outer" or "slider" where a tube is named; the catalog keeps none
	Make    string           // as the fitments write it, where no model is named
	Bikes   []Bike           // models, where one or several are meant
	Year    int
	Until   int      // the last year, where a span is asked for
	Fork    string   // name
	Told    []string // variants, model codes and frame numbers of the bikes, once the catalog has told them
	Layout  string   // of the fork, as catalog.Fork has it
	Bin     string   // as typed, once it is known that there is one
	Shelf   bool     // a word for bins stands in the text
	Leg     string   // "left" or "right"
	InStock bool
	Out     bool      // what is not in stock
	Not     []string  // words that nothing may have
	Lost    []string  // what was turned away and cannot be: no measure or bike is left out
	Words   []string  // what is left, words and numbers, as typed
	Read    []Reading // what was mistyped, and as what it was read
	Doubt   []string  // short words that were read as a kind of part, and may begin another word
}

// layoutAlone reports whether a text asks for forks of a layout and not for parts.
func (q Query) layoutAlone() bool {
	return q.Layout != "" && q.Make == "" && q.Bikes == nil && q.Fork == "" && q.Sizes == nil && q.Lengths == nil &&
		q.Partly == measure.Size{} && q.Threads == nil && q.Roles == nil
}

// stockAlone reports whether a text asks for all that is in stock, or for all
// that is not.
func (q Query) stockAlone() bool {
	asked := q.InStock || q.Out
	q.Text, q.Read, q.InStock, q.Out, q.Not, q.Lost, q.Shelf = "", nil, false, false, nil, nil, false
	return asked && reflect.DeepEqual(q, Query{})
}

// Reading is what was mistyped, half-typed or typed in another order or unit,
// and what it was taken for: a string, measure.Length or measure.Size.
type Reading struct {
	Typed string
	As    any
}

// reader takes the words of a text one by one.
type reader struct {
	v     *Vocabulary
	q     *Query
	words []word
	asked [][]catalog.Role // as each word named them
	cross measure.Size     // a diameter and what is thin against it, until it is known of what
}

type word struct {
	typed, key string
	used       bool
}

// longest is how many words a name can have.
const longest = 6

// Understand reads a text with the words of v. It always gives the same for
// the same, and takes every word into account: what means nothing stays in
// Words. Sizes and lengths that name themselves ("39x52x11", "39 mm") are
// taken first, then the longest names of kinds of parts, bikes and forks, then
// mistyped ones; a bare number is a diameter only after all that, so the 600
// of a model is none.
func Understand(text string, v *Vocabulary) Query {
	q := Query{Text: strings.TrimSpace(text)}
	r := q.reader(text, v)
	r.without()
	r.almost()
	r.named()
	r.mistyped()
	r.short()
	r.named() // a make that was mistyped lets its models stand alone
	r.modelWords()
	r.loose()
	r.numbers()
	r.rest()
	if q.Bikes != nil {
		q.Make = ""
	}
	q.settle()
	r.ring()
	r.kit()
	q.bushings()
	return q
}

// bushings tells bushings apart by the tube that is named.
func (q *Query) bushings() {
	both := slices.Equal(q.Roles, []catalog.Role{catalog.TubeBushing, catalog.LowerBushing})
	switch {
	case both && q.Tube == "inner":
		q.Roles = q.Roles[:1]
	case both && q.Tube == "outer":
		q.Roles = q.Roles[1:]
	case both && q.Tube == "slider":
		q.Roles, q.Slider = q.Roles[1:], true
	}
	if q.Slider && q.Layout == "" && q.Make == "" && q.Bikes == nil && q.Fork == "" {
		q.Layout = "conventional"
	}
}

// kit takes the kinds of parts beside a kit as what is to be in it.
func (r *reader) kit() {
	q := r.q
	if !slices.Contains(q.Roles, catalog.Kit) || len(q.Roles) == 1 {
		return
	}
	q.With = slices.DeleteFunc(r.asked, func(any []catalog.Role) bool { return slices.Contains(any, catalog.Kit) })
	q.Roles = []catalog.Role{catalog.Kit}
}

// reader takes the measures that name themselves out of text, and gives a
// reader of the words.
func (q *Query) reader(text string, v *Vocabulary) reader {
	rest := q.findLabelled(q.findInchSizes(strings.Join(strings.Fields(text), " ")))
	sizes, rest := measure.FindSizes(q.findInches(rest))
	q.Sizes = append(q.Sizes, sizes...)
	r := reader{v: v, q: q}
	rest = r.findCross(q.findThreads(rest))
	lengths, rest := measure.FindLengths(rest)
	q.Lengths = append(q.Lengths, lengths...)
	for _, w := range split(rest) {
		r.words = append(r.words, word{typed: w, key: key(w)})
	}
	r.slashed()
	return r
}

// each calls take with each run of at most n unused words, the longest first
// from each place, and marks those used that it takes.
func (r *reader) each(n int, take func(key string, run []word) bool) {
	for i := 0; i < len(r.words); i++ {
		for end := min(i+n, len(r.words)); end > i; end-- {
			run, k := r.words[i:end], ""
			for _, w := range run {
				k += w.key
			}
			if slices.ContainsFunc(run, func(w word) bool { return w.used }) || k == "" || !take(k, run) {
				continue
			}
			for j := range run {
				run[j].used = true
			}
			break
		}
	}
}

// named takes what the vocabulary names.
func (r *reader) named() {
	makes := map[string]bool{} // that stand anywhere in the text
	if r.q.Make != "" {
		makes[r.q.Make] = true
	}
	r.each(longest, func(k string, _ []word) bool {
		if n := r.v.names[k]; n != nil && n.make != "" {
			makes[n.make] = true
		}
		return false
	})
	r.each(longest, func(k string, _ []word) bool {
		n := r.v.find(k)
		return n != nil && r.take(k, n, makes)
	})
}

// take puts what n names into the query, unless the query has another such.
func (r *reader) take(k string, n *name, makes map[string]bool) bool {
	q := r.q
	of := func(bikes []Bike) []Bike {
		made := slices.DeleteFunc(slices.Clone(bikes), func(b Bike) bool { return !makes[b.Make] })
		if len(made) > 0 || weak(k) {
			return made
		}
		return bikes
	}
	bikes, begin := of(n.bikes), of(n.begin)
	switch {
	case n.fork != "" && q.Fork == "" && !weak(k):
		q.Fork = n.fork
	case len(bikes) > 0 && len(q.Bikes) == 0:
		q.Bikes = bikes
	case n.make != "" && q.Make == "":
		q.Make = n.make
	case n.roles != nil:
		for _, role := range n.roles {
			if !slices.Contains(q.Roles, role) {
				q.Roles = append(q.Roles, role)
			}
		}
		r.asked = append(r.asked, n.roles)
		q.Prefer = append(q.Prefer, materials(n.typed)...)
		if n.coarse() {
			q.Named = append(q.Named, n.typed)
		}
		q.Slider = q.Slider || n.slider
	case n.tube != "" && (q.Tube == "" || q.Tube == n.tube):
		q.Tube = n.tube
	case n.shelf:
		q.Shelf = true
	case n.stock:
		q.InStock = true
	case n.out:
		q.Out = true
	case n.layout != "" && q.Layout == "":
		q.Layout = n.layout
	case n.leg != "" && q.Leg == "":
		q.Leg = n.leg
	case len(begin) > 0 && len(q.Bikes) == 0:
		q.Bikes = begin
	default:
		return n.idle
	}
	return true
}

// almost takes kinds of parts that are named by several words of which one is
// mistyped: "oil seel" is no oil.
func (r *reader) almost() {
	r.each(longest, func(k string, run []word) bool {
		if len(run) < 2 || r.v.find(k) != nil {
			return false
		}
		n := r.v.almost(run)
		if n == nil || !r.take(k, n, nil) {
			return false
		}
		r.readAs(run, n.typed)
		return true
	})
}

func (r *reader) readAs(run []word, as string) {
	var typed []string
	for _, w := range run {
		typed = append(typed, w.typed)
	}
	r.q.Read = append(r.q.Read, Reading{strings.Join(typed, " "), as})
}

// mistyped takes what comes near a name of the vocabulary, unless the index
// knows the word as it stands, and German compounds of a kind of part.
func (r *reader) mistyped() {
	r.each(3, func(k string, run []word) bool {
		if edits(k) == 0 || slices.ContainsFunc(run, func(w word) bool { return !hasDigit(w.key) && r.v.knows(w) }) {
			return false
		}
		n := r.v.guess(k)
		if n == nil && len(run) == 1 {
			n = r.v.head(k)
		}
		if n == nil || !r.take(k, n, nil) {
			return false
		}
		r.readAs(run, n.typed)
		return true
	})
}

// rest keeps the words that meant nothing; idle ones too where that is all.
func (r *reader) rest() {
	q := r.q
	idle := q.Sizes == nil && q.Lengths == nil && q.Partly == measure.Size{} && q.Threads == nil && q.Tube == "" && q.Roles == nil && q.Make == "" && q.Bikes == nil &&
		q.Fork == "" && q.Layout == "" && !q.InStock && !q.Out && !slices.ContainsFunc(r.words, func(w word) bool { return !w.used && w.key != "" })
	if idle {
		q.Leg = ""
	}
	for _, w := range r.words {
		if w.key != "" && (idle || !w.used) {
			q.Words = append(q.Words, w.typed)
		}
	}
}
