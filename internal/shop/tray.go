package shop

import (
	"context"
	"fmt"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Tray is what lies ready for a job, and what is still to be put with it.
type Tray struct {
	Job     string     `json:"job"`     // empty: something lies in it, and nobody said for which
	Bin     string     `json:"bin"`     // empty: the job has no tray yet
	Lines   []TrayLine `json:"lines"`   // in the tray
	ToPut   []TrayLine `json:"to_put"`  // set aside for the job, on the shelves
	Brought []Brought  `json:"brought"` // the customer's own
}

// TrayLine is pieces of a part for a job.
type TrayLine struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit   string   `json:"unit"`
	Amount int64    `json:"amount"`
	Bins   []string `json:"bins"` // where they lie
}

// Name gives the part as forms take it.
func (l TrayLine) Name() string { return l.Maker + "/" + l.Number }

// Trays is what lies ready for jobs.
type Trays struct {
	Trays []Tray `json:"trays"`
}

// Trays gives every job that has a tray, something set aside, or something
// that its customer brought, by job; then the trays that are no job's and hold
// something.
func (s *Shop) Trays(ctx context.Context) (Trays, error) {
	out := Trays{Trays: []Tray{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		var jobs []string
		trays, err := inventory.Trays(ctx, tx)
		if err != nil {
			return err
		}
		for _, t := range trays {
			jobs = append(jobs, t.Job)
		}
		kept, err := inventory.SetAsides(ctx, tx, "", "")
		if err != nil {
			return err
		}
		for _, a := range kept {
			jobs = append(jobs, a.Job)
		}
		brought, err := inventory.CustomersFor(ctx, tx, "")
		if err != nil {
			return err
		}
		for _, b := range brought {
			jobs = append(jobs, b.Job)
		}
		slices.Sort(jobs)
		for _, job := range slices.Compact(jobs) {
			t, err := s.tray(ctx, tx, job)
			if err != nil {
				return err
			}
			out.Trays = append(out.Trays, t)
		}
		return out.strays(ctx, tx)
	})
	return out, err
}

// strays adds the trays that are no job's and hold something.
func (out *Trays) strays(ctx context.Context, tx *store.Tx) error {
	bins, err := inventory.Bins(ctx, tx)
	if err != nil {
		return err
	}
	for _, b := range bins {
		if b.Kind != "tray" {
			continue
		}
		_, taken, err := inventory.TrayIn(ctx, tx, b.ID)
		if err != nil {
			return err
		}
		t := Tray{Bin: b.Name, ToPut: []TrayLine{}, Brought: []Brought{}}
		if t.Lines, err = trayLines(ctx, tx, b); err != nil {
			return err
		}
		if !taken && len(t.Lines) > 0 {
			out.Trays = append(out.Trays, t)
		}
	}
	return nil
}

// trayLines gives what lies in a bin, by part.
func trayLines(ctx context.Context, tx *store.Tx, b inventory.Bin) ([]TrayLine, error) {
	out := []TrayLine{}
	lines, err := inventory.StockIn(ctx, tx, b.ID)
	for _, l := range lines {
		if out, err = addTrayLine(ctx, tx, out, l.Part, l.Amount, b.Name); err != nil {
			return out, err
		}
	}
	return out, err
}

// Tray gives what lies ready for a job. Errors: Invalid, NotFound (nothing is
// there for such a job).
func (s *Shop) Tray(ctx context.Context, job string) (Tray, error) {
	var out Tray
	job, err := jobNamed(job)
	if err != nil {
		return out, err
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		out, err = s.tray(ctx, tx, job)
		if err == nil && out.Bin == "" && len(out.ToPut)+len(out.Brought) == 0 {
			err = noTray(job)
		}
		return err
	})
	return out, err
}

// jobNamed tidies the name of a job. Error: Invalid.
func jobNamed(job string) (string, error) {
	if job = trimmed(job); job == "" || len(job) > longestName {
		return job, fault.New(fault.Invalid, "shop.which_job").WithHint("shop.which_job.hint")
	}
	return job, nil
}

// tray shows what lies ready for a job.
func (s *Shop) tray(ctx context.Context, tx *store.Tx, job string) (Tray, error) {
	out := Tray{Job: job, Lines: []TrayLine{}, ToPut: []TrayLine{}, Brought: []Brought{}}
	tray, found, err := inventory.TrayOf(ctx, tx, job)
	if err != nil {
		return out, err
	}
	if found {
		out.Bin = tray.Bin.Name
		if out.Lines, err = trayLines(ctx, tx, tray.Bin); err != nil {
			return out, err
		}
	}
	parts, amount, err := aside(ctx, tx, "", job)
	if err != nil {
		return out, err
	}
	for _, p := range parts {
		lines, err := inventory.ToPut(ctx, tx, p, amount[p], job)
		if err != nil {
			return out, err
		}
		var bins []string
		for _, l := range lines {
			if !slices.Contains(bins, l.Bin.Name) {
				bins = append(bins, l.Bin.Name)
			}
		}
		if out.ToPut, err = addTrayLine(ctx, tx, out.ToPut, p, amount[p], bins...); err != nil {
			return out, err
		}
	}
	out.Brought, err = s.broughtFor(ctx, tx, job)
	return out, err
}

// addTrayLine adds pieces of a part to lines.
func addTrayLine(ctx context.Context, tx *store.Tx, lines []TrayLine, part string, amount int64, bins ...string) ([]TrayLine, error) {
	p, _, err := catalog.PartByID(ctx, tx, part)
	if err != nil {
		return lines, err
	}
	l := TrayLine{p.Number, p.Maker, p.Role, sizes(p.Size, p.Thread), p.Unit, amount, bins}
	if i := slices.IndexFunc(lines, func(o TrayLine) bool { return o.Name() == l.Name() }); i >= 0 {
		lines[i].Amount += amount
		return lines, nil
	}
	return append(lines, l), nil
}

// GiveTray gives a job a tray: the bin of that name, else one that is free, else
// a new one. Errors: Invalid, Conflict.
func (s *Shop) GiveTray(ctx context.Context, job, bin string) (Tray, error) {
	var out Tray
	job, err := jobNamed(job)
	if err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		if _, err := inventory.GiveTray(ctx, tx, job, trimmed(bin), who.ID); err != nil {
			return err
		}
		out, err = s.tray(ctx, tx, job)
		return err
	})
	return out, err
}

// FillRequest asks for pieces to be put into the tray of a job.
type FillRequest struct {
	Job    string
	Part   string // number, or maker/number; empty: all that is set aside for the job
	Amount int64  // 0: what is set aside of the part
	Key    string
}

// Filled is a tray, and what was moved for it; no posting where nothing was.
type Filled struct {
	Tray
	Posted *Posted `json:"posted,omitempty"`
}

// FillTray moves what is set aside for a job, or pieces of a part, from the
// shelves into its tray. Errors: Invalid, NotFound (also: nothing is set aside),
// Ambiguous, Short, Conflict (the key).
func (s *Shop) FillTray(ctx context.Context, q FillRequest) (Filled, error) {
	if q.Amount < 0 || q.Amount > mostAmount {
		return Filled{}, fault.New(fault.Invalid, "shop.bad_amount", q.Amount, int64(mostAmount))
	}
	content := fmt.Sprintf("fill\n%s\n%d", q.Part, q.Amount)
	return s.traying(ctx, q.Job, q.Key, content, func(ctx context.Context, tx *store.Tx, head inventory.Posting) (inventory.Posting, error) {
		flows, err := fillFlows(ctx, tx, q, head)
		if err != nil {
			return head, err
		}
		if len(flows) == 0 {
			return head, fault.New(fault.NotFound, "shop.not_aside", head.Job).WithHint("shop.not_aside.hint")
		}
		tray, err := inventory.GiveTray(ctx, tx, head.Job, "", head.Person)
		if err != nil {
			return head, err
		}
		for i := range flows {
			flows[i].To = tray.Bin.ID
		}
		return inventory.Post(ctx, tx, head, flows)
	})
}

// fillFlows chooses what goes into a tray: what is asked for, else what is set
// aside for the job.
func fillFlows(ctx context.Context, tx *store.Tx, q FillRequest, head inventory.Posting) ([]inventory.Flow, error) {
	if q.Amount == 0 || q.Part == "" {
		part, _, err := partID(ctx, tx, q.Part)
		if err != nil {
			return nil, err
		}
		return pickAside(ctx, tx, part, head.Job)
	}
	part, _, err := partFor(ctx, tx, q.Part)
	if err != nil {
		return nil, err
	}
	m := moving{q: MoveRequest{Kind: inventory.Issue, Amount: q.Amount, Job: head.Job}, part: part}
	if err := m.mayTake(ctx, tx); err != nil {
		return nil, err
	}
	flows, err := inventory.Pick(ctx, tx, part.ID, q.Amount, "", "")
	if err != nil {
		err = m.explain(ctx, tx, err)
	}
	return flows, err
}

// pickAside chooses the pieces that are set aside for a job, of one part where
// it is named.
func pickAside(ctx context.Context, tx *store.Tx, part, job string) ([]inventory.Flow, error) {
	parts, amount, err := aside(ctx, tx, part, job)
	if err != nil {
		return nil, err
	}
	var all []inventory.Flow
	for _, p := range parts {
		lines, err := inventory.ToPut(ctx, tx, p, amount[p], job)
		if err != nil {
			return nil, err
		}
		for _, l := range lines {
			all = append(all, inventory.Flow{Part: p, Lot: l.Lot.ID, From: l.Bin.ID, Amount: l.Amount})
		}
	}
	return all, nil
}

// aside gives the parts (ids) that are set aside for a job, one where it is
// named, and how much of each.
func aside(ctx context.Context, tx *store.Tx, part, job string) (parts []string, amount map[string]int64, err error) {
	kept, err := inventory.SetAsides(ctx, tx, part, job)
	amount = map[string]int64{}
	for _, a := range kept {
		if amount[a.Part] == 0 {
			parts = append(parts, a.Part)
		}
		amount[a.Part] += a.Amount
	}
	return parts, amount, err
}

// ClearTray puts what is left in the tray of a job back where it belongs, and
// frees the tray. Errors: NotFound, Conflict (what the customer brought lies in
// it; the key).
func (s *Shop) ClearTray(ctx context.Context, job, key string) (Filled, error) {
	return s.traying(ctx, job, key, "clear", func(ctx context.Context, tx *store.Tx, head inventory.Posting) (inventory.Posting, error) {
		tray, found, err := inventory.TrayOf(ctx, tx, head.Job)
		if err != nil {
			return head, err
		}
		if !found {
			return head, noTray(head.Job)
		}
		brought, err := inventory.CustomersFor(ctx, tx, head.Job)
		if err != nil {
			return head, err
		}
		if len(brought) > 0 {
			return head, fault.New(fault.Conflict, "shop.tray_brought", head.Job).WithHint("shop.tray_brought.hint")
		}
		flows, err := homeFlows(ctx, tx, tray.Bin.ID)
		if err != nil {
			return head, err
		}
		if len(flows) > 0 {
			head.Job, head.Reason = "", head.Job
			if head, err = inventory.Post(ctx, tx, head, flows); err != nil {
				return head, err
			}
		}
		return head, tray.End(ctx, tx)
	})
}

func noTray(job string) error {
	return fault.New(fault.NotFound, "shop.no_tray", job).WithHint("shop.no_tray.hint")
}

// homeFlows gives how all that lies in a bin goes to where it belongs and may be
// taken from.
func homeFlows(ctx context.Context, tx *store.Tx, bin string) (flows []inventory.Flow, err error) {
	lines, err := inventory.StockIn(ctx, tx, bin)
	if err != nil {
		return nil, err
	}
	for _, l := range lines {
		var m moving
		if m.part, _, err = catalog.PartByID(ctx, tx, l.Part); err != nil {
			return nil, err
		}
		home, err := m.home(ctx, tx)
		if err != nil {
			return nil, err
		}
		if home, err = inventory.FreeBin(ctx, tx, home); err != nil {
			return nil, err
		}
		flows = append(flows, inventory.Flow{Part: l.Part, Lot: l.Lot.ID, From: bin, To: home, Amount: l.Amount})
	}
	return flows, nil
}

// traying posts moves into or out of the tray of a job, once under its key, and
// shows the tray.
func (s *Shop) traying(ctx context.Context, job, key, content string,
	post func(context.Context, *store.Tx, inventory.Posting) (inventory.Posting, error),
) (Filled, error) {
	var out Filled
	job, err := jobNamed(job)
	if err == nil {
		err = checkKey(key)
	}
	if err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		head := inventory.Posting{Key: key, Kind: inventory.Move, Person: who.ID, Job: job, Content: "tray\n" + job + "\n" + content}
		old, repeated, err := inventory.PostingByKey(ctx, tx, key, head.Content)
		if err != nil {
			return err
		}
		if !repeated {
			if old, err = post(ctx, tx, head); err != nil {
				return err
			}
		}
		if old.ID != "" {
			v, err := posted(ctx, tx, old, repeated)
			if err != nil {
				return err
			}
			out.Posted = &v
		}
		out.Tray, err = s.tray(ctx, tx, job)
		return err
	})
	return out, err
}
