package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// OilFill is how much oil a leg takes, or the cartridge in it. A row with a
// Fitment goes before the fork's own for that bike, and with years before one
// without.
type OilFill struct {
	ID       string
	Fitment  string // id, empty for the fork itself
	YearFrom int    // 0: all years of the fitment
	YearTo   int    // 0 with YearFrom: from then on
	Leg      string // "both", "left", "right"
	Chamber  string // "leg" or "cartridge"
	DryML    int64  // after a strip-down; 0: not known
	RefillML int64  // after draining
	Gap      measure.Length
	GapHow   string    // of the air gap, from the top of the tube: spring in or out, rod, leg position
	Grade    string    // as printed; not comparable between makers
	CSt      Viscosity // at 40 C, as printed
	Index    int64     // viscosity index, as printed; 0: not known
	Source   string
}

// Chambers are what a leg holds oil in: itself, and a closed cartridge.
var Chambers = []string{"leg", "cartridge"}

// Limits of oil fills, wide on purpose: a leg holds well below two litres
// (common practice, no source).
const (
	mostFill  = 5_000 // mL
	mostGap   = 400 * measure.Millimetre
	mostIndex = 600
)

func (o OilFill) check() error {
	if o.DryML == 0 && o.RefillML == 0 && o.Gap == 0 {
		return fault.New(fault.Invalid, "catalog.no_fill").WithHint("catalog.no_fill.hint")
	}
	if o.Chamber == "cartridge" && o.Gap != 0 {
		return fault.New(fault.Invalid, "catalog.cartridge_gap").WithHint("catalog.cartridge_gap.hint")
	}
	if o.Gap != 0 && o.GapHow == "" {
		return fault.New(fault.Invalid, "catalog.gap_how").WithHint("catalog.gap_how.hint")
	}
	if o.DryML != 0 && o.RefillML > o.DryML { // what is left in a leg that was only drained is missing: common practice, no source
		return fault.New(fault.Invalid, "catalog.refill_more", o.RefillML, o.DryML).WithHint("catalog.refill_more.hint")
	}
	return firstError(
		checkChoice("leg", o.Leg, Sides), checkChoice("chamber", o.Chamber, Chambers),
		checkRange("dry", o.DryML, 0, mostFill), checkRange("refill", o.RefillML, 0, mostFill),
		checkRange("gap", int64(o.Gap), 0, int64(mostGap)), checkRange("index", o.Index, 0, mostIndex),
		checkYears(o.YearFrom, o.YearTo),
		checkTexts(field{"gap_how", o.GapHow, mostText}, field{"grade", o.Grade, mostName}, field{"source", o.Source, mostText}),
	)
}

// usualFills are the volumes that a leg takes for the most part, and a closed
// cartridge in it, in mL: common practice, no source.
var usualFills = map[string]struct{ least, most int64 }{"leg": {100, 1200}, "cartridge": {30, 500}}

// UnusualFill questions a volume that a leg, or the cartridge in it, hardly
// takes: a decimal mark or a unit misread, or the fill of both legs. The zero
// Message has nothing to ask. The maker's manual decides.
func UnusualFill(chamber string, ml int64) fault.Message {
	usual, known := usualFills[chamber]
	switch {
	case !known || usual.least <= ml && ml <= usual.most:
		return fault.Message{}
	case ml < usual.least:
		return fault.Say("catalog.fill_low", ml, fault.Say("chamber."+chamber), usual.least, usual.most)
	}
	return fault.Say("catalog.fill_high", ml, fault.Say("chamber."+chamber), usual.least, usual.most)
}

// SameFill reports whether a and b say how much one leg, or one cartridge, of
// the same bikes takes.
func (o OilFill) SameFill(b OilFill) bool {
	return o.Fitment == b.Fitment && o.Chamber == b.Chamber && (o.Leg == b.Leg || o.Leg == "both" || b.Leg == "both") &&
		(o.YearFrom == 0) == (b.YearFrom == 0) && yearsMeet(o.YearFrom, o.YearTo, b.YearFrom, b.YearTo)
}

// AddOilFill adds an oil quantity to a fork. Errors: Invalid, Conflict (one is
// told of that leg, chamber and bike).
func AddOilFill(ctx context.Context, tx *store.Tx, fork string, o OilFill) error {
	err := o.check()
	if err != nil {
		return err
	}
	all, err := OilFills(ctx, tx, fork)
	if err != nil {
		return err
	}
	if i := slices.IndexFunc(all, o.SameFill); i >= 0 {
		return fault.New(fault.Conflict, "catalog.oil_twice", fault.Say("leg."+all[i].Leg), fault.Say("chamber."+all[i].Chamber)).
			WithHint("catalog.oil_twice.hint")
	}
	if o.ID, err = tx.NewID(); err != nil {
		return err
	}
	_, err = tx.Exec(ctx, `INSERT INTO oil_fill (id, fork, fitment, year_from, year_to, leg, chamber, dry_ml, refill_ml, gap_um,
		gap_how, grade, cst_milli, vi, source)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		o.ID, fork, textOrNull(o.Fitment), yearOrNull(o.YearFrom), yearOrNull(o.YearTo), o.Leg, o.Chamber, amountOrNull(o.DryML),
		amountOrNull(o.RefillML), null(o.Gap), o.GapHow, o.Grade, amountOrNull(int64(o.CSt)), amountOrNull(o.Index), o.Source)
	return err
}

// ChangeOilFill keeps what o says of the fill with its id. Error: Invalid.
func ChangeOilFill(ctx context.Context, tx *store.Tx, o OilFill) error {
	if err := o.check(); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `UPDATE oil_fill SET leg = $2, chamber = $3, dry_ml = $4, refill_ml = $5, gap_um = $6, gap_how = $7,
		grade = $8, cst_milli = $9, vi = $10, source = $11 WHERE id = $1`, o.ID, o.Leg, o.Chamber, amountOrNull(o.DryML),
		amountOrNull(o.RefillML), null(o.Gap), o.GapHow, o.Grade, amountOrNull(int64(o.CSt)), amountOrNull(o.Index), o.Source)
	return err
}

// OilFills gives the oil quantities of a fork, its own first.
func OilFills(ctx context.Context, tx *store.Tx, fork string) ([]OilFill, error) {
	var all []OilFill
	err := tx.Each(ctx, func(scan store.Scan) error {
		var o OilFill
		err := scan(&o.ID, &o.Fitment, &o.YearFrom, &o.YearTo, &o.Leg, &o.Chamber, &o.DryML, &o.RefillML, &o.Gap, &o.GapHow,
			&o.Grade, &o.CSt, &o.Index, &o.Source)
		all = append(all, o)
		return err
	}, `SELECT id, coalesce(fitment, ''), coalesce(year_from, 0), coalesce(year_to, 0), leg, chamber, coalesce(dry_ml, 0),
		coalesce(refill_ml, 0), coalesce(gap_um, 0), gap_how, grade, coalesce(cst_milli, 0), coalesce(vi, 0), source
		FROM oil_fill WHERE fork = $1 ORDER BY fitment IS NOT NULL, chamber DESC, leg, id`, fork)
	return all, err
}

// amountOrNull gives NULL for an amount that is not known.
func amountOrNull(n int64) any {
	if n == 0 {
		return nil
	}
	return n
}
