package shop

import (
	"context"
	"fmt"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// PutAway is where what a delivery brought goes.
type PutAway struct {
	Delivery string        `json:"delivery"`
	Lines    []PutAwayLine `json:"lines"`
	Moved    int64         `json:"moved"`    // pieces that this call put away
	Repeated bool          `json:"repeated"` // the key was used before: nothing moved
}

// PutAwayLine is what goes into a bin, or to a job that waits for it.
type PutAwayLine struct {
	Bin    string       `json:"bin"`
	Job    string       `json:"job"`  // not the bin: it was ordered for that
	Tray   string       `json:"tray"` // of that job; empty: it has none yet
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit     string `json:"unit"`
	Amount   int64  `json:"amount"`
	InIntake int64  `json:"in_intake"` // of it, what lies in INTAKE and is to be put away
	Home     string `json:"home"`      // bin of the part; empty: it has none
	Held     bool   `json:"held"`      // it lies in a blocked place
}

// Name gives the part as forms take it.
func (l PutAwayLine) Name() string { return l.Maker + "/" + l.Number }

// Waiting counts the lines that are still to be put away.
func (p PutAway) Waiting() (n int) {
	for _, l := range p.Lines {
		if l.InIntake > 0 {
			n++
		}
	}
	return n
}

// PutAway gives where what a delivery brought goes, by bin; parts that were
// ordered for a job name the job. Error: NotFound.
func (s *Shop) PutAway(ctx context.Context, delivery string) (out PutAway, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		d, err := inventory.KnownDelivery(ctx, tx, delivery)
		if err != nil {
			return err
		}
		out, err = putAway(ctx, tx, d)
		return err
	})
	return out, err
}

func putAway(ctx context.Context, tx *store.Tx, d inventory.Delivery) (PutAway, error) {
	out := PutAway{Delivery: d.Name, Lines: []PutAwayLine{}}
	all, err := inventory.PutAway(ctx, tx, d.ID)
	if err != nil {
		return out, err
	}
	for _, l := range all {
		if l.Kind == "intake" && l.Job == "" { // the rest was used out of there
			if l.Amount = l.InIntake; l.Amount == 0 {
				continue
			}
		}
		p, _, err := catalog.PartByID(ctx, tx, l.Part)
		if err != nil {
			return out, err
		}
		tray, _, err := inventory.TrayOf(ctx, tx, l.Job)
		if err != nil {
			return out, err
		}
		v := PutAwayLine{
			Bin: l.Bin, Job: l.Job, Tray: tray.Bin.Name, Number: p.Number, Maker: p.Maker, Role: p.Role, Sizes: sizes(p.Size, p.Thread),
			Unit: p.Unit, Amount: l.Amount, InIntake: l.InIntake, Held: l.Kind == "blocked",
		}
		if _, err := tx.One(ctx, store.Into(&v.Home), `SELECT name FROM bin WHERE id = $1`, p.HomeBin); err != nil {
			return out, err
		}
		out.Lines = append(out.Lines, v)
	}
	return out, nil
}

// PutRequest asks for what lies in INTAKE of a delivery to be put away.
type PutRequest struct {
	Delivery string
	Part     string // number, or maker/number; empty: all that has a home, and was not ordered for a job
	Bin      string // where to; empty: the part's home
	Home     bool   // it lives there from now on
	Key      string
}

// PutInPlace moves what a delivery brought from INTAKE to where it lives. Errors:
// Invalid, NotFound (delivery, part, bin, nothing lies in INTAKE), Ambiguous,
// Conflict (no home; the key).
func (s *Shop) PutInPlace(ctx context.Context, q PutRequest) (out PutAway, err error) {
	q.Part, q.Bin = trimmed(q.Part), trimmed(q.Bin)
	if q.Part == "" && (q.Bin != "" || q.Home) {
		return out, fault.New(fault.Invalid, "shop.put_what").WithHint("shop.put_what.hint")
	}
	if err := checkKey(q.Key); err != nil {
		return out, err
	}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		d, err := inventory.KnownDelivery(ctx, tx, q.Delivery)
		if err != nil {
			return err
		}
		head := inventory.Posting{
			Key: q.Key, Kind: inventory.Move, Person: who.ID, Delivery: d.ID,
			Content: fmt.Sprintf("putaway\n%s\n%s\n%s\n%v", d.ID, q.Part, q.Bin, q.Home),
		}
		repeated := false
		if q.Key != "" {
			if _, repeated, err = inventory.PostingByKey(ctx, tx, q.Key, head.Content); err != nil {
				return err
			}
		}
		var moved int64
		if !repeated {
			if moved, err = q.put(ctx, tx, d, head); err != nil {
				return err
			}
		}
		out, err = putAway(ctx, tx, d)
		out.Moved, out.Repeated = moved, repeated
		return err
	})
	return out, err
}

// put posts the move, and gives how many pieces it moved.
func (q PutRequest) put(ctx context.Context, tx *store.Tx, d inventory.Delivery, head inventory.Posting) (moved int64, err error) {
	amounts, to, err := q.what(ctx, tx, d)
	if err != nil {
		return 0, err
	}
	var flows []inventory.Flow
	for _, a := range amounts {
		picked, err := inventory.PickIntake(ctx, tx, d.ID, a.part, a.amount)
		if err != nil {
			return 0, err
		}
		for _, f := range picked {
			if f.To = to[a.part]; f.To != f.From { // INTAKE can be a home, too
				flows = append(flows, f)
				moved += f.Amount
			}
		}
	}
	if len(flows) == 0 {
		return 0, fault.New(fault.NotFound, "shop.nothing_to_put", d.Name)
	}
	_, err = inventory.Post(ctx, tx, head, flows)
	return moved, err
}

// putting is what of a part is to be put away.
type putting struct {
	part   string // id
	amount int64
}

// what gives what is to be put away, and the bin of each part: what was not
// ordered for a job; of a part that is named all of it, where a job waits for
// every piece.
func (q PutRequest) what(ctx context.Context, tx *store.Tx, d inventory.Delivery) (all []putting, to map[string]string, err error) {
	to = map[string]string{}
	var named catalog.Part
	if q.Part != "" {
		if named, _, err = partFor(ctx, tx, q.Part); err != nil {
			return nil, nil, err
		}
	}
	lines, err := inventory.PutAway(ctx, tx, d.ID)
	if err != nil {
		return nil, nil, err
	}
	for _, l := range lines {
		if l.InIntake == 0 || l.Job != "" || q.Part != "" && l.Part != named.ID {
			continue
		}
		if q.Part == "" {
			p, _, err := catalog.PartByID(ctx, tx, l.Part)
			if err != nil {
				return nil, nil, err
			}
			if p.HomeBin == "" {
				continue
			}
			to[l.Part] = p.HomeBin
		}
		all = append(all, putting{l.Part, l.InIntake})
	}
	if q.Part == "" {
		return all, to, nil
	}
	still, err := inventory.StillIn(ctx, tx, d.ID, "intake")
	if err != nil || still[named.ID] == 0 {
		return nil, nil, err
	}
	if len(all) == 0 {
		all = []putting{{named.ID, still[named.ID]}}
	}
	to[named.ID], err = q.place(ctx, tx, named)
	return all, to, err
}

// place gives the bin of a part, and makes it its home where that is asked for.
func (q PutRequest) place(ctx context.Context, tx *store.Tx, p catalog.Part) (string, error) {
	if q.Bin == "" {
		if p.HomeBin == "" {
			return "", fault.New(fault.Conflict, "shop.no_home", p.Name()).WithHint("shop.no_home.hint")
		}
		return p.HomeBin, nil
	}
	b, err := inventory.BinNamed(ctx, tx, q.Bin)
	if err != nil || !q.Home {
		return b.ID, err
	}
	if p.HomeBin, err = homeBin(ctx, tx, q.Bin); err != nil {
		return "", err
	}
	return b.ID, catalog.ChangePart(ctx, tx, p)
}

// Shelves gives the names of the bins where parts live.
func (s *Shop) Shelves(ctx context.Context) ([]string, error) {
	names := []string{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		bins, err := inventory.Bins(ctx, tx)
		for _, b := range bins {
			if b.Kind == "shelf" {
				names = append(names, b.Name)
			}
		}
		return err
	})
	return names, err
}
