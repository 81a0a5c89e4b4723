package demo

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"

	"forkstock/catalog"
	"forkstock/inventory"
)

// pile is what lies in a bin of one lot.
type pile struct {
	lot, bin string // ids
	amount   int64
}

// there gives how much of a ware may be taken.
func (y *years) there(w *ware) (n int64) {
	for _, p := range y.piles[w] {
		n += p.amount
	}
	return n
}

// put lays a ware down.
func (y *years) put(w *ware, lot, bin string, amount int64) {
	for _, p := range y.piles[w] {
		if p.lot == lot && p.bin == bin {
			p.amount += amount
			return
		}
	}
	y.piles[w] = append(y.piles[w], &pile{lot, bin, amount})
}

// take takes a ware, what came first first.
func (y *years) take(w *ware, amount int64) (flows []inventory.Flow) {
	for _, p := range y.piles[w] {
		if n := min(amount, p.amount); n > 0 {
			p.amount -= n
			amount -= n
			flows = append(flows, inventory.Flow{Part: w.ID, Lot: p.lot, From: p.bin, Amount: n})
		}
	}
	if amount > 0 {
		panic("demo: took what was not there: " + w.Name())
	}
	return flows
}

// home gives the bin where a ware is put.
func (y *years) home(w *ware) string {
	if w.HomeBin == "" {
		return y.bins[inventory.Intake]
	}
	return w.HomeBin
}

// plan is what the shop reckons with for a ware.
type plan struct {
	offers []offer
	milli  int64 // used a week, in thousandths
	each   int64 // by one job
	coming []coming
}

// coming is what a supplier will bring.
type coming struct {
	day time.Time
	offer
	packs int64
}

func (y *years) planOf(w *ware) *plan {
	if y.plan[w] == nil {
		y.plan[w] = &plan{each: 1}
	}
	return y.plan[w]
}

// enough gives what should be there or on its way for so many days: the mean
// use of the month, that of a year at least, and one and a half times its
// spread; never less than two jobs take.
func (p *plan) enough(days int64, month time.Month) int64 {
	if p.milli == 0 {
		return 0
	}
	mean := p.milli * days * int64(max(season[month-1], 100)) / (7 * 100) // thousandths
	jobs := mean / p.each
	var root int64 // of jobs; thousandths inside, so about 32 times as much
	for (root+1)*(root+1) <= jobs {
		root++
	}
	return max((mean+999)/1000+p.each*root*3/(2*32), 2*p.each)
}

// order orders on a Friday what will be short before the next order comes, for
// two weeks more, from the supplier that the shop likes best for it.
func (y *years) order(day time.Time) {
	for _, w := range y.book.wares {
		p := y.planOf(w)
		if p.milli == 0 || len(p.offers) == 0 {
			continue
		}
		o := p.offers[0]
		lead := int64(suppliers[o.supplier].lead)
		have := y.there(w)
		for _, c := range p.coming {
			have += c.packs * c.pack
		}
		if have >= p.enough(lead+7, day.Month()) && have >= w.Minimum {
			continue
		}
		need := max(p.enough(lead+21, day.Month()), w.Minimum) - have
		arrives := day.AddDate(0, 0, int(lead))
		for arrives.Weekday() == time.Saturday || arrives.Weekday() == time.Sunday {
			arrives = arrives.AddDate(0, 0, 1)
		}
		p.coming = append(p.coming, coming{arrives, o, (need + o.pack - 1) / o.pack})
	}
}

// deliveries takes in what comes on a day. What came in the last days is still
// in INTAKE.
func (y *years) deliveries(ctx context.Context, day, end time.Time) error {
	for i, supplier := range y.suppliers {
		var came []coming
		for _, w := range y.book.wares {
			p := y.planOf(w)
			var rest []coming
			for _, c := range p.coming {
				switch {
				case c.supplier != i || c.day.After(day):
					rest = append(rest, c)
				default:
					came = append(came, c)
				}
			}
			p.coming = rest
		}
		if len(came) == 0 {
			continue
		}
		y.tx.Now = y.tx.Now.Add(4 * time.Minute)
		if err := y.receive(ctx, day, supplier.Name, came, end.Sub(day) < 72*time.Hour); err != nil {
			return err
		}
	}
	return nil
}

func (y *years) receive(ctx context.Context, day time.Time, supplier string, came []coming, intake bool) error {
	name := day.Format(time.DateOnly) + " " + supplier
	d, err := inventory.DeliveryNamed(ctx, y.tx, name)
	if err != nil {
		return err
	}
	var flows []inventory.Flow
	for _, c := range came {
		rng := y.rng("receive/" + name + "/" + c.ware.Name())
		lot := inventory.Lot{Part: c.ware.ID, Delivery: d.ID}
		dated(&lot, c.ware, day, rng)
		if lot, err = inventory.LotOf(ctx, y.tx, lot); err != nil {
			return err
		}
		f := inventory.Flow{Part: c.ware.ID, Lot: lot.ID, To: y.home(c.ware), Amount: c.packs * c.pack}
		if intake && rng.IntN(2) == 0 {
			f.To = y.bins[inventory.Intake]
		}
		if c.price != 0 && rng.IntN(25) != 0 { // else the price comes with the invoice
			f.Value = inventory.Value{Minor: c.packs * c.price, Known: true}
		}
		y.put(c.ware, f.Lot, f.To, f.Amount)
		flows = append(flows, f)
	}
	_, err = inventory.Post(ctx, y.tx, inventory.Posting{
		Key: "demo:delivery:" + name, Content: name, Kind: inventory.Receive, Person: y.person, Delivery: d.ID, Reason: name,
	}, flows)
	return err
}

// dated gives some rubber a batch, a cure date and a use-by date: seven years
// after the cure, as common practice has it for NBR (no source), ten for FKM.
func dated(lot *inventory.Lot, w *ware, day time.Time, rng *rand.Rand) {
	if w.Elastomer == "" || w.undated || rng.IntN(100) >= 40 {
		return
	}
	cured := day.AddDate(0, -2-rng.IntN(30), 0)
	quarter := (int(cured.Month()) + 2) / 3
	lot.Batch = fmt.Sprintf("%c%02d%02d", 'A'+rune(rng.IntN(6)), cured.Year()%100, 1+rng.IntN(52))
	if rng.IntN(3) == 0 {
		return
	}
	lot.Cure = catalog.Cure{Year: cured.Year(), Quarter: quarter}.String()
	years := 7
	if w.Elastomer == "FKM" {
		years = 10
	}
	lot.UseBy = time.Date(cured.Year()+years, time.Month(3*quarter+1), 0, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}

// open enters what was there when the book began: what the plan asks for, and
// a few pieces of much else.
func (y *years) open(ctx context.Context) error {
	var flows []inventory.Flow
	for _, w := range y.book.wares {
		rng := y.rng("open/" + w.Name())
		p := y.planOf(w)
		n := p.enough(21, y.tx.Now.Month())
		if p.milli == 0 && w.Role != catalog.Kit && rng.IntN(100) < 35 {
			n = w.bag * int64(1+rng.IntN(3))
		}
		if n == 0 {
			continue
		}
		lot := inventory.Lot{Part: w.ID}
		if p.milli == 0 {
			dated(&lot, w, y.opt.End.AddDate(-6, 0, 0), rng) // old stock, runs out about now
		}
		lot, err := inventory.LotOf(ctx, y.tx, lot)
		if err != nil {
			return err
		}
		f := inventory.Flow{Part: w.ID, Lot: lot.ID, To: y.home(w), Amount: n}
		if rng.IntN(8) != 0 {
			f.Value = inventory.Value{Minor: w.value(n), Known: true}
		}
		y.put(w, f.Lot, f.To, n)
		flows = append(flows, f)
	}
	return y.post(ctx, inventory.Opening, fmt.Sprint("demo:opening:", y.book.copy), "what was on the shelves", flows...)
}

// value gives about what n pieces, or n mL, cost.
func (w *ware) value(n int64) int64 {
	if w.Unit == catalog.Millilitre {
		return n * w.cost / 1000
	}
	return n * w.cost
}
