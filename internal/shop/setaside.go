package shop

import (
	"context"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// SetAside is pieces that are kept for a job.
type SetAside struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Unit   string       `json:"unit"`
	Amount int64        `json:"amount"`
	Job    string       `json:"job"`
	Until  string       `json:"until"` // the last day; empty: until released
	Person string       `json:"person"`
	Day    string       `json:"day"`
}

// SetAsides is what is kept for jobs.
type SetAsides struct {
	Lines []SetAside    `json:"lines"`
	How   fault.Message `json:"how,omitzero"`
}

// longestName bounds what a job or a person outside the shop is called.
const longestName = 120

// SetAside keeps pieces of a part for a job, until the end of a day where one is
// told. Errors: Invalid, NotFound, Ambiguous, Short (fewer are available).
func (s *Shop) SetAside(ctx context.Context, part string, amount int64, job, until string) (SetAside, error) {
	return s.SetAsideOnce(ctx, "", part, amount, job, until)
}

// SetAsideOnce is SetAside under a key of the caller: the same again keeps
// nothing more.
func (s *Shop) SetAsideOnce(ctx context.Context, key, part string, amount int64, job, until string) (SetAside, error) {
	var out SetAside
	if err := checkKey(key); err != nil {
		return out, err
	}
	job = strings.TrimSpace(job)
	if amount <= 0 || amount > mostAmount {
		return out, fault.New(fault.Invalid, "shop.bad_amount", amount, int64(mostAmount))
	}
	if job == "" || len(job) > longestName {
		return out, fault.New(fault.Invalid, "shop.which_job").WithHint("shop.which_job.hint")
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		if err := dayToCome(tx, until); err != nil {
			return err
		}
		p, _, err := partFor(ctx, tx, part)
		if err != nil {
			return err
		}
		a, err := inventory.Keep(ctx, tx, inventory.SetAside{ID: key, Part: p.ID, Job: job, Amount: amount, Until: until, Person: who.Name}, who.ID)
		if fault.KindOf(err) == fault.Short {
			return shortOf(ctx, tx, p, err, "shop.short_aside.hint")
		}
		if err != nil {
			return err
		}
		out, err = s.setAside(ctx, tx, a)
		return err
	})
	return out, err
}

// dayToCome refuses what is no day, or one that is over.
func dayToCome(tx *store.Tx, day string) error {
	if day == "" {
		return nil
	}
	if _, err := time.Parse(time.DateOnly, day); err != nil {
		return fault.New(fault.Invalid, "shop.bad_day", day).WithHint("shop.bad_day.hint")
	}
	if day < tx.Today() {
		return fault.New(fault.Invalid, "shop.day_over", day).WithHint("shop.day_over.hint")
	}
	return nil
}

// SetAsides gives what is kept, of one part or for one job where these are not
// empty. Errors: NotFound, Ambiguous.
func (s *Shop) SetAsides(ctx context.Context, part, job string) (SetAsides, error) {
	out := SetAsides{Lines: []SetAside{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		id, how, err := partID(ctx, tx, part)
		if err != nil {
			return err
		}
		out.How = how
		out.Lines, err = s.setAsides(ctx, tx, id, job)
		return err
	})
	return out, err
}

// Release ends what is kept of a part for a job: some pieces, all for 0. A part
// that is not named stands for all that the job keeps. Errors: Invalid, NotFound
// (nothing is kept), Ambiguous.
func (s *Shop) Release(ctx context.Context, part, job string, amount int64, why string) (SetAsides, error) {
	out := SetAsides{Lines: []SetAside{}}
	job = strings.TrimSpace(job)
	if job == "" {
		return out, fault.New(fault.Invalid, "shop.which_job").WithHint("shop.which_job.hint")
	}
	if amount < 0 || amount > mostAmount || len(why) > 500 {
		return out, fault.New(fault.Invalid, "shop.bad_amount", amount, int64(mostAmount))
	}
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		id, how, err := partID(ctx, tx, part)
		if err != nil {
			return err
		}
		out.How = how
		all, err := inventory.SetAsides(ctx, tx, id, job)
		if err != nil {
			return err
		}
		if len(all) == 0 {
			return fault.New(fault.NotFound, "shop.not_aside", job).WithHint("shop.not_aside.hint")
		}
		left := amount
		for _, a := range all {
			n := a.Amount
			if amount > 0 {
				n = min(left, a.Amount)
			}
			if n == 0 {
				break
			}
			if err := a.Release(ctx, tx, n, who.ID, why); err != nil {
				return err
			}
			a.Amount, left = n, left-n
			line, err := s.setAside(ctx, tx, a)
			if err != nil {
				return err
			}
			out.Lines = append(out.Lines, line)
		}
		return nil
	})
	return out, err
}

func (s *Shop) setAsides(ctx context.Context, tx *store.Tx, part, job string) ([]SetAside, error) {
	lines := []SetAside{}
	all, err := inventory.SetAsides(ctx, tx, part, job)
	for _, a := range all {
		l, err := s.setAside(ctx, tx, a)
		if err != nil {
			return lines, err
		}
		lines = append(lines, l)
	}
	return lines, err
}

func (s *Shop) setAside(ctx context.Context, tx *store.Tx, a inventory.SetAside) (SetAside, error) {
	p, _, err := catalog.PartByID(ctx, tx, a.Part)
	if err != nil {
		return SetAside{}, err
	}
	at, err := store.Time(a.At)
	return SetAside{p.Number, p.Maker, p.Role, p.Unit, a.Amount, a.Job, a.Until, a.Person, s.day(at)}, err
}

// mayTake refuses to take for one job what is set aside for others, unless the
// request says so.
func (m *moving) mayTake(ctx context.Context, tx *store.Tx) error {
	switch m.q.Kind {
	case inventory.BorrowedBack:
		return m.mayGiveBack(ctx, tx, inventory.Borrow)
	case inventory.Issue, inventory.Sale, inventory.Lend:
	default:
		return nil
	}
	if m.q.Kept || m.q.Found {
		return nil
	}
	if err := m.notOutOf(ctx, tx); err != nil {
		return err
	}
	wanted := m.q.Amount
	if m.forJob() {
		own, err := inventory.InTray(ctx, tx, m.part.ID, m.q.Job)
		if err != nil {
			return err
		}
		wanted -= own
	}
	there, kept, err := inventory.Available(ctx, tx, m.part.ID)
	if err != nil || kept == 0 || there < wanted || wanted <= 0 { // too little at all is told by Pick
		return err
	}
	all, err := inventory.SetAsides(ctx, tx, m.part.ID, "")
	if err != nil {
		return err
	}
	var others []string
	for _, a := range all {
		if a.Job == m.q.Job && m.q.Kind == inventory.Issue {
			kept -= a.Amount
		} else {
			others = append(others, a.Job)
		}
	}
	if there-kept >= wanted {
		return nil
	}
	return fault.New(fault.Short, "shop.kept", m.part.Number, m.q.Amount, there, kept, strings.Join(others, ", ")).
		WithHint("shop.kept.hint")
}

// notOutOf refuses to take out of the tray of another job, if that is where to
// take from.
func (m *moving) notOutOf(ctx context.Context, tx *store.Tx) error {
	if m.bin == "" {
		return nil
	}
	tray, found, err := inventory.TrayIn(ctx, tx, m.bin)
	if err != nil || !found || m.forJob() && tray.Job == m.q.Job {
		return err
	}
	return fault.New(fault.Conflict, "shop.others_tray", tray.Bin.Name, tray.Job).WithHint("shop.others_tray.hint")
}
