package shop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Xref is everything that a number can be replaced by.
type Xref struct {
	Number       string        `json:"number"` // as it is written where it was found
	Maker        string        `json:"maker"`
	Current      string        `json:"current"` // the number that is valid now; the same where nothing replaced it
	CurrentMaker string        `json:"current_maker"`
	How          fault.Message `json:"how,omitzero"`     // what the number is, where it is no part's own
	Old          fault.Message `json:"old,omitzero"`     // that the part was replaced, and whether it may be fitted yet
	Unknown      fault.Message `json:"unknown,omitzero"` // that no part has the new number that was told
	Chain        []XrefLink    `json:"chain"`            // the oldest first, the current one last; only it where nothing is told
	Equivalents  []Equivalent  `json:"equivalents"`
	UsableIn     []string      `json:"usable_in"` // forks that the old part may still be fitted to
}

// CurrentKept reports whether the shop keeps a part of the number that is valid
// now.
func (x Xref) CurrentKept() bool { return len(x.Chain) > 0 && x.Chain[len(x.Chain)-1].Kept }

// XrefLink is one number of a chain; Part is that of the shop, nil where it
// keeps none.
type XrefLink struct {
	Number     string `json:"number"`
	Maker      string `json:"maker"`
	Usable     bool   `json:"usable"` // may be fitted instead of the number asked for
	ReplacedBy string `json:"replaced_by,omitempty"`
	BothWays   bool   `json:"both_ways"`
	Since      string `json:"since"`  // year, month or day; empty: not known
	Reason     string `json:"reason"` // why it was replaced
	Source     string `json:"source"`
	Kept       bool   `json:"kept"`
	*Part
}

// Name gives the number with its maker, as a command takes it.
func (l XrefLink) Name() string { return l.Maker + "/" + l.Number }

// Tail gives since when and why the number was replaced, as it follows a
// sentence.
func (l XrefLink) Tail() fault.Message {
	return catalog.Replacement{Since: l.Since, Reason: l.Reason}.Tail()
}

// Equivalent is another number of the part, or a part of another maker with
// the same role and size.
type Equivalent struct {
	Number  string          `json:"number"`
	Maker   string          `json:"maker"`
	Verdict catalog.Verdict `json:"verdict"` // fits
	Reasons []fault.Message `json:"reasons"`
	Source  string          `json:"source"` // who says so
	*Part
}

// Name gives the number with its maker, as a command takes it.
func (e Equivalent) Name() string { return e.Maker + "/" + e.Number }

// Xref gives everything that a number can be replaced by. Errors: NotFound,
// with look-alikes as candidates; Ambiguous.
func (s *Shop) Xref(ctx context.Context, name string) (out Xref, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		n, err := catalog.NumberNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		out, err = xref(ctx, tx, n)
		return err
	})
	return out, err
}

func xref(ctx context.Context, tx *store.Tx, n catalog.Named) (Xref, error) {
	out := Xref{Number: n.Number, Maker: n.Maker, Chain: []XrefLink{}, Equivalents: []Equivalent{}, UsableIn: []string{}}
	chain, err := catalog.Chain(ctx, tx, n.Ref)
	if err != nil {
		return out, err
	}
	base := n.Part // by which equivalents are judged: the current one where the shop keeps it
	for _, l := range chain {
		v := XrefLink{
			Number: l.Number, Maker: l.Maker, Usable: l.Usable, BothWays: l.By.BothWays, Since: l.By.Since,
			Reason: l.By.Reason, Source: l.By.Source, Kept: l.Part != "",
		}
		if l.By.ID != "" {
			v.ReplacedBy = l.By.New.Name()
		}
		if v.Part, err = partView(ctx, tx, l.Part); err != nil {
			return out, err
		}
		out.Chain = append(out.Chain, v)
		if l.By.ID == "" {
			out.Current, out.CurrentMaker = l.Number, l.Maker
			base = cmp.Or(l.Part, base)
		}
	}
	if n.Part != "" {
		if out.UsableIn, err = catalog.UsableIn(ctx, tx, n.Part); err != nil {
			return out, err
		}
		out.UsableIn = append([]string{}, out.UsableIn...)
		s, replaced, err := catalog.SuccessionOf(ctx, tx, n.Part)
		if err != nil {
			return out, err
		}
		if replaced {
			out.Old = s.Old()
		}
		if p, ok, err := catalog.PartByID(ctx, tx, n.Part); err != nil {
			return out, err
		} else if ok && p.Ref() != n.Ref {
			out.How = fault.Say("catalog.other_number_of", n.Name(), p.Name())
		}
	}
	return out, out.equivalents(ctx, tx, base, chain)
}

// partView shows a part by its id, nil for none.
func partView(ctx context.Context, tx *store.Tx, id string) (*Part, error) {
	p, ok, err := catalog.PartByID(ctx, tx, id)
	if err != nil || !ok {
		return nil, err
	}
	v, err := view(ctx, tx, p, fault.Message{})
	return &v, err
}

// equivalents fills in other numbers of the parts of the chain, and the parts
// of other makers that have role and size of base.
func (out *Xref) equivalents(ctx context.Context, tx *store.Tx, base string, chain []catalog.ChainLink) error {
	for _, l := range chain {
		if l.Part == "" || !l.Usable {
			continue
		}
		others, err := catalog.OtherNumbers(ctx, tx, l.Part)
		if err != nil {
			return err
		}
		for _, o := range others {
			v, err := partView(ctx, tx, l.Part)
			if err != nil {
				return err
			}
			out.Equivalents = append(out.Equivalents, Equivalent{
				Number: o.Number, Maker: o.Maker, Verdict: catalog.Fits, Source: o.Source,
				Reasons: []fault.Message{fault.Say("shop.same_part", l.Name())}, Part: v,
			})
		}
	}
	p, ok, err := catalog.PartByID(ctx, tx, base)
	if err != nil || !ok {
		return err
	}
	matches, err := catalog.Equivalents(ctx, tx, p)
	if err != nil {
		return err
	}
	var alike []Equivalent
	for _, m := range matches {
		if slices.ContainsFunc(chain, func(l catalog.ChainLink) bool { return l.Part == m.Part.ID }) {
			continue
		}
		v, err := view(ctx, tx, m.Part, fault.Message{})
		if err != nil {
			return err
		}
		alike = append(alike, Equivalent{
			Number: m.Part.Number, Maker: m.Part.Maker, Verdict: m.Verdict, Source: m.Part.Source, Reasons: m.Why, Part: &v,
		})
	}
	slices.SortStableFunc(alike, func(a, b Equivalent) int { // what lies there first
		return cmp.Or(cmp.Compare(b.Available, a.Available), strings.Compare(catalog.Normal(a.Number), catalog.Normal(b.Number)))
	})
	out.Equivalents = append(out.Equivalents, alike...)
	return nil
}

// AddNumber says that a part has a further number MAKER/NUMBER. Errors:
// Invalid, NotFound, Ambiguous, Conflict (a part has it already).
func (s *Shop) AddNumber(ctx context.Context, part, number, source string) (Xref, error) {
	return s.told(ctx, source, func(ctx context.Context, tx *store.Tx, t catalog.Told) (catalog.Named, error) {
		p, err := catalog.PartNamed(ctx, tx, part)
		if err != nil {
			return catalog.Named{}, err
		}
		ref, err := catalog.ParseRef(tidied(number))
		if err != nil {
			return catalog.Named{}, err
		}
		_, err = catalog.AddOtherNumber(ctx, tx, catalog.OtherNumber{Part: p.ID, Ref: ref, Told: t})
		return catalog.Named{Ref: p.Ref(), Part: p.ID}, err
	})
}

// ReplacementFacts are what can be told of a replacement; nil leaves a fact as
// it is.
type ReplacementFacts struct {
	BothWays *bool
	Since    *string // 2019, 2019-05 or 2019-05-14
	Reason   *string
	Source   *string // default: who says so
	Known    bool    // refuse a new number that no part has
	Wrong    bool    // it was never replaced by that one: take it back
}

func (f ReplacementFacts) apply(r *catalog.Replacement) {
	if f.BothWays != nil {
		r.BothWays = *f.BothWays
	}
	set(&r.Since, f.Since)
	set(&r.Reason, f.Reason)
	set(&r.Source, f.Source)
}

// AddReplacement says that a number was replaced by another. A number of no
// part is told with its maker. Errors: Invalid, Ambiguous, Conflict (told
// already, or it would go round in a circle; Known, and no part has it).
func (s *Shop) AddReplacement(ctx context.Context, old, by string, f ReplacementFacts) (out Xref, err error) {
	var unknown fault.Message
	out, err = s.told(ctx, text(f.Source), func(ctx context.Context, tx *store.Tx, t catalog.Told) (catalog.Named, error) {
		r, err := replacementNamed(ctx, tx, old, by)
		if err != nil {
			return catalog.Named{}, err
		}
		odd, err := unkept(ctx, tx, r.New)
		if err != nil {
			return catalog.Named{}, err
		}
		f.apply(&r)
		r.Told = t
		if r, err = catalog.AddReplacement(ctx, tx, r); err != nil {
			return catalog.Named{}, err
		}
		if odd != nil && f.Known {
			return catalog.Named{}, odd
		} else if odd != nil {
			unknown = odd.Message
		}
		if err := catalog.TellReplacement(ctx, tx, r, word(Actor{ID: t.Person}, "", text(f.Source))); err != nil {
			return catalog.Named{}, err
		}
		return catalog.NumberNamed(ctx, tx, r.Old.Name())
	})
	out.Unknown = unknown
	return out, err
}

// unkept says that no part has a number, with look-alikes as candidates; nil
// where one has.
func unkept(ctx context.Context, tx *store.Tx, ref catalog.Ref) (*fault.Error, error) {
	n, err := catalog.NumberNamed(ctx, tx, ref.Name())
	if err != nil && fault.KindOf(err) != fault.NotFound || err == nil && n.Part != "" {
		return nil, err
	}
	odd := fault.New(fault.Conflict, "shop.unkept", ref.Name()).WithHint("shop.unkept.hint")
	if err != nil && len(fault.Of(err).Candidates) > 0 {
		odd.Candidates = fault.Of(err).Candidates
		odd.Message = fault.Say("shop.unkept_like", ref.Name(), odd.Candidates[0].Name)
	}
	return odd, nil
}

// ChangeReplacement corrects what was told of a replacement, or takes it back.
// Errors: Invalid, NotFound, Ambiguous.
func (s *Shop) ChangeReplacement(ctx context.Context, old, by string, f ReplacementFacts) (Xref, error) {
	if f == (ReplacementFacts{}) {
		return Xref{}, noChange()
	}
	return s.told(ctx, text(f.Source), func(ctx context.Context, tx *store.Tx, t catalog.Told) (catalog.Named, error) {
		named, err := replacementNamed(ctx, tx, old, by)
		if err != nil {
			return catalog.Named{}, err
		}
		r, err := catalog.ReplacementOf(ctx, tx, named.Old, named.New)
		if err != nil {
			return catalog.Named{}, err
		}
		f.apply(&r)
		r.Person = t.Person
		if f.Wrong {
			if err = catalog.WithdrawAll(ctx, tx, catalog.AboutReplacement, r.ID, or(r.Reason, "–"), t.Person); err == nil {
				err = catalog.DropReplacement(ctx, tx, r)
			}
		} else {
			err = catalog.ChangeReplacement(ctx, tx, r)
		}
		n := catalog.Named{Ref: r.Old}
		if all, err2 := catalog.NumbersNamed(ctx, tx, r.Old.Name()); err2 == nil && len(all) == 1 {
			n = all[0]
		}
		return n, err
	})
}

// replacementNamed reads the two numbers of a replacement.
func replacementNamed(ctx context.Context, tx *store.Tx, old, by string) (r catalog.Replacement, err error) {
	if r.Old, err = refNamed(ctx, tx, old); err != nil {
		return r, err
	}
	r.New, err = refNamed(ctx, tx, by)
	return r, err
}

// refNamed reads a number: one that is known, as it is written, else
// MAKER/NUMBER. Errors: Invalid, Ambiguous.
func refNamed(ctx context.Context, tx *store.Tx, name string) (catalog.Ref, error) {
	n, err := catalog.NumberNamed(ctx, tx, name)
	if fault.KindOf(err) == fault.NotFound {
		return catalog.ParseRef(tidied(name))
	}
	return n.Ref, err
}

// AddUsable says that an old part may still be fitted to a fork. Errors:
// Invalid, NotFound, Ambiguous, Conflict (nothing replaced the part).
func (s *Shop) AddUsable(ctx context.Context, part, fork, source string) (Xref, error) {
	return s.told(ctx, source, func(ctx context.Context, tx *store.Tx, t catalog.Told) (catalog.Named, error) {
		n, f, err := usableNamed(ctx, tx, part, fork)
		if err != nil {
			return n, err
		}
		_, replaced, err := catalog.SuccessionOf(ctx, tx, n.Part)
		if err == nil && !replaced {
			err = fault.New(fault.Conflict, "shop.not_replaced", n.Name()).WithHint("shop.not_replaced.hint")
		}
		if err != nil {
			return n, err
		}
		return n, catalog.AddUsable(ctx, tx, n.Part, f.ID, t)
	})
}

// DropUsable takes back that an old part may still be fitted to a fork.
// Errors: NotFound, Ambiguous, Conflict (nobody had said so).
func (s *Shop) DropUsable(ctx context.Context, part, fork string) (Xref, error) {
	return s.told(ctx, "", func(ctx context.Context, tx *store.Tx, _ catalog.Told) (catalog.Named, error) {
		n, f, err := usableNamed(ctx, tx, part, fork)
		if err != nil {
			return n, err
		}
		was, err := catalog.DropUsable(ctx, tx, n.Part, f.ID)
		if err == nil && !was {
			err = fault.New(fault.Conflict, "shop.not_usable", n.Name(), f.Name)
		}
		return n, err
	})
}

func usableNamed(ctx context.Context, tx *store.Tx, part, fork string) (n catalog.Named, f catalog.Fork, err error) {
	p, err := catalog.PartNamed(ctx, tx, part)
	if err != nil {
		return n, f, err
	}
	f, err = catalog.ForkNamed(ctx, tx, fork)
	return catalog.Named{Ref: p.Ref(), Part: p.ID}, f, err
}

// told keeps something that somebody says of a number, and shows what is known
// of that number then.
func (s *Shop) told(ctx context.Context, source string,
	keep func(context.Context, *store.Tx, catalog.Told) (catalog.Named, error),
) (out Xref, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		n, err := keep(ctx, tx, catalog.Told{Source: cmp.Or(tidied(source), who.Name), Person: who.ID})
		if err != nil {
			return err
		}
		out, err = xref(ctx, tx, n)
		return err
	})
	return out, err
}
