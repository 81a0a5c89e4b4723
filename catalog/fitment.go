package catalog

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Fitment says that some bikes carry a fork: those of a make and model, and
// where they are told, of a variant, a model code, some years, some frame
// numbers.
type Fitment struct {
	ID       string
	Make     string
	Model    string
	Variant  string // letters behind the model; empty: every variant
	Code     string // model code on the plate
	YearFrom int    // 0: told by frame numbers alone
	YearTo   int    // 0: still built
	Frames   Frames
	Fork     string
	Source   string
}

// Years gives "2001-2004", "2001-" for a model that is still built, and
// nothing where no years are told.
func (f Fitment) Years() string { return Years(f.YearFrom, f.YearTo) }

// Years gives "2001-2004", or "2001-" where the last year is 0; nothing where
// the first is.
func Years(from, to int) string {
	switch {
	case from == 0:
		return ""
	case to == 0:
		return fmt.Sprintf("%d-", from)
	case to == from:
		return fmt.Sprint(from)
	}
	return fmt.Sprintf("%d-%d", from, to)
}

// Bike gives make, model and variant, as one says them.
func (f Fitment) Bike() string { return joined(f.Make, f.Model, f.Variant) }

// Limits gives what narrows f down within its model: code, years, frame
// numbers.
func (f Fitment) Limits() string { return joined(f.Code, f.Years(), f.Frames.String()) }

// Name gives all that tells the bikes of f from others.
func (f Fitment) Name() string { return joined(f.Bike(), f.Limits()) }

func joined(words ...string) string {
	return strings.Join(slices.DeleteFunc(words, func(s string) bool { return s == "" }), " ")
}

func (f Fitment) check() error {
	if Normal(f.Make) == "" || Normal(f.Model) == "" {
		return fault.New(fault.Invalid, "catalog.bad_bike")
	}
	if f.YearFrom == 0 && !f.Frames.Any() {
		return fault.New(fault.Invalid, "catalog.no_years").WithHint("catalog.no_years.hint")
	}
	return firstError(checkYears(f.YearFrom, f.YearTo), f.Frames.check(), checkTexts(
		field{"make", f.Make, mostName}, field{"model", f.Model, mostName}, field{"variant", f.Variant, mostName},
		field{"code", f.Code, mostName}, field{"source", f.Source, mostText},
	))
}

func checkYears(from, to int) error {
	if from == 0 && to == 0 {
		return nil
	}
	if from < firstYear || max(from, to) > lastYear || to != 0 && to < from {
		return fault.New(fault.Invalid, "catalog.bad_years", Years(from, to), firstYear, lastYear).WithHint("catalog.bad_years.hint")
	}
	return nil
}

// AddFitment adds a fitment. Errors: Invalid, Conflict (some of those years
// are told of that bike and fork already).
func AddFitment(ctx context.Context, tx *store.Tx, f Fitment) (Fitment, error) {
	err := f.check()
	if err != nil {
		return f, err
	}
	if err := f.alone(ctx, tx); err != nil {
		return f, err
	}
	if f.ID, err = tx.NewID(); err != nil {
		return f, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO fitment (id, make, make_norm, model, model_norm, variant, variant_norm, code, code_norm,
		year_from, year_to, frame_from, frame_from_norm, frame_to, frame_to_norm, fork, source)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17)`,
		f.ID, f.Make, Normal(f.Make), f.Model, Normal(f.Model), f.Variant, Normal(f.Variant), f.Code, Normal(f.Code),
		yearOrNull(f.YearFrom), yearOrNull(f.YearTo), f.Frames.From, Normal(f.Frames.From), f.Frames.To, Normal(f.Frames.To),
		f.Fork, f.Source)
	return f, err
}

// ChangeFitment keeps all but make and model of the fitment with its id.
// Errors: Invalid, Conflict.
func ChangeFitment(ctx context.Context, tx *store.Tx, f Fitment) error {
	if err := firstError(f.check(), f.alone(ctx, tx)); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE fitment SET variant = $2, variant_norm = $3, code = $4, code_norm = $5, year_from = $6,
		year_to = $7, frame_from = $8, frame_from_norm = $9, frame_to = $10, frame_to_norm = $11, fork = $12, source = $13
		WHERE id = $1`, f.ID, f.Variant, Normal(f.Variant), f.Code, Normal(f.Code), yearOrNull(f.YearFrom), yearOrNull(f.YearTo),
		f.Frames.From, Normal(f.Frames.From), f.Frames.To, Normal(f.Frames.To), f.Fork, f.Source)
	return err
}

// alone refuses bikes that are told to carry that fork already.
func (f Fitment) alone(ctx context.Context, tx *store.Tx) error {
	told, err := queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m
		WHERE m.withdrawn = 0 AND m.make_norm = $1 AND m.model_norm = $2 AND m.variant_norm = $3 AND m.code_norm = $4 AND m.fork = $5 ORDER BY m.year_from, m.frame_from_norm`,
		Normal(f.Make), Normal(f.Model), Normal(f.Variant), Normal(f.Code), f.Fork)
	if err != nil {
		return err
	}
	for _, old := range told {
		if old.ID != f.ID && yearsMeet(old.YearFrom, old.YearTo, f.YearFrom, f.YearTo) && !old.Frames.apart(f.Frames) {
			return fault.New(fault.Conflict, "catalog.bike_twice", old.Name()).WithHint("catalog.bike_twice.hint")
		}
	}
	return nil
}

// yearsMeet reports whether a year can be one of both; 0 is an open end.
func yearsMeet(from, to, from2, to2 int) bool {
	return (to2 == 0 || from <= to2) && (to == 0 || from2 <= to)
}

func yearOrNull(year int) any {
	if year == 0 {
		return nil
	}
	return year
}

const fitmentColumns = ` m.id, m.make, m.model, m.variant, m.code, coalesce(m.year_from, 0), coalesce(m.year_to, 0),
	m.frame_from, m.frame_to, m.fork, m.source `

func queryFitments(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Fitment, error) {
	var all []Fitment
	err := tx.Each(ctx, func(scan store.Scan) error {
		var f Fitment
		err := scan(&f.ID, &f.Make, &f.Model, &f.Variant, &f.Code, &f.YearFrom, &f.YearTo, &f.Frames.From, &f.Frames.To,
			&f.Fork, &f.Source)
		all = append(all, f)
		return err
	}, query, args...)
	return all, err
}

// Fitments gives every fitment, by make, model and what narrows it down.
func Fitments(ctx context.Context, tx *store.Tx) ([]Fitment, error) {
	return queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m JOIN fork f ON f.id = m.fork
		ORDER BY m.make_norm, m.model_norm, m.variant_norm, m.code_norm, coalesce(m.year_from, 0), m.frame_from_norm,
		m.frame_to_norm, f.name_norm`)
}

// FitmentsOfFork gives the bikes that carry a fork, by make, model, variant
// and year.
func FitmentsOfFork(ctx context.Context, tx *store.Tx, fork string) ([]Fitment, error) {
	return queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0 AND m.fork = $1
		ORDER BY m.make_norm, m.model_norm, m.variant_norm, m.year_from, m.frame_from_norm`, fork)
}

// FitmentsTold gives what is told of a make and model with a fork, by year; a
// variant may stand with the model.
func FitmentsTold(ctx context.Context, tx *store.Tx, maker, model, fork string) ([]Fitment, error) {
	return queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m
		WHERE m.withdrawn = 0 AND m.make_norm = $1 AND (m.model_norm = $2 OR m.variant_norm <> '' AND m.model_norm || m.variant_norm = $2)
		AND m.fork = $3 ORDER BY m.year_from, m.variant_norm, m.frame_from_norm`, Normal(maker), Normal(model), fork)
}

// FitmentsOfModel gives what is told of a make and model, in the order of its
// years.
func FitmentsOfModel(ctx context.Context, tx *store.Tx, maker, model string) ([]Fitment, error) {
	return queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0 AND m.make_norm = $1 AND m.model_norm = $2
		ORDER BY m.year_from, m.frame_from_norm, m.variant_norm, m.fork`, Normal(maker), Normal(model))
}

// FitmentsTagged gives the fitments of a model code, and those of the frame
// numbers that a number is surely one of, by make, model and year.
func FitmentsTagged(ctx context.Context, tx *store.Tx, tag string) ([]Fitment, error) {
	norm := Normal(tag)
	prefix, _ := frameParts(tag) // a number of another prefix or length tells nothing
	all, err := queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0 AND m.id IN (
			SELECT id FROM fitment WHERE code_norm = $1 AND code_norm <> ''
			UNION ALL SELECT id FROM fitment WHERE frame_from_norm > $2 AND frame_from_norm < $3 AND frame_from_norm <> '' AND length(frame_from_norm) = length($1)
			UNION ALL SELECT id FROM fitment WHERE frame_to_norm > $2 AND frame_to_norm < $3 AND frame_to_norm <> '' AND length(frame_to_norm) = length($1))
		ORDER BY m.make_norm, m.model_norm, m.year_from, m.fork`, norm, prefix, prefix+"\U0010ffff")
	return slices.DeleteFunc(all, func(m Fitment) bool {
		return Normal(m.Code) != norm && (!m.Frames.Any() || m.Frames.Hold(tag) != Inside)
	}), err
}
