package catalog

import (
	"context"
	"slices"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// BikeQuery tells what is known of a bike. It names a make and model, or a
// model code, or a frame number; the rest narrows it down.
type BikeQuery struct {
	Make, Model string
	Variant     string
	Code        string
	Frame       string
	Year        int // 0: any
}

// ForksOf gives the fitments that may hold for a bike, by year. Model and
// variant may stand in Model together; all is compared in normal form. What
// is told of the variant, the code or the frame number asked for goes before
// what is told of all. unclear is true where a frame number was asked for that
// cannot be compared with those that are told, or where none was asked for and
// all that may hold is told of some frame numbers alone (and not of the code
// asked for): then each is a candidate and none the answer. Error: NotFound,
// naming what is known instead.
func ForksOf(ctx context.Context, tx *store.Tx, q BikeQuery) (hits []Fitment, unclear bool, err error) {
	all, err := q.told(ctx, tx)
	if err != nil {
		return nil, false, err
	}
	hits = slices.DeleteFunc(slices.Clone(all), func(f Fitment) bool { return !f.covers(q.Year) })
	if len(hits) == 0 {
		return nil, false, fault.New(fault.NotFound, "catalog.no_year", all[0].Make, all[0].Model, q.Year).
			WithHint("catalog.no_year.hint", listed(all, Fitment.Years))
	}
	if q.Make != "" { // a code asked for alone has found its own already
		for _, narrow := range []struct {
			what, asked string
			of          func(Fitment) string
		}{
			{"variant", q.Variant, func(f Fitment) string { return f.Variant }},
			{"code", q.Code, func(f Fitment) string { return f.Code }},
		} {
			if some := special(hits, narrow.asked, narrow.of); len(some) > 0 {
				hits = some
				continue
			}
			return nil, false, fault.New(fault.NotFound, "catalog.no_"+narrow.what, all[0].Make, all[0].Model, short(narrow.asked)).
				WithHint("catalog.known_"+narrow.what+".hint", listed(hits, narrow.of))
		}
	}
	return q.framed(hits)
}

// told gives the fitments of the make and model, or else of the code, or else
// of the frame number alone, which must stand in frames that are told.
func (q BikeQuery) told(ctx context.Context, tx *store.Tx) (all []Fitment, err error) {
	switch {
	case q.Make != "" || q.Model != "":
		all, err = queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0 AND m.make_norm = $1
			AND (m.model_norm = $2 OR m.variant_norm <> '' AND m.model_norm || m.variant_norm = $2)
			ORDER BY m.year_from, m.frame_from_norm, m.variant_norm, m.fork`, Normal(q.Make), Normal(q.Model))
		if err == nil && len(all) == 0 {
			err = noModel(ctx, tx, q.Make, q.Model)
		}
	case q.Code != "":
		all, err = queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m WHERE m.withdrawn = 0 AND m.code_norm = $1 AND m.code_norm <> ''
			ORDER BY m.make_norm, m.model_norm, m.year_from, m.frame_from_norm, m.fork`, Normal(q.Code))
		if err == nil && len(all) == 0 {
			err = fault.New(fault.NotFound, "catalog.code_unknown", short(q.Code)).WithHint("catalog.name_bike.hint")
		}
	default:
		all, err = queryFitments(ctx, tx, `SELECT`+fitmentColumns+`FROM fitment m
			WHERE m.withdrawn = 0 AND (m.frame_from_norm <> '' OR m.frame_to_norm <> '')
			ORDER BY m.make_norm, m.model_norm, m.year_from, m.frame_from_norm, m.fork`)
		all = slices.DeleteFunc(all, func(f Fitment) bool { return f.Frames.Hold(q.Frame) != Inside })
		if err == nil && len(all) == 0 {
			err = fault.New(fault.NotFound, "catalog.frame_unknown", short(q.Frame)).WithHint("catalog.name_bike.hint")
		}
	}
	return all, err
}

// special gives the fitments that are told of the word asked for, else those
// that are told of no word; all where none is asked for.
func special(all []Fitment, asked string, of func(Fitment) string) []Fitment {
	if Normal(asked) == "" {
		return all
	}
	with := func(norm string) []Fitment {
		return slices.DeleteFunc(slices.Clone(all), func(f Fitment) bool { return Normal(of(f)) != norm })
	}
	if some := with(Normal(asked)); len(some) > 0 {
		return some
	}
	return with("")
}

// framed narrows fitments down by the frame number, where one is asked for;
// where none is, it stays open what is told of frame numbers alone.
func (q BikeQuery) framed(all []Fitment) (hits []Fitment, unclear bool, err error) {
	if Normal(q.Frame) == "" {
		known := func(f Fitment) bool { return !f.Frames.Any() || f.Code != "" && Normal(f.Code) == Normal(q.Code) }
		return all, !slices.ContainsFunc(all, known), nil
	}
	var inside, open []Fitment
	for _, f := range all {
		switch within := f.Frames.Hold(q.Frame); {
		case within == Inside && f.Frames.Any():
			inside = append(inside, f)
		case within == Unclear:
			open, unclear = append(open, f), true
		case within == Inside:
			open = append(open, f)
		}
	}
	switch {
	case len(inside) > 0:
		return inside, false, nil
	case len(open) > 0:
		return open, unclear, nil
	}
	return nil, false, fault.New(fault.NotFound, "catalog.no_frame", all[0].Make, all[0].Model, short(q.Frame)).
		WithHint("catalog.known_frame.hint", listed(all, func(f Fitment) string { return f.Frames.String() }))
}

// covers reports whether f may hold in a year; where no years are told it may
// in any.
func (f Fitment) covers(year int) bool {
	return year == 0 || f.YearFrom <= year && (f.YearTo == 0 || year <= f.YearTo)
}

// listed gives what is told of fitments, each once.
func listed(all []Fitment, of func(Fitment) string) string {
	var out []string
	for _, f := range all {
		if s := of(f); s != "" && !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return strings.Join(out, ", ")
}

// noModel tells which models of the make are known, or which makes.
func noModel(ctx context.Context, tx *store.Tx, maker, model string) error {
	list := func(query string, args ...any) (names []string, err error) {
		err = tx.Each(ctx, func(scan store.Scan) error {
			var s string
			err := scan(&s)
			names = append(names, s)
			return err
		}, query, args...)
		return names, err
	}
	models, err := list(`SELECT DISTINCT model FROM fitment WHERE withdrawn = 0 AND make_norm = $1 ORDER BY model`, Normal(maker))
	if err != nil {
		return err
	}
	e := fault.New(fault.NotFound, "catalog.model_absent", maker, model)
	if len(models) > 0 {
		return e.WithHint("catalog.models.hint", maker, strings.Join(models, ", "))
	}
	makes, err := list(`SELECT DISTINCT make FROM fitment WHERE withdrawn = 0 ORDER BY make`)
	if err != nil {
		return err
	}
	if len(makes) == 0 {
		return e.WithHint("catalog.no_models.hint")
	}
	return e.WithHint("catalog.makes.hint", strings.Join(makes, ", "))
}
