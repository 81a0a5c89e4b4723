package search

import (
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

const (
	usualLimit = 20
	mostText   = 200 // bytes of a text
)

// Find answers a text from tx and the index. A nil ix answers from SQLite
// alone. No hit is no error. Errors: Invalid (nothing to look for, or too much
// of it), and those of the database.
func (ix *Index) Find(ctx context.Context, tx *store.Tx, text string, opt Options) (Hits, error) {
	switch {
	case catalog.Normal(text) == "":
		return Hits{}, fault.New(fault.Invalid, "search.empty").WithHint("search.hint")
	case len(text) > mostText:
		return Hits{}, fault.New(fault.Invalid, "search.long", mostText).WithHint("search.hint")
	}
	newest, err := newestChange(ctx, tx)
	if err != nil {
		return Hits{}, err
	}
	lex := ix.lexicon(tx, newest)
	v, err := ix.vocabularyOf(ctx, tx, newest, lex)
	if err != nil {
		return Hits{}, err
	}
	f := finder{q: Understand(text, v), v: v, lex: lex, opt: opt, numbersFound: map[string]set{}}
	if f.opt.Limit <= 0 {
		f.opt.Limit = usualLimit
	}
	return f.find(ctx, tx)
}

// finder is one question on its way to its answer.
type finder struct {
	q       Query
	v       *Vocabulary
	lex     lexicon
	opt     Options
	bikes   []carrier       // the forks of the bikes, or of the name, in the text
	rest    []string        // words that no condition has used up
	numbers map[string]bool // words of which a number was made
	narrow  bool            // more is asked for than numbers and words
	notes   []fault.Message
	hits    Hits

	wide         bool           // neither sizes nor bikes are named
	roleAlone    bool           // the kind of part is the only condition beside words
	numbersFound map[string]set // by number
	groups       []*alike       // of the size that alone was asked for
	cut          bool           // there is more than was looked at
	uncounted    int            // parts that were looked at and will not be shown
}

// narrows reports whether something is asked for beside what is being looked
// for, so that all of it has to be looked at.
func (f *finder) narrows() bool {
	return f.q.InStock || f.q.Out || len(f.q.Not) > 0 || len(f.rest) > 0 || len(f.q.Lengths) > 1 || len(f.q.Threads) > 0 || f.q.Long != 0 ||
		f.q.Leg != "" || len(f.q.Prefer)+len(f.q.With)+len(f.q.Without) > 0 || f.q.Partly != measure.Size{} ||
		f.opt.Only != Only{}
}

// mostWords is how many words that mean nothing themselves are looked for: each
// is asked of the index, alone and with the others.
const mostWords = 16

// mostTallied is how many parts are looked at to count what an answer can be
// narrowed down to.
const mostTallied = 1000

// deep gives how many parts to look at: quick, unless all of them are needed.
func (f *finder) deep(quick int) int {
	switch {
	case f.narrows():
		return mostLooked
	case f.opt.Tally:
		return max(quick, mostTallied)
	}
	return quick
}

func (f *finder) find(ctx context.Context, tx *store.Tx) (Hits, error) {
	found, err := f.named(ctx, tx)
	if err != nil {
		return f.hits, err
	}
	if known := found.names(); len(f.q.Words) > 0 && (known || f.notes != nil) {
		// The text as a whole is a number or code, whatever else its words
		// could be.
		f.q = Query{Text: f.q.Text}
		if known {
			f.notes = append(f.notes, fault.Say("search.named", f.q.Text))
		}
	}
	ranked, err := f.all(ctx, tx, &found)
	if err != nil {
		return f.hits, err
	}
	for _, step := range []func() error{
		func() error { return f.parts(ctx, tx, found, ranked) },
		func() error { return f.forks(ctx, tx) },
		func() error { return f.items(ctx, tx) },
		func() error { return f.suggest(ctx, tx) },
	} {
		if err := step(); err != nil {
			return f.hits, err
		}
	}
	if err := f.nearest(ctx, tx); err != nil {
		return f.hits, err
	}
	if f.cut && (f.opt.Tally || f.opt.Only != Only{}) {
		f.notes = append(f.notes, fault.Say("search.first_only"))
	}
	f.hits.Meant = f.meant()
	f.tell()
	return f.hits, nil
}

// all adds what meets the conditions and the words of the text to what it
// names, and gives the order of roles.
func (f *finder) all(ctx context.Context, tx *store.Tx, found *set) (ranked []catalog.Role, err error) {
	possible := f.narrowTo()
	if f.q.Words = distinct(f.q.Words); len(f.q.Words) > mostWords {
		f.q.Words = f.q.Words[:mostWords]
		f.notes = append(f.notes, fault.Say("search.many_words", mostWords))
	}
	f.rest = f.q.Words
	f.wide = f.q.Sizes == nil && f.q.Lengths == nil && f.q.Bikes == nil && f.q.Fork == "" && f.q.Make == "" && f.q.Threads == nil
	met, err := f.conditions(ctx, tx)
	if err != nil {
		return nil, err
	}
	if !possible {
		met, *found = set{}, set{}
	}
	ranked = f.q.Roles
	if ranked == nil && met != nil {
		ranked = catalog.Roles
	}
	if met, err = f.worded(ctx, tx, met, len(*found) > 0); err != nil {
		return nil, err
	}
	if met == nil && f.roleAlone {
		f.rest = nil
		if met, err = f.byRoles(ctx, tx, f.q.Roles); err != nil {
			return nil, err
		}
	}
	found.addAll(met)
	if err := f.without(ctx, *found); err != nil {
		return nil, err
	}
	return ranked, f.keepOnly(ctx, tx, *found)
}

// conditions gives the parts that meet everything that is asked for but the
// words that are left; nil where that is nothing.
func (f *finder) conditions(ctx context.Context, tx *store.Tx) (set, error) {
	met, err := f.meeting(ctx, tx)
	if err != nil {
		return nil, err
	}
	f.narrow = met != nil || f.roleAlone
	if f.q.stockAlone() && f.opt.OnHand != "" {
		return f.byStock(ctx, tx)
	}
	if f.roleAlone && (len(f.q.Not) > 0 || f.q.Leg != "" || len(f.q.Prefer)+len(f.q.With)+len(f.q.Without) > 0) {
		f.roleAlone = false
		if met, err = f.byRoles(ctx, tx, f.q.Roles); err != nil {
			return nil, err
		}
	}
	if met, err = f.binned(ctx, tx, met); err != nil {
		return nil, err
	}
	if met, err = f.numbered(ctx, tx, met); err != nil {
		return nil, err
	}
	return met, f.packed(ctx, tx, met)
}

// within gives the roles to look through, nil for all: a kit is looked for
// through everything that may be in it.
func (f *finder) within() []catalog.Role {
	if slices.Contains(f.q.Roles, catalog.Kit) {
		return nil
	}
	return f.q.Roles
}

// named gives the parts that the whole text names: by a code, by a number, or
// by the beginning of one.
func (f *finder) named(ctx context.Context, tx *store.Tx) (set, error) {
	all, note, err := byCode(ctx, tx, f.q.Text)
	if err != nil {
		return nil, err
	}
	if !note.IsZero() {
		f.notes = append(f.notes, note)
	}
	more, err := byName(ctx, tx, f.q.Text)
	if err != nil {
		return nil, err
	}
	all.addAll(more)
	more, err = f.byNumber(ctx, tx, catalog.Normal(f.q.Text), nil)
	all.addAll(more)
	return all, err
}

// meeting gives the parts that meet every condition of the text but its
// words; nil where it has none.
func (f *finder) meeting(ctx context.Context, tx *store.Tx) (set, error) {
	met, err := f.fitting(ctx, tx)
	if err != nil {
		return nil, err
	}
	if met, err = f.sized(ctx, tx, met); err != nil {
		return nil, err
	}
	if met == nil {
		f.roleAlone = f.q.Roles != nil
		return nil, nil
	}
	strict := len(f.q.Sizes) == 0
	if slices.Contains(f.q.Roles, catalog.Kit) || len(f.q.Roles) == 0 && strict && met.fitting() < f.plenty() {
		more, err := kits(ctx, tx, met, strict)
		if err != nil {
			return nil, err
		}
		met.addAll(more)
	}
	met.keep(func(c candidate) bool { return len(f.q.Roles) == 0 || slices.Contains(f.q.Roles, c.part.Role) })
	return met, nil
}

// fitting gives the parts for the bikes or the fork of the text.
func (f *finder) fitting(ctx context.Context, tx *store.Tx) (met set, err error) {
	from, to := f.q.years()
	switch {
	case f.q.Bikes != nil:
		for _, b := range f.q.Bikes {
			more, err := carriersOf(ctx, tx, b, from, to)
			if err != nil {
				return nil, err
			}
			f.bikes = append(f.bikes, more...)
			if len(f.bikes) >= mostCarriers {
				f.cut = true
				break
			}
		}
		err = f.told(ctx, tx)
	case f.q.Make != "":
		f.bikes, err = carriersOf(ctx, tx, Bike{Make: f.q.Make}, from, to)
	case f.q.Fork != "":
		f.bikes, err = forkNamed(ctx, tx, f.q.Fork)
	case f.q.Layout != "":
		f.bikes, err = forksLaid(ctx, tx, f.q.Layout)
	default:
		if err := f.told(ctx, tx); err != nil {
			return nil, err
		}
		if f.bikes == nil && len(f.q.Words) > 0 {
			f.bikes, err = tagged(ctx, tx, f.q.Text)
			if err != nil || f.bikes == nil {
				return nil, err
			}
			f.rest = nil
		}
		if f.bikes == nil {
			return nil, nil
		}
	}
	if err != nil {
		return nil, err
	}
	if len(f.bikes) == 0 {
		return set{}, f.noBike(ctx, tx)
	}
	if f.q.Fork != "" && (f.q.Bikes != nil || f.q.Make != "") {
		f.bikes = slices.DeleteFunc(f.bikes, func(c carrier) bool { return c.name != f.q.Fork })
	}
	if f.q.Layout != "" {
		f.bikes = slices.DeleteFunc(f.bikes, func(c carrier) bool { return c.layout != f.q.Layout })
	}
	if f.q.layoutAlone() {
		return set{}, nil
	}
	f.slider()
	return f.partsOf(ctx, tx, f.few(f.bikes, mostForks), f.within(), f.q.Leg, false)
}

// noBike notes that a bike is not known in that year, and which years are.
func (f *finder) noBike(ctx context.Context, tx *store.Tx) error {
	for _, b := range f.q.Bikes {
		_, _, err := catalog.ForksOf(ctx, tx, catalog.BikeQuery{Make: b.Make, Model: b.Model, Year: f.q.Year})
		if fault.KindOf(err) == fault.NotFound {
			e := fault.Of(err)
			f.notes = append(f.notes, e.Message, e.Hint)
			kin, err := kinOf(ctx, tx, b, f.q)
			if err != nil {
				return err
			}
			if kin != "" {
				f.notes = append(f.notes, fault.Say("search.kin", kin))
			}
		} else if err != nil {
			return err
		}
	}
	return nil
}

// sized keeps of met what has the sizes, diameters and threads of the text.
func (f *finder) sized(ctx context.Context, tx *store.Tx, met set) (set, error) {
	for _, size := range f.q.Sizes {
		more, err := f.bySize(ctx, tx, size)
		if err != nil {
			return nil, err
		}
		met = met.and(more)
	}
	for i, l := range f.q.Lengths {
		if i > 0 {
			met.keep(func(c candidate) bool { return withDimension(c.part, l) })
			continue
		}
		more, err := f.byDiameter(ctx, tx, l, f.within())
		if err != nil {
			return nil, err
		}
		met = met.and(more)
	}
	for _, t := range f.q.Threads {
		more, err := f.byThread(ctx, tx, t)
		if err != nil {
			return nil, err
		}
		if len(more) > 0 && more.fitting() == 0 {
			f.notes = append(f.notes, fault.Say("search.pitch_open", t))
		}
		met = met.and(more)
	}
	met, err := f.partly(ctx, tx, met)
	if err != nil {
		return nil, err
	}
	if f.q.Long != 0 && met == nil {
		more, err := f.looked(ctx, tx, because("search.why_long", f.q.Long), `p.height_um = $1 AND p.thread <> ''`,
			int64(f.q.Long))
		if err != nil {
			return nil, err
		}
		met = more
	}
	if f.q.Long != 0 {
		met.keep(func(c candidate) bool { return c.part.Size.Height == f.q.Long })
	}
	return met, nil
}

// longestNumber is how many words a number can be written in: "OS 39 52".
const longestNumber = 4

// numbered keeps of met what has the numbers, or beginnings of numbers, that
// stand among other words, in one word or several. What is no number of met
// stays a word: "10W".
func (f *finder) numbered(ctx context.Context, tx *store.Tx, met set) (set, error) {
	for n := min(longestNumber, len(f.rest)); n > 0; n-- {
		for i := 0; i+n <= len(f.rest); {
			norm := catalog.Normal(strings.Join(f.rest[i:i+n], ""))
			if len(norm) < 2 || n > 1 && !hasDigit(norm) {
				i++
				continue
			}
			found, err := f.byNumber(ctx, tx, norm, met)
			if err == nil && len(found) == 0 {
				found, err = f.byMiddle(ctx, tx, strings.Join(f.rest[i:i+n], " "), f.q.Make != "" || f.q.Bikes != nil || f.q.Fork != "")
			}
			if err != nil {
				return nil, err
			}
			if f.roleAlone {
				found.keep(func(c candidate) bool { return slices.Contains(f.q.Roles, c.part.Role) })
			}
			if both := found.and(met); len(both) > 0 {
				met = both
				f.use(f.rest[i : i+n])
				f.rest = slices.Delete(slices.Clone(f.rest), i, i+n)
			} else {
				i++
			}
		}
	}
	return met, nil
}
