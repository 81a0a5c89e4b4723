package catalog

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
	"unicode"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// A Group is elastomers with one shelf life, as ISO 2230 sorts them.
type Group struct {
	Name       string
	Elastomers []string // abbreviations of ISO 1629
	Years      int      // from the cure date
	More       int      // years after an inspection at the end of the first
	Edition    string
	Source     string
}

// Groups gives the groups of ISO 2230, the shortest shelf life first.
var Groups = sync.OnceValue(func() (all []Group) {
	for _, row := range starterRows("rubber") {
		years, err := strconv.Atoi(row["years"])
		more, errMore := strconv.Atoi(row["more"])
		if err != nil || errMore != nil {
			panic("catalog: starter/rubber.tsv: years")
		}
		all = append(all, Group{row["group"], strings.Fields(row["elastomers"]), years, more, row["edition"], row["source"]})
	}
	return all
})

// GroupOf gives the group of an elastomer; ok is false for any other text.
func GroupOf(elastomer string) (g Group, ok bool) {
	for _, g := range Groups() {
		if slices.Contains(g.Elastomers, Normal(elastomer)) {
			return g, true
		}
	}
	return Group{}, false
}

// Rubber reports whether parts of a role are of rubber where nobody says
// otherwise.
func Rubber(role Role) bool {
	return slices.Contains([]Role{OilSeal, Wiper, CapORing, "cartridge_seal", "bladder", "base_valve_oring"}, role)
}

// Elastomers takes apart what is told of the rubber of a part: "NBR",
// "NBR/FKM". One empty text stands for rubber of which nothing is told; none
// for a part that is not of rubber.
func (p Part) Elastomers() []string {
	told := strings.FieldsFunc(p.Elastomer, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(told) == 0 && Rubber(p.Role) {
		return []string{""}
	}
	return told
}

// ElastomersOf gives the rubber of everything that a kit brings.
func ElastomersOf(contents []Content) (all []string) {
	for _, c := range contents {
		all = append(all, c.Part.Elastomers()...)
	}
	return all
}

// RubberOf gives the elastomers of a part, of a kit those of what it brings.
func RubberOf(ctx context.Context, tx *store.Tx, p Part) ([]string, error) {
	if p.Role != Kit {
		return p.Elastomers(), nil
	}
	contents, err := Contents(ctx, tx, p.ID)
	return ElastomersOf(contents), err
}

// Age is how long rubber keeps on the shelf. It advises, and never blocks.
type Age struct {
	Group     Group
	Elastomer string // the one that ages first
	UseBy     string // YYYY-MM-DD
	Inspected string // YYYY-MM-DD: the end after an inspection
}

// UseBy tells how long rubber cured then keeps: as long as the shortest of its
// elastomers. ok is false where any of them is not known, or there is none: an
// unknown rubber is never fine.
func UseBy(elastomers []string, cure Cure) (a Age, ok bool) {
	for i, e := range elastomers {
		g, known := GroupOf(e)
		if !known {
			return Age{}, false
		}
		if i == 0 || g.Years < a.Group.Years {
			a.Group, a.Elastomer = g, Normal(e)
		}
	}
	if len(elastomers) == 0 || cure == (Cure{}) {
		return Age{}, false
	}
	a.UseBy = cure.last(a.Group.Years)
	a.Inspected = cure.last(a.Group.Years + a.Group.More)
	return a, true
}

// Cure is when rubber was cured: a quarter or a month.
type Cure struct {
	Year    int
	Quarter int // 1 to 4; 0 where the month is known
	Month   int // 1 to 12; 0 where only the quarter is known
}

// String gives "1994-Q3" or "1994-03", as a lot keeps it; "" for none.
func (c Cure) String() string {
	switch {
	case c.Quarter != 0:
		return fmt.Sprintf("%d-Q%d", c.Year, c.Quarter)
	case c.Month != 0:
		return fmt.Sprintf("%d-%02d", c.Year, c.Month)
	}
	return ""
}

// from gives the first day of the quarter or month.
func (c Cure) from() time.Time {
	return time.Date(c.Year, time.Month(max(c.Month, 3*c.Quarter-2)), 1, 0, 0, 0, 0, time.UTC)
}

// last gives the last day of the same quarter or month so many years later:
// shelf life is counted from the end of it. Common practice, no source.
func (c Cure) last(years int) string {
	month := max(c.Month, 3*c.Quarter)
	return time.Date(c.Year+years, time.Month(month+1), 0, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

// Dates are the words for how a maker prints cure dates.
var Dates = []string{"quarter", "month"}

// quarterForm: 1 and 2, or 4 and 3, are the quarter and the year. shortForm: 1
// is the quarter or the month, 2 the year. monthForm: 1 the year, 2 the month.
var (
	quarterForm = regexp.MustCompile(`(?i)^(?:([1-4]) ?Q ?[/.-]? ?(\d{4}|\d{2})|Q ?([1-4]) ?[/. -]? ?(\d{4}|\d{2})|(\d{4}) ?-? ?Q ?([1-4]))$`)
	shortForm   = regexp.MustCompile(`^(\d{1,2}) ?[/.-] ?(\d{4}|\d{2})$`)
	monthForm   = regexp.MustCompile(`^(\d{4})-(\d{2})$`)
)

// ParseCure reads a cure date as makers print it: "1Q95", "Q1 95" and
// "1995-Q1" are quarters, "1995-03" is a month, and so is "7/94". "3/94" is
// what the maker prints, of Dates: a quarter or a month; where notation is
// empty that is a question (Ambiguous) with the command that answers it. Two
// digits of a year are as year reads them. Error: Invalid, also for a date to
// come.
func ParseCure(text, maker, notation string, now time.Time) (c Cure, err error) {
	text = strings.TrimSpace(text)
	if m := quarterForm.FindStringSubmatch(text); m != nil {
		c = Cure{Year: year(m[2]+m[4]+m[5], now), Quarter: number(m[1] + m[3] + m[6])}
	} else if m := monthForm.FindStringSubmatch(text); m != nil {
		c = Cure{Year: number(m[1]), Month: number(m[2])}
	} else if m := shortForm.FindStringSubmatch(text); m != nil {
		n := number(m[1])
		switch {
		case n >= 1 && n <= 4 && notation == "":
			return c, cureQuestion(text, maker, n)
		case n >= 1 && n <= 4 && notation == Dates[0]:
			c = Cure{Year: year(m[2], now), Quarter: n}
		default:
			c = Cure{Year: year(m[2], now), Month: n}
		}
	}
	if c.Quarter == 0 && (c.Month < 1 || c.Month > 12) || c.Year < firstYear {
		return Cure{}, fault.New(fault.Invalid, "catalog.bad_cure", short(text)).WithHint("catalog.bad_cure.hint")
	}
	if c.from().After(now) {
		return Cure{}, fault.New(fault.Invalid, "catalog.cure_to_come", short(text)).WithHint("catalog.bad_cure.hint")
	}
	return c, nil
}

// cureQuestion asks, once per maker, what its dates mean.
func cureQuestion(text, maker string, n int) error {
	e := fault.New(fault.Ambiguous, "catalog.cure_question", text, maker).WithHint("catalog.cure_question.hint")
	for _, dates := range Dates {
		e.Candidates = append(e.Candidates, fault.Candidate{
			Name: dates, Tell: fault.Say("catalog.cure_"+dates, n),
			Command: "forkstock add maker " + words.ShellWord(maker) + " --dates " + dates,
		})
	}
	return e
}

// ahead is how many years to come two digits can still name: no rubber in use
// is older than the rest of a century. Common practice, no source.
const ahead = 40

// year reads a year of two or four digits. Two are of this century, up to ahead
// years to come, so that a slip into the future is seen as one; else of the
// last.
func year(text string, now time.Time) int {
	y := number(text)
	if len(text) == 2 {
		y += now.Year() / 100 * 100
		if y > now.Year()+ahead {
			y -= 100
		}
	}
	return y
}

// number reads digits that a pattern has found.
func number(digits string) int {
	n, _ := strconv.Atoi(digits)
	return n
}
