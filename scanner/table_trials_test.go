//go:build trials

package scanner

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
)

// A limit is what a set must come to, as the issue asks.
type limit struct {
	right float64 // share of the symbols
	least int     // or number of them
	wrong float64 // share of the symbols
	ms    float64 // of processor time for any picture; 0 is any time
}

// A column is one reader's result on one set.
type column struct {
	name string
	tally
	ms []float64 // sorted
}

func (c *column) add(d tally, ms float64) {
	c.tally.add(d)
	c.ms = append(c.ms, ms)
}

// at gives the processor time that a share of the pictures stays below.
func (c *column) at(share float64) float64 {
	if len(c.ms) == 0 {
		return 0
	}
	slices.Sort(c.ms)
	return c.ms[min(len(c.ms)-1, int(share*float64(len(c.ms))))]
}

// contest shows a set to all readers, prints the tables and holds us to the
// limits. Lines that begin with a bar are handed on by make trials.
func contest(t *testing.T, name string, set []exhibit, want limit) {
	t.Helper()
	if len(set) == 0 {
		t.Fatalf("%s: no pictures", name)
	}
	symbols := 0
	for _, e := range set {
		symbols += len(e.want)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "|\n| %-22s | %9s | %7s | %6s | %6s | %6s | %9s | %9s |\n|%s\n",
		name, "pictures", "symbols", "right", "wrong", "unread", "ms median", "ms p95", strings.Repeat("-", 97))
	parts := map[string]map[string]*column{} // kind or harm -> reader
	columns := map[string]*column{}
	for _, r := range rivals() {
		var seen []exhibit
		for _, e := range set {
			if r.sees(e.kind) {
				seen = append(seen, e)
			}
		}
		if len(seen) == 0 {
			continue
		}
		c := &column{name: r.name}
		columns[r.name] = c
		answers, there := r.run(t, seen), 0
		for _, e := range seen {
			d := judge(e, answers[e.id], r.name == "forkstock")
			c.add(d, answers[e.id].ms)
			there += len(e.want)
			if r.name == "forkstock" && d.Wrong+d.Twice+d.Unread > 0 {
				t.Logf("%s: read %q, want %q", e.id, answers[e.id].texts, e.want)
			}
			for _, part := range []string{"kind " + e.kind, "harm " + e.harm} {
				if parts[part] == nil {
					parts[part] = map[string]*column{}
				}
				if parts[part][r.name] == nil {
					parts[part][r.name] = &column{name: r.name}
				}
				parts[part][r.name].add(d, answers[e.id].ms)
			}
		}
		fmt.Fprintf(&b, "| %-22s | %9d | %7d | %6d | %6d | %6d | %9.1f | %9.1f |\n",
			r.name, len(seen), there, c.Right, c.Wrong, c.Unread, c.at(0.5), c.at(0.95))
	}
	breakdown(&b, parts)
	fmt.Println(b.String() + "|")
	hold(t, columns, symbols, want)
}

// breakdown adds a line for each kind and harm: ours beside the strongest.
func breakdown(b *strings.Builder, parts map[string]map[string]*column) {
	if len(parts) < 4 {
		return
	}
	fmt.Fprintf(b, "| %-34s | %8s | %17s | %28s |\n", "of which", "pictures", "right, wrong", "right, wrong, ms of "+strongest)
	for _, part := range slices.Sorted(maps.Keys(parts)) {
		a, z := parts[part]["forkstock"], parts[part][strongest]
		fmt.Fprintf(b, "| %-34s | %8d | %4d %3d %6.0f %6.0f | %4d %3d %6.0f %6.0f |\n", part,
			len(a.ms), a.Right, a.Wrong, a.at(0.5), a.at(0.95), z.Right, z.Wrong, z.at(0.5), z.at(0.95))
	}
}

// hold fails where a limit is missed.
func hold(t *testing.T, columns map[string]*column, symbols int, want limit) {
	t.Helper()
	us, best := columns["forkstock"], columns[strongest]
	if least := max(want.least, int(want.right*float64(symbols)+0.999)); us.Right < least {
		t.Errorf("%d of %d symbols right, want %d", us.Right, symbols, least)
	}
	if most := int(want.wrong * float64(symbols)); us.Wrong+us.Twice > most {
		t.Errorf("%d symbols wrong and %d twice, want at most %d", us.Wrong, us.Twice, most)
	}
	if got := us.at(1); want.ms > 0 && got > want.ms {
		t.Errorf("%.1f ms of processor time for a picture, want at most %g", got, want.ms)
	}
	for _, share := range []float64{0.5, 0.95} {
		if got, most := us.at(share), best.at(share); got > most {
			t.Errorf("%.1f ms of processor time for %g of the pictures, want at most the %.1f of %s", got, share, most, strongest)
		}
	}
}
