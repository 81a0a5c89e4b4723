package demo

import (
	"context"
	"fmt"
	"time"

	"forkstock/catalog"
	"forkstock/inventory"
)

// The end is set up so that the story works on every day: the fork on the
// lift has all that it needs but its bottom washers, another fork lacks its
// own, parts of a job lie in the tray, and a wrong one is set aside.

// seals is how many of the story's seal are on hand at the end.
const seals = 5

func (y *years) finish(ctx context.Context) error {
	for _, step := range []func(context.Context) error{y.emptyBags, y.fillLift, y.countSeals, y.waitingJob, y.wrongPart, y.onOrder, y.keepForNext} {
		y.tx.Now = y.tx.Now.Add(7 * time.Minute)
		if err := step(ctx); err != nil {
			return err
		}
	}
	return nil
}

// emptyBags clears the washers of two sizes: the bags on the shelf were empty.
func (y *years) emptyBags(ctx context.Context) error {
	var flows []inventory.Flow
	seen := map[*ware]bool{}
	for _, f := range y.book.forks {
		for _, p := range f.places {
			if p.Role != catalog.BottomWasher || p.Size != size("10/16x1.5") && p.Size != size("12/18x1.5") {
				continue
			}
			for _, w := range p.wares {
				if !seen[w] {
					seen[w] = true
					flows = append(flows, y.take(w, y.there(w))...)
				}
			}
		}
	}
	return y.post(ctx, inventory.Scrap, "demo:end:1", "counted: the bag on the shelf was empty", flows...)
}

// fillLift buys what the fork of the story lacks for two jobs, but for the
// washers.
func (y *years) fillLift(ctx context.Context) error {
	var flows []inventory.Flow
	for _, p := range y.book.fork(storyFork).places {
		if p.Fitted != "yes" || p.Role == catalog.BottomWasher {
			continue
		}
		w := p.wares[0]
		if n := 2*p.PerJob() - y.there(w); n > 0 {
			f, err := y.comes(ctx, w, n)
			if err != nil {
				return err
			}
			flows = append(flows, f)
		}
	}
	return y.post(ctx, inventory.Receive, "demo:end:2", "bought round the corner", flows...)
}

// comes lays n pieces of a ware in its home bin, at what they usually cost.
func (y *years) comes(ctx context.Context, w *ware, n int64) (inventory.Flow, error) {
	lot, err := inventory.LotOf(ctx, y.tx, inventory.Lot{Part: w.ID})
	f := inventory.Flow{
		Part: w.ID, Lot: lot.ID, To: y.home(w), Amount: n, Value: inventory.Value{Minor: w.value(n), Known: true},
	}
	y.put(w, f.Lot, f.To, n)
	return f, err
}

// countSeals leaves a few of the story's seal.
func (y *years) countSeals(ctx context.Context) error {
	w := y.book.byName[storySeal]
	switch n := y.there(w) - seals; {
	case n > 0:
		return y.post(ctx, inventory.Issue, "demo:end:3", "over the counter", y.take(w, n)...)
	case n < 0:
		f, err := y.comes(ctx, w, -n)
		if err != nil {
			return err
		}
		return y.post(ctx, inventory.Found, "demo:end:3", "found when the bin was counted", f)
	}
	return nil
}

// waitingFork is the fork of the job that waits.
const waitingFork = "Tirona 50"

// jobName gives what the shop calls the last job.
func (y *years) jobName() string { return fmt.Sprint(y.job) }

// waitingJob lays the seals and wipers of a job in the tray.
func (y *years) waitingJob(ctx context.Context) error {
	y.job++
	f := y.book.fork(waitingFork)
	var flows []inventory.Flow
	for _, p := range f.places {
		if p.Role != catalog.OilSeal && p.Role != catalog.Wiper || y.there(p.wares[0]) < p.PerJob() {
			continue
		}
		for _, flow := range y.take(p.wares[0], p.PerJob()) {
			flow.To = y.bins[tray]
			flows = append(flows, flow)
		}
	}
	reason := fmt.Sprintf("job %d, %s %s, waits for a washer", y.job, f.bikes[0].Make, f.bikes[0].Model)
	return y.post(ctx, inventory.Move, fmt.Sprintf("demo:job:%d:1", y.job), reason, flows...)
}

// keepForNext sets the seals of next week's job aside.
func (y *years) keepForNext(ctx context.Context) error {
	y.job++
	for _, f := range y.book.forks {
		if f.Name == storyFork || f.Name == waitingFork {
			continue
		}
		for _, p := range f.places {
			if p.Role != catalog.OilSeal || y.there(p.wares[0]) < p.PerJob() {
				continue
			}
			_, err := inventory.Keep(ctx, y.tx, inventory.SetAside{
				Part: p.wares[0].ID, Job: y.jobName(), Amount: p.PerJob(), Until: y.opt.End.AddDate(0, 0, 14).Format(time.DateOnly),
			}, y.person)
			return err
		}
	}
	return nil
}

// wrongPart sets one piece aside.
func (y *years) wrongPart(ctx context.Context) error {
	w := y.book.byName[orbenta+"/OB395295"]
	if y.there(w) == 0 {
		return nil
	}
	flows := y.take(w, 1)
	flows[0].To = y.bins[blocked]
	return y.post(ctx, inventory.Move, "demo:end:4", "bag says 11 high, the seal is 9.5: goes back", flows...)
}

// fork gives the fork of a name.
func (b *book) fork(name string) *fork {
	for _, f := range b.forks {
		if f.Name == name {
			return f
		}
	}
	panic("demo: no fork " + name)
}
