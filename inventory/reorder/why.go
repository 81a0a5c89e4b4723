package reorder

import (
	"math"
	"strconv"
	"strings"

	"forkstock/internal/fault"
)

// Tenths is a number in tenths, to show.
type Tenths int64

// Screen gives t with that decimal mark, whole where it is whole.
func (t Tenths) Screen(mark rune) string {
	text := strconv.FormatFloat(float64(t)/10, 'f', -1, 64)
	return strings.Replace(text, ".", string(mark), 1)
}

// String gives t with a point.
func (t Tenths) String() string { return t.Screen('.') }

// why tells what a stands on, in one line: the use, what it needs, a one-off,
// the stock, the packs.
func (p Part) why(a Advice, minimum bool) fault.Message {
	parts := []fault.Message{p.sayUse(a)}
	if a.OneOff > 0 {
		parts = append(parts, fault.Say("reorder.one_off", p.show(a.OneOff)))
	}
	switch {
	case minimum:
		parts = append(parts, fault.Say("reorder.by_minimum", p.show(p.Min)))
	case a.Rule != None:
		percent := Tenths(math.Floor(p.Fill*1000 + 1e-6))
		parts = append(parts, fault.Say("reorder.up_to", p.LeadDays, p.sayReview(), p.show(a.Level), percent))
	}
	stock := fault.Say("reorder.stock", p.show(p.OnHand))
	if p.OnOrder > 0 {
		stock = fault.Say("reorder.ordered", p.show(p.OnHand), p.show(p.OnOrder))
	}
	parts = append(parts, stock)
	if p.SetAside > 0 {
		parts = append(parts, fault.Say("reorder.aside", p.show(p.SetAside)))
	}
	if a.Order > a.Need {
		parts = append(parts, fault.Say("reorder.packs", p.show(a.Need), p.show(p.Pack)))
	}
	all := parts[0]
	for _, m := range parts[1:] {
		all = fault.Say("reorder.and", all, m)
	}
	return all
}

// show gives an amount to say: with its unit where it is not counted in
// pieces.
func (p Part) show(n int64) any {
	if p.Unit == "mL" {
		return fault.Say("unit.mL", n)
	}
	return n
}

// sayUse tells the use that is known, with the mean of a week where that is
// not shown as 0.
func (p Part) sayUse(a Advice) fault.Message {
	_, _, sum := topTwo(p.Use)
	span := fault.Say("reorder.weeks", len(p.Use))
	if len(p.Use) == yearWeeks {
		span = fault.Say("reorder.year")
	}
	week := Tenths(math.Round(a.MeanWeek * 10))
	switch {
	case len(p.Use) == 0:
		return fault.Say("reorder.new")
	case sum == 0:
		return fault.Say("reorder.unused", span)
	case week == 0:
		return fault.Say("reorder.used", p.show(sum), span)
	}
	return fault.Say("reorder.used_weekly", p.show(sum), span, week)
}

func (p Part) sayReview() fault.Message {
	if p.ReviewDays == 7 {
		return fault.Say("reorder.a_week")
	}
	return fault.Say("reorder.days", p.ReviewDays)
}
