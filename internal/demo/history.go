package demo

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/inventory"
)

// The two years are played day by day: deliveries in the morning, then jobs,
// then what comes back; on Fridays the shop orders what is short. Everything
// is whole numbers, so that every machine plays the same years.

const days = 2 * 364

// season is how busy a month is, in hundredths of the mean.
var season = [...]int{50, 80, 150, 195, 165, 125, 100, 85, 90, 65, 50, 45}

// busiest is the most jobs in a day, usual the mean of the year in hundredths.
const busiest, usual = 4, 104

// years plays the two years of a book.
type years struct {
	*filler
	book  *book
	rng   func(what string) *rand.Rand
	piles map[*ware][]*pile
	plan  map[*ware]*plan
	job   int // number of the last one
	later []later
	total int // weight of all forks
}

// later is something that comes back the next day.
type later struct {
	key, reason string
	flow        inventory.Flow
	ware        *ware
}

// begin makes ready to play the years of a book that has been entered.
func (s *filler) begin(b *book) *years {
	y := &years{
		filler: s, book: b, piles: map[*ware][]*pile{}, plan: map[*ware]*plan{},
		rng: func(what string) *rand.Rand { return stream(s.opt.Seed, what) },
	}
	y.expect()
	return y
}

// play plays the two years.
func (y *years) play(ctx context.Context) error {
	end := y.opt.End.UTC().Truncate(24 * time.Hour)
	first := end.AddDate(0, 0, -days)
	y.tx.Now = first.Add(6 * time.Hour)
	if err := y.open(ctx); err != nil {
		return err
	}
	for day := first; day.Before(end); day = day.AddDate(0, 0, 1) {
		if weekday := day.Weekday(); weekday == time.Saturday || weekday == time.Sunday {
			continue
		}
		if err := y.day(ctx, day, end); err != nil {
			return err
		}
		y.tx.Now = day.Add(15 * time.Hour)
	}
	return y.finish(ctx)
}

// expect reckons how much of each ware the shop will use.
func (y *years) expect() {
	for _, f := range y.book.forks {
		y.total += f.weight
	}
	for _, o := range y.book.offers {
		if o.ware != nil {
			y.planOf(o.ware).offers = append(y.planOf(o.ware).offers, o)
		}
	}
	for _, f := range y.book.forks {
		for _, p := range f.places {
			if len(p.wares) == 0 {
				continue
			}
			pl := y.planOf(p.wares[0])
			pl.milli += int64(5*usual*10*f.weight*p.odds) * p.PerJob() / int64(100*y.total)
			pl.each = max(pl.each, p.PerJob())
		}
	}
}

// day plays a day.
func (y *years) day(ctx context.Context, day, end time.Time) error {
	y.tx.Now = day.Add(6*time.Hour + 40*time.Minute)
	if err := y.deliveries(ctx, day, end); err != nil {
		return err
	}
	for _, l := range y.later {
		y.tx.Now = y.tx.Now.Add(2 * time.Minute)
		if err := y.post(ctx, inventory.Return, l.key, l.reason, l.flow); err != nil {
			return err
		}
		y.put(l.ware, l.flow.Lot, l.flow.To, l.flow.Amount)
	}
	y.later = nil
	rng := y.rng("day/" + day.Format(time.DateOnly))
	y.tx.Now = day.Add(7 * time.Hour)
	for range busiest {
		if rng.IntN(100*100) < usual*season[day.Month()-1]/busiest {
			if err := y.service(ctx); err != nil {
				return err
			}
			y.tx.Now = y.tx.Now.Add(time.Duration(40+rng.IntN(60)) * time.Minute)
		}
	}
	if day.Weekday() == time.Friday {
		y.order(day)
	}
	return nil
}

// service plays a job: what it takes, and what goes wrong.
func (y *years) service(ctx context.Context) error {
	y.job++
	rng := y.rng(fmt.Sprint("job/", y.job))
	f := y.pick(rng)
	bike := f.bikes[rng.IntN(len(f.bikes))]
	reason := fmt.Sprintf("job %d, %s %s", y.job, bike.Make, bike.Model)
	key := fmt.Sprintf("demo:job:%d:", y.job)
	var flows []inventory.Flow
	var worn []*ware // renewed on inspection: some of it comes back
	for _, p := range f.places {
		odds := p.odds
		if p.Fitted == "unknown" {
			odds /= 2
		}
		if p.Fitted == "no" || rng.IntN(100) >= odds {
			continue
		}
		w, err := y.choose(ctx, p, rng, key, reason)
		if err != nil {
			return err
		}
		if w == nil {
			continue
		}
		flows = append(flows, y.take(w, p.PerJob())...)
		if p.Renew == "judge" && w.Role != catalog.CapORing {
			worn = append(worn, w)
		}
	}
	if err := y.post(ctx, inventory.Issue, key+"1", reason, flows...); err != nil {
		return err
	}
	return y.mishaps(ctx, rng, f, key, reason, flows, worn)
}

// pick chooses a fork, the common ones more often.
func (y *years) pick(rng *rand.Rand) *fork {
	n := rng.IntN(y.total)
	for _, f := range y.book.forks {
		if n -= f.weight; n < 0 {
			return f
		}
	}
	panic("demo: weights do not add up")
}

// choose gives the first ware for the place of which enough is there. Where
// there is none, what wears is left for another day; what a job cannot do
// without is found at the back of a shelf or bought round the corner, price to
// follow.
func (y *years) choose(ctx context.Context, p place, rng *rand.Rand, key, reason string) (*ware, error) {
	need := p.PerJob()
	for _, w := range p.wares {
		if y.there(w) >= need {
			return w, nil
		}
	}
	if len(p.wares) == 0 || p.Renew != "always" && p.Renew != "opened" {
		return nil, nil
	}
	w := p.wares[0]
	kind, say, amount := inventory.Receive, "bought round the corner", need
	if rng.IntN(4) == 0 {
		kind, say, amount = inventory.Found, "found at the back of the shelf", need-y.there(w)
	}
	lot, err := inventory.LotOf(ctx, y.tx, inventory.Lot{Part: w.ID})
	if err != nil {
		return nil, err
	}
	flow := inventory.Flow{Part: w.ID, Lot: lot.ID, To: y.home(w), Amount: amount}
	y.put(w, flow.Lot, flow.To, flow.Amount)
	return w, y.post(ctx, kind, fmt.Sprint(key, "0:", p.Seq), say+", "+reason, flow)
}

// mishaps plays what happens after a few jobs: a part that was not needed
// comes back the next day, a seal is spoilt.
func (y *years) mishaps(ctx context.Context, rng *rand.Rand, f *fork, key, reason string, flows []inventory.Flow, worn []*ware) error {
	back, spoilt := rng.IntN(100) < 9, rng.IntN(100) < 2
	if back && len(worn) > 0 {
		w := worn[rng.IntN(len(worn))]
		i := slices.IndexFunc(flows, func(f inventory.Flow) bool { return f.Part == w.ID })
		flow := flows[i]
		flow.From, flow.To, flow.Amount = "", flow.From, 1
		flow.Value = inventory.Value{Minor: w.cost, Known: true}
		y.later = append(y.later, later{key + "2", "not needed, " + reason, flow, w})
	}
	i := slices.IndexFunc(f.places, func(p place) bool { return p.Role == catalog.OilSeal })
	if seal := f.places[i].wares[0]; spoilt && y.there(seal) > 0 {
		return y.post(ctx, inventory.Scrap, key+"3", "lip nicked when fitted, "+reason, y.take(seal, 1)...)
	}
	return nil
}

// post enters a posting under its key.
func (y *years) post(ctx context.Context, kind, key, reason string, flows ...inventory.Flow) error {
	if len(flows) == 0 {
		return nil
	}
	_, err := inventory.Post(ctx, y.tx, inventory.Posting{
		Key: key, Content: reason, Kind: kind, Person: y.person, Job: jobOf(key), Reason: reason,
	}, flows)
	return err
}

// jobOf gives the job of a key that begins demo:job:, "" for others.
func jobOf(key string) string {
	rest, _ := strings.CutPrefix(key, "demo:job:")
	if rest == key {
		return ""
	}
	job, _, _ := strings.Cut(rest, ":")
	return job
}
