package catalog

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/words"
)

// Fork is one construction of fork; many models carry it.
type Fork struct {
	ID     string
	Name   string
	Layout string         // "conventional" or "upside-down"
	Leg    measure.Length // outer diameter of the inner tube
	Note   string         // how to tell it from its neighbours
	Source string
	Legs   []Leg
	Looks
}

// Leg is what one leg holds. Left and right are as the rider sits.
type Leg struct {
	Leg       string // "left" or "right"
	Damping   string // "damper_rod", "open_cartridge", "closed_cartridge", "none"
	Springing string // "coil", "coil_with_air", "air", "none"
	Cap       string // of Caps; empty: not known
}

// Position is a place in a leg. Seq orders the stack as it goes together.
type Position struct {
	ID     string
	Seq    int
	Role   Role
	Leg    string // "both", "left", "right"
	PerLeg int64  // in the part's unit
	Renew  string // "always", "opened", "judge", "damage"
	Told   bool   // whether Renew was told of this place, not taken from the shop's habit or common practice
	Fitted string // "yes", "no", "unknown"
	Size   measure.Size
	Thread string
	Traits
	Entered string // the size as it was entered, where that was in inches or as an O-ring's number
	Note    string // which way up, and what else to mind
	Parts   []NamedPart
	Against map[string]Doubt // by part id, where Doubted has been asked
}

// NamedPart is a part that a source names for a place, whatever its sizes say.
type NamedPart struct {
	Part   string // id
	Source string
}

// PerJob gives how many a job on both legs takes.
func (p Position) PerJob() int64 {
	if p.Leg == "both" {
		return 2 * p.PerLeg
	}
	return p.PerLeg
}

// Wanted gives what the place asks of a part.
func (p Position) Wanted() Wanted {
	return Wanted{Role: p.Role, Size: p.Size, Thread: p.Thread, Traits: p.Traits}
}

// AddFork adds a fork with its legs. Errors: Invalid, Conflict (the name is
// taken).
func AddFork(ctx context.Context, tx *store.Tx, f Fork) (Fork, error) {
	if err := f.check(); err != nil {
		return f, err
	}
	if _, found, err := forkByNorm(ctx, tx, Normal(f.Name)); err != nil || found {
		if err == nil {
			err = fault.New(fault.Conflict, "catalog.fork_twice", f.Name).WithHint("catalog.fork_twice.hint", words.ShellWord(f.Name))
		}
		return f, err
	}
	var err error
	if f.ID, err = tx.NewID(); err != nil {
		return f, err
	}
	if _, err := tx.Exec(ctx, `INSERT INTO fork (id, name, name_norm, layout, leg_um, note, source,
		cap_shape, cap_flats_um, cap_thread, axle_um, centres_um) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)`,
		f.ID, f.Name, Normal(f.Name), f.Layout, int64(f.Leg), f.Note, f.Source,
		f.CapShape, null(f.CapFlats), f.CapThread, null(f.Axle), null(f.Centres)); err != nil {
		return f, err
	}
	for _, l := range f.Legs {
		if _, err := tx.Exec(ctx, `INSERT INTO fork_leg (fork, leg, damping, springing, cap) VALUES ($1, $2, $3, $4, $5)`,
			f.ID, l.Leg, l.Damping, l.Springing, l.Cap); err != nil {
			return f, err
		}
	}
	return f, nil
}

// AddPosition adds a place to a fork, at a Seq that is free. A renewal other
// than common practice is told. Error: Invalid.
func AddPosition(ctx context.Context, tx *store.Tx, fork string, p Position) (Position, error) {
	err := p.check()
	if err != nil {
		return p, err
	}
	if p.ID, err = tx.NewID(); err != nil {
		return p, err
	}
	if _, err := tx.Exec(ctx, `INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, fitted,
		inner_um, outer_um, height_um, overall_um, thread, note, head_um, seat, strength, coated, entered, renew_told)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20)`,
		p.ID, fork, p.Seq, p.Role, p.Leg, p.PerLeg, p.Renew, p.Fitted,
		null(p.Size.Inner), null(p.Size.Outer), null(p.Size.Height), null(p.Size.Overall), p.Thread, p.Note,
		null(p.Head), p.Seat, p.Strength, p.Coated, p.Entered,
		p.Told || p.Renew != Renewal(p.Role)); err != nil {
		return p, err
	}
	return p, nameParts(ctx, tx, p)
}

const forkColumns = ` f.id, f.name, f.layout, f.leg_um, f.note, f.source, f.cap_shape, coalesce(f.cap_flats_um, 0), f.cap_thread,
	coalesce(f.axle_um, 0), coalesce(f.centres_um, 0) `

func queryForks(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Fork, error) {
	var forks []Fork
	var ids []string
	at := map[string]int{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var f Fork
		err := scan(&f.ID, &f.Name, &f.Layout, &f.Leg, &f.Note, &f.Source, &f.CapShape, &f.CapFlats, &f.CapThread, &f.Axle, &f.Centres)
		at[f.ID] = len(forks)
		forks, ids = append(forks, f), append(ids, f.ID)
		return err
	}, query, args...)
	if err != nil || len(ids) == 0 {
		return nil, err
	}
	return forks, tx.Each(ctx, func(scan store.Scan) error {
		var fork string
		var l Leg
		err := scan(&fork, &l.Leg, &l.Damping, &l.Springing, &l.Cap)
		f := &forks[at[fork]]
		f.Legs = append(f.Legs, l)
		return err
	}, `SELECT l.fork, l.leg, l.damping, l.springing, l.cap FROM json_each($1) k CROSS JOIN fork_leg l ON l.fork = k.value
		ORDER BY k.key, l.leg`, idList(ids))
}

func forkByNorm(ctx context.Context, tx *store.Tx, norm string) (Fork, bool, error) {
	forks, err := queryForks(ctx, tx, `SELECT`+forkColumns+`FROM fork f WHERE f.name_norm = $1 ORDER BY f.id`, norm)
	if err != nil || len(forks) == 0 {
		return Fork{}, false, err
	}
	return forks[0], true, nil
}

// Forks gives every fork, by name.
func Forks(ctx context.Context, tx *store.Tx) ([]Fork, error) {
	return queryForks(ctx, tx, `SELECT`+forkColumns+`FROM fork f ORDER BY f.name_norm`)
}

// ForkNamed finds a fork by its name. Error: NotFound, with the names that
// begin alike.
func ForkNamed(ctx context.Context, tx *store.Tx, name string) (Fork, error) {
	f, found, err := forkByNorm(ctx, tx, Normal(name))
	if err != nil || found {
		return f, err
	}
	return Fork{}, fault.New(fault.NotFound, "catalog.fork_absent", short(name)).
		WithHint("catalog.fork_absent.hint", words.ShellWord(short(name)))
}

// ForkByID gives the fork of an id; ok is false where there is none.
func ForkByID(ctx context.Context, tx *store.Tx, id string) (f Fork, ok bool, err error) {
	forks, err := queryForks(ctx, tx, `SELECT`+forkColumns+`FROM fork f WHERE f.id = $1 ORDER BY f.id`, id)
	if err != nil || len(forks) == 0 {
		return Fork{}, false, err
	}
	return forks[0], true, nil
}
