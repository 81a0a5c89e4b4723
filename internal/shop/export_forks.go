package shop

import (
	"strconv"

	"forkstock/catalog"
)

// forks writes a row for each place of each fork, one more for each further
// part that is named for it, and one for each amount of oil; a fork of which
// none is told has a row of its own.
func (x *exporter) forks() error {
	forks, err := catalog.Forks(x.ctx, x.tx)
	if err != nil {
		return err
	}
	for _, f := range forks {
		own := cells{"fork": f.Name, "layout": f.Layout, "leg_mm": mm(f.Leg), "fork_note": f.Note, "fork_source": f.Source}
		own.looks(f)
		for _, l := range f.Legs {
			own[l.Leg+"_damping"], own[l.Leg+"_springing"], own[l.Leg+"_cap"] = l.Damping, l.Springing, l.Cap
		}
		places, err := catalog.Positions(x.ctx, x.tx, f.ID)
		if err != nil {
			return err
		}
		fills, err := x.fills(f.ID, "")
		if err != nil {
			return err
		}
		if len(places)+len(fills) == 0 {
			if err := x.row(own); err != nil {
				return err
			}
		}
		for _, p := range places {
			if err := x.place(own, p); err != nil {
				return err
			}
		}
		for _, o := range fills {
			if err := x.row(own, oilCells(o)); err != nil {
				return err
			}
		}
	}
	return nil
}

// looks writes what is seen and measured of a fork on the bike.
func (c cells) looks(f catalog.Fork) {
	c["cap_shape"], c["cap_flats_mm"], c["cap_thread"] = f.CapShape, mm(f.CapFlats), f.CapThread
	c["axle_mm"], c["centres_mm"] = mm(f.Axle), mm(f.Centres)
}

func (x *exporter) place(own cells, p catalog.Position) error {
	c := cells{
		"place": strconv.Itoa(p.Seq), "role": string(p.Role), "side": p.Leg, "per_leg": itoa(p.PerLeg), "fitted": p.Fitted, "place_note": p.Note,
	}
	if p.Told {
		c["renew"] = p.Renew
	}
	size, traits := sizeCells(p.Size, p.Thread), traitCells(p.Traits, p.Entered)
	if len(p.Parts) == 0 {
		return x.row(own, c, size, traits)
	}
	for _, n := range x.sorted(p.Parts) {
		part := x.part[n.Part]
		if err := x.row(own, c, size, traits, cells{"part_number": part.Number, "part_maker": part.Maker, "part_source": n.Source}); err != nil {
			return err
		}
	}
	return nil
}

// sorted puts the parts named for a place in the order of their numbers: ids
// are not the same in another shop.
func (x *exporter) sorted(parts []catalog.NamedPart) []catalog.NamedPart {
	return sortedBy(parts, func(n catalog.NamedPart) string { return x.part[n.Part].Number + "/" + x.part[n.Part].Maker })
}

// fills gives what is told of the oil of a fork, or of one of its fitments.
func (x *exporter) fills(fork, fitment string) (own []catalog.OilFill, err error) {
	all, err := catalog.OilFills(x.ctx, x.tx, fork)
	for _, o := range all {
		if o.Fitment == fitment {
			own = append(own, o)
		}
	}
	return sortedBy(own, func(o catalog.OilFill) string {
		return o.Chamber + "/" + o.Leg + "/" + catalog.Years(o.YearFrom, o.YearTo)
	}), err
}

func oilCells(o catalog.OilFill) cells {
	c := cells{
		"oil_leg": o.Leg, "oil_chamber": o.Chamber, "oil_dry_ml": some(o.DryML), "oil_refill_ml": some(o.RefillML), "oil_gap_mm": mm(o.Gap),
		"oil_gap_how": o.GapHow, "oil_grade": o.Grade, "oil_index": some(o.Index), "oil_source": o.Source,
	}
	if o.CSt != 0 {
		c["oil_cst"] = o.CSt.String()
	}
	return c
}

func (x *exporter) fitments() error {
	all, err := catalog.Fitments(x.ctx, x.tx)
	if err != nil {
		return err
	}
	for _, m := range all {
		f, _, err := catalog.ForkByID(x.ctx, x.tx, m.Fork)
		if err != nil {
			return err
		}
		own := cells{
			"make": m.Make, "model": m.Model, "variant": m.Variant, "code": m.Code, "year_from": some(m.YearFrom), "year_to": some(m.YearTo),
			"frame_from": m.Frames.From, "frame_to": m.Frames.To, "fork": f.Name, "source": m.Source,
		}
		fills, err := x.fills(m.Fork, m.ID)
		if err != nil {
			return err
		}
		if len(fills) == 0 {
			err = x.row(own)
		}
		for _, o := range fills {
			if err == nil {
				err = x.row(own, oilCells(o), cells{"oil_year_from": some(o.YearFrom), "oil_year_to": some(o.YearTo)})
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) kits() error {
	parts, err := catalog.Parts(x.ctx, x.tx)
	if err != nil {
		return err
	}
	for _, kit := range parts {
		if kit.Role != catalog.Kit {
			continue
		}
		if err := x.kit(kit); err != nil {
			return err
		}
	}
	return nil
}

func (x *exporter) kit(kit catalog.Part) error {
	contents, err := catalog.Contents(x.ctx, x.tx, kit.ID)
	if err != nil {
		return err
	}
	legs, err := catalog.Legs(x.ctx, x.tx, kit.ID)
	if err != nil {
		return err
	}
	own := cells{"kit": kit.Number, "kit_maker": kit.Maker, "legs": some(legs)}
	if len(contents) == 0 && legs > 0 {
		return x.row(own)
	}
	for i, c := range contents {
		line := cells{"line": strconv.Itoa(i + 1), "pieces": itoa(c.Pieces)}
		if c.Part.ID != "" {
			line["number"], line["maker"] = c.Part.Number, c.Part.Maker
			err = x.row(own, line)
		} else {
			line["role"] = string(c.Part.Role)
			err = x.row(own, line, sizeCells(c.Part.Size, c.Part.Thread))
		}
		if err != nil {
			return err
		}
	}
	return nil
}
