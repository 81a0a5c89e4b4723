package search

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
)

// Two numbers of which the second is small against the first, 53x1.8, are what
// they can be until a kind of part is named: an O-ring by its inside and
// section, a clip by the diameter it springs into and its wire, a washer or a
// bushing by its hole or its outside and how high it is, a bolt by its thread
// and pitch.

// byCross gives the parts that have both numbers so, those that have them
// before O-rings that only come near.
func (f *finder) byCross(ctx context.Context, tx *store.Tx, rings set) (set, error) {
	c := f.q.Cross
	all, err := f.looked(ctx, tx, func(p catalog.Part) (fault.Message, bool) {
		switch {
		case p.Role == catalog.Clip && p.Size.Inner == 0:
			return fault.Say("search.why_wire", c.Inner, c.Height), false
		case p.Size.Inner == c.Inner:
			return fault.Say("search.why_inner_high", c.Inner, c.Height), false
		}
		return fault.Say("search.why_outer_high", c.Inner, c.Height), false
	}, `p.height_um = $2 AND (p.inner_um = $1 OR p.outer_um = $1) AND p.thread = ''`, int64(c.Inner), int64(c.Height))
	if err != nil {
		return nil, err
	}
	rings.addAll(all)
	if t, err := measure.ParseThread("M" + c.Inner.String() + "x" + c.Height.String()); err == nil && c.Inner <= mostBolt {
		bolts, err := f.byThread(ctx, tx, t)
		if err != nil {
			return nil, err
		}
		bolts.keep(func(c candidate) bool { return !c.near })
		rings.addAll(bolts)
	}
	rings.fitsBeforeNear()
	return rings, nil
}

// mostBolt is the widest thread that is written without its M.
const mostBolt = 16 * measure.Millimetre
