// Package reorder says how much of one part to order, from its use in the
// weeks behind. It is arithmetic only: no clock, no files, no database.
//
// The policy is periodic review: at each review the stock that is there or on
// its way, less what is set aside, is filled up to a number S, in whole packs.
// S is the smallest number for which the asked share of pieces is there when
// needed, over the time from one review until what the next one orders has
// arrived. Use is taken as Poisson where its variance is not above its mean,
// else as negative binomial with its mean and variance; both scale with time.
// The formulas stand at the top of demand.go, the estimates in use.go.
//
// This is a simple rule on purpose: parts are taken one by one, a year of use
// stands for the next, without trend and season, and the estimates are taken
// for the truth: over many parts the share served comes out some points below
// the one asked (0.89 for 0.95 in the trial on monthly sales). Statistics are
// floats here; stock, packs and money never are.
//
// Non-goals: sets of parts that a job needs together, budgets, forecasting.
//
// Units: pieces or mL, whole, of one part; time in days and weeks of 7 days;
// money in minor units of the shop's currency.
package reorder

import (
	"strconv"

	"forkstock/internal/fault"
)

// Limits of what Advise takes; more is a slip of the finger.
const (
	mostUse   = 1_000_000         // of a week
	mostStock = 1_000_000_000_000 // in stock, ordered, set aside, minimum, pack
	mostDays  = 1000              // of delivery and between reviews
)

// DefaultFill is the share of pieces there when needed where a shop has set
// none.
const DefaultFill = 0.95

// Part is what Advise looks at.
type Part struct {
	Use        []int64 // of each week, oldest first, as far as it is known; the last 52 count
	OnHand     int64   // in stock
	OnOrder    int64   // ordered or to follow, not yet there
	SetAside   int64   // of stock and orders, kept for jobs
	Min        int64   // S is at least this; 0 where the shop set none
	Pack       int64   // orders are whole packs of this; 0 means 1
	LeadDays   int     // from order to receipt
	ReviewDays int     // from one review to the next; 0 means 7
	Fill       float64 // share of pieces to be there when needed, above 0 and below 1
	Pool       float64 // variance by mean of weekly use over the shop's parts; 0 where it is not known
	Bulk       int64   // a week's use from which it may be a one-off; 0 means 10
	Unit       string  // of amounts in the reason: "piece" or "mL"; empty: bare numbers
}

// Rule tells what an Advice was reckoned with.
type Rule string

// The rules.
const (
	None             Rule = "none" // no use: no stock but the minimum
	Poisson          Rule = "poisson"
	NegativeBinomial Rule = "negbin"
)

// Advice is what to order, and why.
type Advice struct {
	Level    int64         // S: what to order up to
	Need     int64         // pieces that S is above stock and orders; 0 where it is not
	Packs    int64         // packs that cover Need
	Order    int64         // pieces in them
	Rule     Rule          // how use was taken
	MeanWeek float64       // mean of a week's use
	VarWeek  float64       // its variance, as estimated
	Expected float64       // share of pieces there when needed with S, were the estimates the truth
	OneOff   int64         // a week's use that was taken for a one-off and not counted in full; else 0
	Why      fault.Message // the reason, one line
}

// Advise says how much of a part to order. It returns an Invalid fault for
// numbers that cannot be: below zero, beyond all use, a Fill that is no share.
func Advise(p Part) (Advice, error) {
	if p.ReviewDays == 0 {
		p.ReviewDays = 7
	}
	if p.Pack == 0 {
		p.Pack = 1
	}
	p.Use = p.Use[max(0, len(p.Use)-yearWeeks):]
	if err := p.check(); err != nil {
		return Advice{}, err
	}
	d, oneOff := estimate(p.Use, p.Pool, p.Bulk)
	a := Advice{Rule: d.rule(), MeanWeek: d.Mean, VarWeek: d.Mean * d.Ratio, OneOff: oneOff}
	review, lead := float64(p.ReviewDays)/7, float64(p.LeadDays)/7
	if d.Mean > 0 {
		a.Level = d.Level(p.Fill, review, lead)
	}
	minimum := a.Level < p.Min
	a.Level = max(a.Level, p.Min)
	a.Expected = d.Fill(a.Level, review, lead)
	if a.Need = a.Level - (p.OnHand + p.OnOrder - p.SetAside); a.Need > 0 {
		a.Packs = packs(a.Need, p.Pack)
		a.Order = a.Packs * p.Pack
	}
	a.Need = max(a.Need, 0)
	a.Why = p.why(a, minimum)
	return a, nil
}

// check returns an Invalid fault for numbers that cannot be.
func (p Part) check() error {
	for _, u := range p.Use {
		if u < 0 || u > mostUse {
			return invalid("bad_use", u, int64(mostUse))
		}
	}
	for _, n := range []struct {
		name         string
		value, least int64
	}{
		{"on_hand", p.OnHand, 0},
		{"on_order", p.OnOrder, 0},
		{"set_aside", p.SetAside, 0},
		{"minimum", p.Min, 0},
		{"pack", p.Pack, 1},
		{"bulk", p.Bulk, 0},
	} {
		if n.value < n.least || n.value > mostStock {
			return invalid("bad_number", fault.Say("reorder."+n.name), n.value, n.least, int64(mostStock))
		}
	}
	switch {
	case p.LeadDays < 0 || p.LeadDays > mostDays:
		return invalid("bad_days", fault.Say("reorder.lead"), p.LeadDays, 0, mostDays)
	case p.ReviewDays < 1 || p.ReviewDays > mostDays:
		return invalid("bad_days", fault.Say("reorder.review"), p.ReviewDays, 1, mostDays)
	case !(p.Fill > 0 && p.Fill < 1):
		return invalid("bad_fill", strconv.FormatFloat(100*p.Fill, 'g', 6, 64))
	case !(p.Pool >= 0 && p.Pool <= mostUse):
		return invalid("bad_pool", strconv.FormatFloat(p.Pool, 'g', 6, 64))
	}
	return nil
}

// invalid makes an Invalid fault with message id "reorder." + id, and the
// hint that belongs to it.
func invalid(id string, args ...any) error {
	return fault.New(fault.Invalid, "reorder."+id, args...).WithHint("reorder.hint_" + id)
}
