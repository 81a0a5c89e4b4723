package shop

import (
	"context"
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Aging is how old the rubber of a lot is. It advises, and never blocks.
type Aging struct {
	Cure   string        `json:"cure"`          // "1994-Q3", "1994-03"; empty: not known
	AgesBy string        `json:"rubber_use_by"` // by cure date and elastomer; empty: not known
	Group  string        `json:"rubber_group"`  // of ISO 2230
	Age    fault.Message `json:"rubber_says"`   // zero where no cure date is known, or there is no rubber
}

// aging tells the age of a lot of a part.
func (s *Shop) aging(ctx context.Context, tx *store.Tx, p catalog.Part, l inventory.Lot) (Aging, error) {
	return aging(ctx, tx, p, l, tx.Today())
}

// aging tells the age of a lot of a part on a day.
func aging(ctx context.Context, tx *store.Tx, p catalog.Part, l inventory.Lot, today string) (Aging, error) {
	a := Aging{Cure: l.Cure}
	if l.Cure == "" {
		return a, nil
	}
	elastomers, err := catalog.RubberOf(ctx, tx, p)
	if err != nil || len(elastomers) == 0 {
		return a, err
	}
	cure, err := catalog.ParseCure(l.Cure, p.Maker, "", tx.Now)
	if err != nil { // a date that this program has not written says nothing
		return a, nil
	}
	age, ok := catalog.UseBy(elastomers, cure)
	if kept, err := inventory.InspectedUntil(ctx, tx, l.ID); err != nil {
		return a, err
	} else if kept != "" && ok && today > age.UseBy {
		a.AgesBy, a.Group = kept, age.Group.Name
		if a.Age = fault.Say("rubber.inspected", kept, age.Elastomer, age.Group.Name); today > kept {
			a.Age = fault.Say("rubber.old", kept, age.Elastomer, age.Group.Name)
		}
		return a, nil
	}
	switch {
	case !ok:
		a.Age = fault.Say("rubber.unknown", l.Cure, strings.Join(unknown(elastomers), ", "))
		return a, nil
	case today > age.Inspected:
		a.Age = fault.Say("rubber.old", age.Inspected, age.Elastomer, age.Group.Name)
	case today > age.UseBy:
		a.Age = fault.Say("rubber.inspect", age.UseBy, age.Elastomer, age.Group.Name, age.Inspected)
	default:
		a.Age = fault.Say("rubber.use_by", age.UseBy, age.Elastomer, age.Group.Name)
	}
	a.AgesBy, a.Group = age.UseBy, age.Group.Name
	return a, nil
}

// tooOld tells of rubber that is past its time even after an inspection.
func (a Aging) tooOld() bool { return a.Age.ID == "rubber.old" }

// aged finds lots that are too old and may be taken for a job.
func (s *Shop) aged(ctx context.Context, tx *store.Tx) ([]Finding, error) {
	lines, err := inventory.Stock(ctx, tx, "")
	if err != nil {
		return nil, err
	}
	var all []Finding
	for _, l := range lines {
		if l.Lot.Cure == "" || !l.Bin.Free() {
			continue
		}
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return nil, err
		}
		a, err := s.aging(ctx, tx, p, l.Lot)
		if err != nil {
			return nil, err
		}
		if a.tooOld() {
			all = append(all, Finding{
				"aged", p.Name(), fault.Say("audit.aged", p.Name(), l.Bin.Name, l.Lot.Short, a.Age),
				fault.Say("audit.aged.hint", words.ShellWord(p.Name()), l.Amount, l.Lot.Short),
			})
		}
	}
	return all, nil
}

// agedOf gives advice on the lots of a part that were taken for a job.
func (s *Shop) agedOf(ctx context.Context, tx *store.Tx, p catalog.Part, taken []Movement) ([]fault.Message, error) {
	var all []fault.Message
	for i, m := range taken {
		if slices.ContainsFunc(taken[:i], func(o Movement) bool { return o.Lot == m.Lot }) {
			continue
		}
		l, err := inventory.LotNumbered(ctx, tx, m.Lot)
		if err != nil {
			return nil, err
		}
		a, err := s.aging(ctx, tx, p, l)
		if err != nil {
			return nil, err
		}
		if a.tooOld() || a.Age.ID == "rubber.inspect" {
			all = append(all, fault.Say("shop.aged", l.Short, a.Age))
		}
	}
	return all, nil
}

// rubberWords lists the elastomers of a part or a kit, each once, "?" for one
// of which nothing is told.
func rubberWords(ctx context.Context, tx *store.Tx, p catalog.Part) (string, error) {
	var said []string
	all, err := catalog.RubberOf(ctx, tx, p)
	for _, e := range all {
		if e = or(e, "?"); !slices.Contains(said, e) {
			said = append(said, e)
		}
	}
	return strings.Join(said, ", "), err
}

// unknown gives those elastomers of which no shelf life is known, "?" for one
// of which nothing is told.
func unknown(elastomers []string) (all []string) {
	for _, e := range elastomers {
		if _, ok := catalog.GroupOf(e); !ok {
			all = append(all, or(e, "?"))
		}
	}
	return all
}

// Lot is one lot with the age of its rubber.
type Lot struct {
	Lot    int64  `json:"lot"`
	Number string `json:"number"`
	Maker  string `json:"maker"`
	Unit   string `json:"unit"`
	Batch  string `json:"batch"`
	UseBy  string `json:"use_by"` // as printed on the pack
	Since  string `json:"since"`
	Aging
}

// ChangeLot says when the rubber of a lot was cured, as its maker prints it;
// an empty text takes it back. Errors: Invalid, NotFound, Conflict, Ambiguous
// where nobody has said yet how the maker prints dates.
func (s *Shop) ChangeLot(ctx context.Context, number int64, printed string) (Lot, error) {
	var out Lot
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		l, err := inventory.LotNumbered(ctx, tx, number)
		if err != nil {
			return err
		}
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return err
		}
		var cure catalog.Cure
		if trimmed(printed) != "" {
			dates, err := catalog.DatesOf(ctx, tx, p.Maker)
			if err != nil {
				return err
			}
			if cure, err = catalog.ParseCure(printed, p.Maker, dates, tx.Now); err != nil {
				return err
			}
		}
		l.Cure, err = cure.String(), inventory.SetCure(ctx, tx, l, cure.String())
		if err != nil {
			return err
		}
		since, err := store.Time(l.Since)
		if err != nil {
			return err
		}
		out = Lot{Lot: l.Short, Number: p.Number, Maker: p.Maker, Unit: p.Unit, Batch: l.Batch, UseBy: l.UseBy, Since: s.day(since)}
		out.Aging, err = s.aging(ctx, tx, p, l)
		return err
	})
	return out, err
}

// Maker is a maker of parts, and how it prints cure dates.
type Maker struct {
	Maker string `json:"maker"`
	Dates string `json:"dates"` // of catalog.Dates
}

// SetMaker says how a maker prints cure dates; the last word counts. Error:
// Invalid.
func (s *Shop) SetMaker(ctx context.Context, m Maker) (Maker, error) {
	m.Maker = tidied(m.Maker)
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		return catalog.SetDates(ctx, tx, m.Maker, m.Dates)
	})
	return m, err
}
