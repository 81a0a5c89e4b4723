package shop

import (
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// BagCandidate is a part that may lie in a bag.
type BagCandidate struct {
	Part
	Reasons []fault.Message `json:"reasons"` // why it may be, the strongest first
	Doubts  []fault.Message `json:"doubts"`  // what speaks against it
	Open    []fault.Message `json:"open"`    // what was not compared
}

// BagLook is what a bag may hold.
type BagLook struct {
	Candidates []BagCandidate  `json:"candidates"` // the likeliest first
	Items      []Item          `json:"items"`      // of suppliers' lists, no parts yet
	Usual      []fault.Message `json:"usual"`      // seals of usual sizes that it may be, whoever makes them
	Bin        string          `json:"bin"`        // what was scanned is the label of this bin; empty: it is none
}

// Empty reports whether nothing was found.
func (l BagLook) Empty() bool { return len(l.Candidates) == 0 && l.Bin == "" }

// Limits of what is told of a bag.
const (
	mostCandidates = 6
	fewCandidates  = 3 // beside a number that stands on the part
	mostBagItems   = 3
	mostUsual      = 4
)

// How much each sign counts. A number that stands on the part counts more than its
// sizes, and these more than words; what speaks against it takes some of it away.
const (
	signNumber   = 60 // its whole number, or a code that stands for it
	signPart     = 35 // its number is part of what stands on it
	signSize     = 12 // for each size that agrees
	signFound    = 10 // a search for the words finds it
	signDisagree = 40
)

// LookBag gives the parts that may lie in a bag by what stands on the part and by
// its sizes, each empty where it is not told. Error: Invalid (the sizes).
func (s *Shop) LookBag(ctx context.Context, marking, size string) (BagLook, error) {
	k := bagLooking{s: s, marking: tidied(marking), marks: map[string]*bagMark{}}
	out := BagLook{Candidates: []BagCandidate{}, Items: []Item{}, Usual: []fault.Message{}}
	if size = tidied(size); size != "" {
		c, err := catalog.ParseCallipers(size)
		if err != nil {
			return out, err
		}
		k.size = &c
	}
	if k.marking != "" {
		found, err := s.Find(ctx, k.marking, 2*mostCandidates)
		if err != nil && fault.KindOf(err) != fault.Invalid {
			return out, err
		}
		k.found = found.Parts
		out.Items = append(out.Items, found.Items[:min(len(found.Items), mostBagItems)]...)
	}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		if k.marking != "" {
			bin, _, err := inventory.PartsIn(ctx, tx, k.marking)
			if err != nil || bin != "" {
				out.Bin = bin
				return err
			}
		}
		for _, look := range []func(context.Context, *store.Tx) error{k.numbers, k.sizes, k.words} {
			if err := look(ctx, tx); err != nil {
				return err
			}
		}
		var err error
		if out.Candidates, err = k.best(ctx, tx); err != nil {
			return err
		}
		out.Usual, err = k.usual(ctx, tx)
		return err
	})
	return out, err
}

// usual gives the usual sizes of seals that agree with the callipers: a new one is
// best entered by its usual size, for its lip stands smaller than the tube.
func (k *bagLooking) usual(ctx context.Context, tx *store.Tx) ([]fault.Message, error) {
	all := []fault.Message{}
	if k.size == nil {
		return all, nil
	}
	rows, err := catalog.Usuals(ctx, tx, 0, "")
	for _, u := range rows {
		if u.Role != catalog.OilSeal && u.Role != catalog.Wiper || len(all) == mostUsual {
			continue
		}
		if a, ok := k.size.Compare(catalog.Part{Role: u.Role, Size: u.Size}); ok && a.Agreed >= 2 {
			all = append(all, fault.Say("shop.bag.usual", fault.Say("role."+string(u.Role)), u.Size))
		}
	}
	return all, err
}

// bagLooking collects signs of what lies in a bag.
type bagLooking struct {
	s       *Shop
	marking string
	size    *catalog.Callipers
	found   []Part
	marks   map[string]*bagMark // by part id
	order   []string
}

// bagMark is what speaks for and against a part.
type bagMark struct {
	part                  catalog.Part
	points                int
	reasons, doubts, open []fault.Message
}

func (k *bagLooking) mark(p catalog.Part, points int, why ...fault.Message) {
	m := k.marks[p.ID]
	if m == nil {
		m = &bagMark{part: p}
		k.marks[p.ID] = m
		k.order = append(k.order, p.ID)
		if k.size != nil {
			if against := k.size.Disagrees(p); len(against) > 0 {
				m.points -= signDisagree
				m.doubts = append(m.doubts, against...)
			}
		}
	}
	m.points += points
	m.reasons = append(m.reasons, why...)
}

// numbers looks for numbers and codes in the marking.
func (k *bagLooking) numbers(ctx context.Context, tx *store.Tx) error {
	if k.marking == "" {
		return nil
	}
	p, how, err := partFor(ctx, tx, k.marking)
	names := []string{}
	switch fault.KindOf(err) {
	case "":
		if how.IsZero() {
			how = fault.Say("shop.bag.number")
		}
		k.mark(p, signNumber, how)
	case fault.Ambiguous:
		for _, c := range fault.Of(err).Candidates {
			names = append(names, c.Name)
		}
	case fault.NotFound, fault.Invalid:
	default:
		return err
	}
	for _, name := range names {
		p, err := catalog.PartNamed(ctx, tx, name)
		if err == nil {
			points := signNumber
			if strings.EqualFold(p.Number, k.marking) {
				points++ // of two whose numbers differ by dashes alone, that which is written so
			}
			k.mark(p, points, fault.Say("shop.bag.number"))
		} else if kind := fault.KindOf(err); kind != fault.NotFound && kind != fault.Ambiguous {
			return err
		}
	}
	some, err := catalog.Marked(ctx, tx, k.marking)
	for _, p := range some {
		if m := k.marks[p.ID]; m == nil {
			k.mark(p, signPart, fault.Say("shop.bag.in_marking", p.Number))
		}
	}
	return err
}

// sizes compares what the callipers say, and sizes that stand in the marking.
func (k *bagLooking) sizes(ctx context.Context, tx *store.Tx) error {
	c := k.size
	if c == nil {
		return nil
	}
	all, err := catalog.AlikeBy(ctx, tx, *c)
	for i, a := range all {
		points := signSize * a.Agreed
		if i == 0 || a.Off == all[0].Off && a.Agreed == all[0].Agreed {
			points += signSize / 2
		}
		k.mark(a.Part, points, fault.Say("shop.bag.sizes", a.Agreed))
		m := k.marks[a.Part.ID]
		m.open = append(m.open, a.Why...)
	}
	return err
}

// words takes what a search for the marking found.
func (k *bagLooking) words(ctx context.Context, tx *store.Tx) error {
	for i, hit := range k.found {
		p, err := catalog.PartNamed(ctx, tx, hit.Name())
		if kind := fault.KindOf(err); kind == fault.NotFound || kind == fault.Ambiguous {
			continue
		}
		if err != nil {
			return err
		}
		if k.marks[p.ID] == nil && k.size != nil && len(k.size.Disagrees(p)) > 0 {
			continue // a word alone does not stand against the callipers
		}
		if k.marks[p.ID] != nil {
			k.mark(p, max(signFound-i, 1))
			continue
		}
		why := hit.Why
		if why.IsZero() {
			why = fault.Say("shop.bag.found")
		}
		k.mark(p, max(signFound-i, 1), why)
	}
	return nil
}

// best gives the likeliest parts.
func (k *bagLooking) best(ctx context.Context, tx *store.Tx) ([]BagCandidate, error) {
	slices.SortStableFunc(k.order, func(a, b string) int { return k.marks[b].points - k.marks[a].points })
	all, most := []BagCandidate{}, mostCandidates
	if len(k.order) > 0 && k.marks[k.order[0]].points >= signNumber {
		most = fewCandidates
	}
	some := func(all []fault.Message) []fault.Message { return append([]fault.Message{}, all...) }
	for _, id := range k.order[:min(len(k.order), most)] {
		m := k.marks[id]
		v, err := view(ctx, tx, m.part, fault.Message{})
		if err != nil {
			return nil, err
		}
		all = append(all, BagCandidate{Part: v, Reasons: some(m.reasons), Doubts: some(m.doubts), Open: some(m.open)})
	}
	return all, nil
}
