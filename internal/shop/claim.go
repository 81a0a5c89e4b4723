package shop

import (
	"context"
	"strconv"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Source is a claim: who says what of which field, and how often it was seen
// right or wrong.
type Source struct {
	Claim   int64        `json:"claim"` // the number to withdraw it by
	About   string       `json:"about"` // part, place, place_part, fitment, fork, replacement
	Part    string       `json:"part,omitempty"`
	Fork    string       `json:"fork,omitempty"`
	Role    catalog.Role `json:"role,omitempty"`
	Place   int          `json:"place,omitempty"` // in the stack, from 1
	Field   string       `json:"field"`
	Value   string       `json:"value"` // empty: "not known"; of "fits" yes or no
	InForce bool         `json:"in_force"`
	How     string       `json:"how"`    // list, manual, bench, practice, told
	Source  string       `json:"source"` // list and date, manual and page; empty: the person
	Person  string       `json:"person"`
	Day     string       `json:"day"`
	Right   int          `json:"right"`
	Wrong   int          `json:"wrong"`
	Why     string       `json:"why,omitempty"` // the last that was said of seeing it

	Withdrawn    string `json:"withdrawn"` // the reason; empty while it stands
	WithdrawnBy  string `json:"withdrawn_by,omitempty"`
	WithdrawnDay string `json:"withdrawn_day,omitempty"`
}

// Says gives what is claimed: "size 39x52x11".
func (s Source) Says() fault.Message {
	var value any = s.Value
	size, err := measure.ParseSize(s.Value)
	switch {
	case s.Value == "":
		value = fault.Say("claim.unknown")
	case s.Field == "fits":
		return fault.Say("claim.fits." + s.Value)
	case s.Field == "size" && err == nil:
		value = sizes(size, "")
	default:
		if word, ok := catalog.Worded(s.Field, s.Value); ok {
			value = word
		}
	}
	return fault.Say("claim.value", fault.Say("claim.field."+s.Field), value)
}

// Of gives what it is claimed of: "Tolmek/KB-39", "Corva 39, oil seal".
func (s Source) Of() fault.Message {
	if s.Role == "" {
		return fault.Plain(s.Part + s.Fork)
	}
	place := fault.Say("claim.place", s.Fork, fault.Say("role."+string(s.Role)), s.Place)
	if s.Part == "" {
		return place
	}
	return fault.Say("claim.part_at", s.Part, place)
}

// By gives whose word it is: "printed list Halm 3/2026, Mika 2026-11-28".
func (s Source) By() fault.Message {
	if s.Source == "" {
		return fault.Say("claim.by", fault.Say("how."+s.How), s.Person, s.Day)
	}
	return fault.Say("claim.by_source", fault.Say("how."+s.How), s.Source, s.Person, s.Day)
}

// word is whose word a fact is that somebody types.
func word(who Actor, how, source string) catalog.Word {
	return catalog.Word{How: or(wordFor("how", how, catalog.Hows), "told"), Source: tidied(source), Person: who.ID, Decides: true}
}

// retold lets facts count that were typed as they are known already: one more
// source for them.
func (f SizeFacts) retold(size *measure.Size, now measure.Size, thread *string, nowThread string) {
	if (f.Size != nil || f.Length != nil) && *size == now {
		*size = measure.Size{}
	}
	if f.Thread != nil && *thread == nowThread {
		*thread = ""
	}
}

// Sources is what is claimed of a part or a fork.
type Sources struct {
	Part    string   `json:"part,omitempty"`
	Fork    string   `json:"fork,omitempty"`
	Sources []Source `json:"sources"`
}

// SourcesOfPart gives what was ever claimed of a part and where it fits.
// Errors: NotFound, Ambiguous.
func (s *Shop) SourcesOfPart(ctx context.Context, name string) (out Sources, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, err := catalog.PartNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		out.Part = p.Name()
		claims, err := catalog.ClaimsOfPart(ctx, tx, p)
		if err != nil {
			return err
		}
		out.Sources, err = s.sources(ctx, tx, claims)
		return err
	})
	return out, err
}

// SourcesOfFork gives what was ever claimed of a fork, its places, what fits
// them and the bikes that carry it. Error: NotFound.
func (s *Shop) SourcesOfFork(ctx context.Context, name string) (out Sources, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		f, err := catalog.ForkNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		out.Fork = f.Name
		claims, err := catalog.ClaimsOfFork(ctx, tx, f.ID)
		if err != nil {
			return err
		}
		out.Sources, err = s.sources(ctx, tx, claims)
		return err
	})
	return out, err
}

// sources shows claims; those on one field are all among them.
func (s *Shop) sources(ctx context.Context, tx *store.Tx, claims []catalog.Claim) ([]Source, error) {
	of := map[[3]string][]catalog.Claim{}
	for _, c := range claims {
		key := [3]string{c.About, c.Subject, c.Field}
		of[key] = append(of[key], c)
	}
	out := []Source{}
	for _, c := range claims {
		v := Source{
			Claim: c.Number, About: c.About, Field: c.Field, Value: c.Value, How: c.How, Source: c.Source, Person: c.Name,
			Right: c.Right, Wrong: c.Wrong, Why: c.Why, Withdrawn: c.Withdrawn, WithdrawnBy: c.WithdrawnBy,
		}
		force, _ := catalog.InForce(of[[3]string{c.About, c.Subject, c.Field}])
		v.InForce = c.Withdrawn == "" && c.Value == force.Value
		if err := s.dates(&v, c); err != nil {
			return nil, err
		}
		if err := v.name(ctx, tx, c); err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, nil
}

func (s *Shop) dates(v *Source, c catalog.Claim) error {
	at, err := store.Time(c.At)
	if err != nil {
		return err
	}
	v.Day = s.day(at)
	if c.WithdrawnAt != "" {
		if at, err = store.Time(c.WithdrawnAt); err != nil {
			return err
		}
		v.WithdrawnDay = s.day(at)
	}
	return nil
}

// name fills in what a claim is about.
func (v *Source) name(ctx context.Context, tx *store.Tx, c catalog.Claim) error {
	place, part := c.Subject, c.Subject
	switch c.About {
	case catalog.AboutFit:
		place, part, _ = strings.Cut(c.Subject, " ")
	case catalog.AboutPart:
		place = ""
	case catalog.AboutPlace:
		part = ""
	case catalog.AboutFork:
		f, _, err := catalog.ForkByID(ctx, tx, c.Subject)
		v.Fork = f.Name
		return err
	case catalog.AboutFitment:
		_, err := tx.One(ctx, store.Into(&v.Fork), `SELECT f.name FROM fitment m JOIN fork f ON f.id = m.fork WHERE m.id = $1`, c.Subject)
		return err
	case catalog.AboutReplacement:
		v.Part, _, _ = strings.Cut(c.Value, " → ")
		return nil
	default:
		return nil
	}
	if part != "" {
		p, _, err := catalog.PartByID(ctx, tx, part)
		if err != nil {
			return err
		}
		v.Part = p.Name()
	}
	if place != "" {
		_, err := tx.One(ctx, store.Into(&v.Fork, &v.Role, &v.Place), `SELECT f.name, o.role,
			(SELECT count(*) FROM position b WHERE b.fork = o.fork AND b.seq <= o.seq)
			FROM position o JOIN fork f ON f.id = o.fork WHERE o.id = $1`, place)
		return err
	}
	return nil
}

// Withdrawn is a claim that was taken back, and what holds instead.
type Withdrawn struct {
	Source
	Now    string        `json:"now"`     // value in force now; empty: not known
	NowWhy fault.Message `json:"now_why"` // where that is known from
}

// Withdraw takes a claim back, for a reason; it stays readable. What it held
// in force falls back to the next claim that stands. Errors: Invalid,
// NotFound, Conflict (it is withdrawn already).
func (s *Shop) Withdraw(ctx context.Context, number int64, reason string) (out Withdrawn, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		c, err := catalog.ClaimNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		if err := s.renaming(ctx, tx, c.Subject, func() error { return catalog.Withdraw(ctx, tx, c, tidied(reason), who.ID) }); err != nil {
			return err
		}
		standing, err := catalog.StandingOn(ctx, tx, c.About, c.Subject, c.Field)
		if err != nil {
			return err
		}
		out.Now, out.NowWhy = standing.Force.Value, standing.Line()
		out.Source, err = s.oneSource(ctx, tx, number)
		return err
	})
	return out, err
}

// oneSource shows the claim of a number.
func (s *Shop) oneSource(ctx context.Context, tx *store.Tx, number int64) (Source, error) {
	c, err := catalog.ClaimNumbered(ctx, tx, number)
	if err != nil {
		return Source{}, err
	}
	all, err := catalog.Claims(ctx, tx, c.About, c.Subject)
	if err != nil {
		return Source{}, err
	}
	shown, err := s.sources(ctx, tx, all)
	for _, v := range shown {
		if v.Claim == number {
			return v, err
		}
	}
	return Source{}, err
}

// renaming does something to the claims on id; a part that is called by its
// size follows it.
func (s *Shop) renaming(ctx context.Context, tx *store.Tx, id string, do func() error) error {
	was, isPart, err := catalog.PartByID(ctx, tx, id)
	if err != nil {
		return err
	}
	if err := do(); err != nil || !isPart {
		return err
	}
	now, _, err := catalog.PartByID(ctx, tx, id)
	if err != nil || was.Description != s.describe(was) || now.Description == s.describe(now) {
		return err
	}
	now.Description = s.describe(now)
	return catalog.ChangePart(ctx, tx, now)
}

// ReadClaim reads the number of a claim as it is typed: 12, #12. Error:
// Invalid.
func ReadClaim(typed string) (int64, error) {
	n, err := strconv.ParseInt(strings.TrimPrefix(trimmed(typed), "#"), 10, 64)
	if err != nil || n < 1 {
		return 0, fault.New(fault.Invalid, "claim.bad_number", clipped(typed)).WithHint("claim.absent.hint")
	}
	return n, nil
}

// sureFits asks why, where a part is said to fit a place against its sizes.
func sureFits(f catalog.Fork, pos catalog.Position, p catalog.Part, why string) error {
	if err := onLeg(f, p.Role, p.Size); err != nil && why == "" {
		return fault.Of(err).WithHint("claim.sizes_say_no.hint", words.ShellWord(p.Name()), words.ShellWord(f.Name))
	}
	verdict, reasons := catalog.Fit(pos.Wanted(), p)
	if verdict != catalog.No || why != "" {
		return nil
	}
	return fault.New(fault.Conflict, "claim.sizes_say_no", p.Name(), f.Name, reasons[0]).WithHint("claim.sizes_say_no.hint", words.ShellWord(p.Name()), words.ShellWord(f.Name))
}
