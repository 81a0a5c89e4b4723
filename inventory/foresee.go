package inventory

import (
	"cmp"
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// Foreseen is a scan with what it would be posted as today.
type Foreseen struct {
	Scan              // its State: open for one that would be posted, else as Settle would have it
	Link catalog.Link // of one that would be posted
}

// Counts reports whether the scan would be posted.
func (f Foreseen) Counts() bool { return f.State == ScanOpen }

// Amount gives how much of the part it would bring.
func (f Foreseen) Amount() int64 { return f.Link.Pieces * f.Times }

// Foresee tells what would become of scans of an open delivery, all that count
// and in their order, without writing anything. It decides as Settle does, scan
// by scan, and those that tell a batch or a date first. What it gives is in the
// order of scans.
func Foresee(ctx context.Context, tx *store.Tx, scans []Scan) ([]Foreseen, error) {
	out := make([]Foreseen, len(scans))
	sheets := map[string][]int{}
	for i, s := range scans {
		out[i].Scan = s
		sheets[s.Sheet] = append(sheets[s.Sheet], i)
	}
	for _, all := range sheets {
		if !scans[all[0]].Picture() {
			slices.SortStableFunc(all, func(a, b int) int { return cmp.Compare(scans[a].Box.Min.Y, scans[b].Box.Min.Y) })
		}
	}
	known := map[meaningKey]meaning{}
	for _, i := range DatedFirst(scans) {
		f := &out[i]
		m, err := meaningOf(ctx, tx, known, f)
		switch {
		case err != nil:
			return nil, err
		case !m.known:
			f.State = ScanUnknown
			continue
		case m.link.Part == "":
			f.State = ScanIgnored
			continue
		}
		sheet := beheld(out, sheets[f.Sheet], f.Scan)
		asked, err := f.beside(ctx, tx, m.link.Part, sheet)
		if err != nil {
			return nil, err
		}
		if !asked {
			f.Link = m.link
		}
	}
	return out, nil
}

// beheld gives the scans of a sheet that around gives, as they are foreseen so
// far: of a hand scanner two lines before and two after, by binary search, for a
// session has hundreds.
func beheld(out []Foreseen, all []int, s Scan) (sheet []Scan) {
	if !s.Picture() {
		line := s.Box.Min.Y
		from, _ := slices.BinarySearchFunc(all, line, func(i, line int) int { return cmp.Compare(out[i].Box.Min.Y, line) })
		to, _ := slices.BinarySearchFunc(all, line+1, func(i, line int) int { return cmp.Compare(out[i].Box.Min.Y, line) })
		before := slices.Clone(all[max(0, from-2):from])
		slices.Reverse(before)
		all = append(before, all[to:min(len(all), to+2)]...)
	}
	for _, i := range all {
		o := out[i].Scan
		if out[i].Link.Part != "" && o.State == ScanOpen {
			o.State = ScanPosted // it would be by now
		}
		sheet = append(sheet, o)
	}
	return sheet
}

// DatedFirst gives the indices of scans in the order in which they are settled:
// what tells a batch or a date first, so that of two codes on a pack that one is
// posted.
func DatedFirst(scans []Scan) (order []int) {
	for _, dated := range []bool{true, false} {
		for i, s := range scans {
			if dated == (s.Batch != "" || s.UseBy != "" || s.Printed != Printed{}) {
				order = append(order, i)
			}
		}
	}
	return order
}

// meaningKey is what Resolve goes by, meaning what it says: of a code that was
// scanned forty times once.
type (
	meaningKey struct{ symbology, text, code, supplier, part string }
	meaning    struct {
		scan  Scan
		link  catalog.Link
		known bool
	}
)

func meaningOf(ctx context.Context, tx *store.Tx, told map[meaningKey]meaning, f *Foreseen) (meaning, error) {
	key := meaningKey{f.Symbology, f.Text, f.Code, f.Supplier, f.Part}
	m, seen := told[key]
	if f.Part != "" || !seen {
		m.scan = f.Scan
		var err error
		if m.link, m.known, err = Resolve(ctx, tx, &m.scan); err != nil {
			return m, err
		}
		told[key] = m
	}
	f.Code, f.Rule, f.Supplier = m.scan.Code, m.scan.Rule, m.scan.Supplier
	if m.scan.Rule != 0 {
		f.Times = m.scan.Times
	}
	return m, nil
}
