package scanner

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// Eight bytes at once give what each alone gives.
func TestBoth(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 10_000 {
		x, y := r.Uint64(), r.Uint64()
		if r.IntN(2) == 0 {
			y = x ^ 1<<r.IntN(64)
		}
		lesser, greater := both(x, y)
		under := below(x, y)
		for i := range 8 {
			a, b := byte(x>>(8*i)), byte(y>>(8*i))
			if byte(lesser>>(8*i)) != min(a, b) || byte(greater>>(8*i)) != max(a, b) || under>>(8*i+7)&1 == 1 != (a < b) {
				t.Fatalf("%x and %x: %x, %x, below %x", x, y, lesser, greater, under)
			}
		}
	}
}

// painted makes a plane of what shade gives for each point.
func painted(w, h int, shade func(x, y int) float64) *plane {
	p := newPlane(w, h)
	for i := range p.pix {
		p.pix[i] = byte(min(max(shade(i%w, i/w), 0), 255))
	}
	return p
}

// Bars of 5 points are found where they are painted, whatever the light.
func TestInk(t *testing.T) {
	const w, h = 203, 61
	bar := func(x, y int) bool { return x >= 20 && x < 180 && y >= 10 && y < 50 && x/5%2 == 0 }
	for _, tt := range []struct {
		name  string
		shade func(x, y int) float64
	}{
		{"plain", func(x, y int) float64 { return 255 }},
		{"shadow", func(x, y int) float64 { return 30 + float64(x) }},
		{"dim", func(x, y int) float64 { return 60 }},
	} {
		p := painted(w, h, func(x, y int) float64 {
			if bar(x, y) {
				return tt.shade(x, y) * .5
			}
			return tt.shade(x, y)
		})
		var k ink
		k.of(p)
		for y := 10; y < 50; y++ {
			var want []int32
			for x := range w {
				if bar(x, y) != (x > 0 && bar(x-1, y)) {
					want = append(want, int32(x))
				}
			}
			got := slices.Clone(k.changes[k.rows[y]:k.rows[y+1]])
			got = slices.DeleteFunc(got, func(x int32) bool { return x < 12 }) // at the rim of a shadow
			if !slices.Equal(got, want) {
				t.Fatalf("%s: row %d changes at %v, want %v", tt.name, y, got, want)
			}
		}
		if !k.dark(20, 10) || k.dark(25, 10) || k.dark(-1, 10) || k.dark(20, h) {
			t.Errorf("%s: points are dark that are not, or light", tt.name)
		}
	}
}

// What has no contrast has no dark points, and the inside of what is large and
// dark is dark.
func TestInkFlat(t *testing.T) {
	var k ink
	k.of(painted(300, 200, func(x, y int) float64 { return 128 + float64((x*7+y*13)%9) }))
	if len(k.changes) > 0 {
		t.Errorf("a grey picture has %d changes", len(k.changes))
	}
	k.of(painted(300, 200, func(x, y int) float64 {
		if x > 50 && x < 250 && y > 50 && y < 150 {
			return 40
		}
		return 220
	}))
	if !k.dark(150, 100) || k.dark(10, 10) || len(k.changes) != 2*99 {
		t.Errorf("a dark box has %d changes, its middle dark: %v", len(k.changes), k.dark(150, 100))
	}
}

// A finder pattern is 1:1:3:1:1 (ISO/IEC 18004, 6.3.3), also with ink that
// spreads.
func TestOneOneThree(t *testing.T) {
	for _, tt := range []struct {
		runs [5]float64
		want bool
	}{
		{[5]float64{3, 3, 9, 3, 3}, true},
		{[5]float64{1, 1, 3, 1, 1}, true},
		{[5]float64{4, 2, 10, 2, 4}, true},
		{[5]float64{2, 4, 8, 4, 2}, true},
		{[5]float64{3, 3, 3, 3, 3}, false},
		{[5]float64{3, 3, 9, 3, 9}, false},
		{[5]float64{9, 3, 3, 3, 9}, false},
		{[5]float64{1, 1, 9, 1, 1}, false},
	} {
		if got := oneOneThree(tt.runs[0], tt.runs[1], tt.runs[2], tt.runs[3], tt.runs[4]); got != tt.want {
			t.Errorf("%v: %v", tt.runs, got)
		}
	}
}

// A finder pattern is found where it is painted, to half a point.
func TestFinders(t *testing.T) {
	for _, turn := range []float64{0, .2, math.Pi / 4} {
		sin, cos := math.Sincos(turn)
		const cx, cy, module = 61.3, 47.8, 4.
		p := painted(120, 100, func(x, y int) float64 {
			dx, dy := float64(x)+.5-cx, float64(y)+.5-cy
			ring := max(math.Abs(dx*cos+dy*sin), math.Abs(dy*cos-dx*sin)) / module
			if ring < 1.5 || ring > 2.5 && ring < 3.5 {
				return 20
			}
			return 230
		})
		var k ink
		k.of(p)
		found := k.finders(nil)
		if len(found) != 1 || math.Hypot(found[0].x-cx, found[0].y-cy) > .5 || found[0].hits < 2 {
			t.Errorf("turned by %.2f: %+v", turn, found)
		}
	}
}

// The hull of an L is a triangle; speckles of a corner are cut.
func TestHull(t *testing.T) {
	p := painted(60, 60, func(x, y int) float64 {
		if x >= 10 && x < 14 && y >= 5 && y < 50 || y >= 46 && y < 50 && x >= 10 && x < 50 {
			return 0
		}
		return 255
	})
	var k ink
	k.of(p)
	var b blobber
	blobs := b.find(&k, 7)
	if len(blobs) != 1 || blobs[0].points != 4*45+4*36 {
		t.Fatalf("blobs %+v, want one", blobs)
	}
	got := b.hull(&k, &blobs[0])
	want := []point{{10.5, 49.5}, {10.5, 5.5}, {13.5, 5.5}, {49.5, 46.5}, {49.5, 49.5}}
	if !slices.Equal(got, want) {
		t.Errorf("hull %v, want %v", got, want)
	}
	e, ok := k.ellAt([]point{{10.5, 49.5}, {10.5, 5.5}, {49.5, 49.5}}, 0)
	if ok { // nothing is between the sides
		t.Errorf("a bare L is taken: %+v", e)
	}
}

// A warp leads corners to corners, and its inverse back.
func TestWarp(t *testing.T) {
	q := quad{{12, 7}, {91, 15}, {84, 77}, {3, 66}}
	w := fieldWarp(q, 20, 10)
	back := w.inverse()
	for i, c := range []point{{0, 0}, {20, 0}, {20, 10}, {0, 10}} {
		at := w.at(c.x, c.y)
		if math.Hypot(at.x-q[i].x, at.y-q[i].y) > 1e-9 {
			t.Errorf("%v leads to %v, want %v", c, at, q[i])
		}
		if p := back.at(at.x, at.y); math.Hypot(p.x-c.x, p.y-c.y) > 1e-9 {
			t.Errorf("%v leads back to %v, want %v", at, p, c)
		}
	}
	inner := quad{w.at(3, 3), w.at(17, 3), w.at(20, 10), w.at(3, 7)}
	got := cornersOf(quad{{3, 3}, {17, 3}, {20, 10}, {3, 7}}, inner, 20, 10)
	for i := range q {
		if math.Hypot(got[i].x-q[i].x, got[i].y-q[i].y) > 1e-6 {
			t.Errorf("corner %d at %v, want %v", i, got[i], q[i])
		}
	}
}
