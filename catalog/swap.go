package catalog

import (
	"context"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Swap remembers one bike that carries another fork than its model. The last
// word on a bike counts; earlier ones stay in the file.
type Swap struct {
	Bike   string // its frame number, or the shop's name for it
	Fork   string // id
	Note   string
	Person string // name
	At     time.Time
}

func (s Swap) check() error {
	if Normal(s.Bike) == "" {
		return fault.New(fault.Invalid, "catalog.no_bike").WithHint("catalog.no_bike.hint")
	}
	return checkTexts(field{"bike", s.Bike, mostName}, field{"note", s.Note, mostText})
}

// AddSwap remembers what a bike carries; person is an id. Errors: Invalid,
// Conflict (something is remembered of it already).
func AddSwap(ctx context.Context, tx *store.Tx, s Swap, person string) error {
	if err := s.check(); err != nil {
		return err
	}
	if old, ok, err := SwapOf(ctx, tx, s.Bike); err != nil || ok {
		if err == nil {
			err = fault.New(fault.Conflict, "catalog.swap_twice", old.Bike).WithHint("catalog.swap_twice.hint")
		}
		return err
	}
	id, err := tx.NewID()
	if err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO swap (id, bike, bike_norm, fork, note, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		id, s.Bike, Normal(s.Bike), s.Fork, s.Note, person, store.Stamp(tx.Now))
	return err
}

// EndSwap ends what is remembered of a bike. Error: NotFound.
func EndSwap(ctx context.Context, tx *store.Tx, bike, person string) error {
	if _, ok, err := SwapOf(ctx, tx, bike); err != nil || !ok {
		if err == nil {
			err = NoSwap(bike)
		}
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE swap SET ended_at = $2, ended_by = $3 WHERE bike_norm = $1 AND ended_at IS NULL`,
		Normal(bike), store.Stamp(tx.Now), person)
	return err
}

// NoSwap is the error for a bike of which nothing is remembered.
func NoSwap(bike string) error {
	return fault.New(fault.NotFound, "catalog.swap_absent", short(bike)).WithHint("catalog.swap_absent.hint")
}

const swapQuery = `SELECT s.bike, s.fork, s.note, p.name, s.at FROM swap s JOIN person p ON p.id = s.person WHERE s.ended_at IS NULL `

func querySwaps(ctx context.Context, tx *store.Tx, where string, args ...any) ([]Swap, error) {
	var all []Swap
	err := tx.Each(ctx, func(scan store.Scan) error {
		var s Swap
		var at string
		err := scan(&s.Bike, &s.Fork, &s.Note, &s.Person, &at)
		if err == nil {
			s.At, err = store.Time(at)
		}
		all = append(all, s)
		return err
	}, swapQuery+where, args...)
	return all, err
}

// SwapOf gives what is remembered of a bike; ok is false where nothing is.
func SwapOf(ctx context.Context, tx *store.Tx, bike string) (s Swap, ok bool, err error) {
	all, err := querySwaps(ctx, tx, `AND s.bike_norm = $1 AND s.bike_norm <> '' ORDER BY s.at`, Normal(bike))
	if err != nil || len(all) == 0 {
		return Swap{}, false, err
	}
	return all[0], true, nil
}

// SwapsTo gives the bikes that are remembered to carry a fork, by name.
func SwapsTo(ctx context.Context, tx *store.Tx, fork string) ([]Swap, error) {
	return querySwaps(ctx, tx, `AND s.fork = $1 ORDER BY s.bike_norm`, fork)
}
