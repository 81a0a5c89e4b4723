package scanner

import (
	"image"
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// rowOf makes a row of runs of light and dark, the first light, each so many
// pixels.
func rowOf(runs ...int) (r row) {
	var edges []int
	x := 0
	for _, n := range runs {
		x += n * fine
		edges = append(edges, x)
	}
	r.set(edges[:len(edges)-1], x/fine)
	return r
}

// bars gives n bars and n-1 spaces, widths 1, 1, 2, 2.
func bars(n int) (runs []int) {
	for i := range 2*n - 1 {
		runs = append(runs, 1+i/2%2)
	}
	return runs
}

func TestPieces(t *testing.T) {
	for _, tt := range []struct {
		name string
		runs []int
		want []int // bars of each piece
	}{
		{"blank", []int{50}, nil},
		{"one symbol", slices.Concat([]int{20}, bars(17), []int{20}), []int{17}},
		{"side by side", slices.Concat([]int{20}, bars(17), []int{12}, bars(30), []int{20}), []int{17, 30}},
		{"to the edge", slices.Concat([]int{0}, bars(17), []int{0}), []int{17}},
		{"space of four inside", slices.Concat([]int{20}, bars(9), []int{4}, bars(8), []int{20}), []int{17}},
		{"too few bars", slices.Concat([]int{20}, bars(12), []int{20}), nil},
		{"edge of a label", slices.Concat([]int{9}, bars(22), []int{5, 30, 40}), []int{22}},
		{"print and symbol", slices.Concat([]int{9}, bars(3), []int{30}, bars(22), []int{9}), []int{22}},
	} {
		r := rowOf(tt.runs...)
		var got []int
		for _, p := range r.pieces(nil) {
			got = append(got, p.bars())
		}
		if diff := cmp.Diff(got, tt.want); diff != "" {
			t.Errorf("%s: -got +want\n%s", tt.name, diff)
		}
	}
}

// Where a line is crossed at half height is worked out by hand, in sixteenths
// of a pixel; a pixel's value stands at its middle.
func TestPeaks(t *testing.T) {
	for _, tt := range []struct {
		name string
		line []int32
		want []int
	}{
		{"flat", []int32{200, 200, 200, 200}, nil},
		{"a bar", []int32{200, 200, 0, 0, 200, 200}, []int{32, 64}},
		{"a blurred bar between wide spaces", []int32{200, 200, 150, 100, 150, 200, 200}, []int{40, 72}},
		{"noise", []int32{200, 203, 199, 202, 0, 200, 197, 201}, []int{63, 80}},
		{"dark from the begin", []int32{0, 0, 200, 200, 0, 0, 200, 200}, []int{0, 32, 64, 96}},
		{"dark to the end", []int32{200, 200, 0, 0}, []int{32}},
	} {
		if got := new(reader).peaks(tt.line, 9, 6); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// Views lead back to where their points came from.
func TestViews(t *testing.T) {
	p := newPlane(40, 30)
	for i := range p.pix {
		p.pix[i] = byte(i * 7)
	}
	whole := wholeView(p)
	for name, v := range map[string]view{
		"turned 1": whole.turnedBy(1), "turned 2": whole.turnedBy(2), "turned 3": whole.turnedBy(3),
		"cut": whole.cut(image.Rect(5, 7, 25, 20)), "cut and turned": whole.cut(image.Rect(5, 7, 25, 20)).turnedBy(1),
		"turned and cut": whole.turnedBy(3).cut(image.Rect(2, 3, 12, 13)),
	} {
		for y := range v.Height {
			for x := range v.Width {
				at := v.back(float64(x), float64(y))
				if got := p.pix[int(math.Round(at.y))*p.Width+int(math.Round(at.x))]; got != v.pix[y*v.Width+x] {
					t.Fatalf("%s: %d, %d leads to %v", name, x, y, at)
				}
			}
		}
	}
	if at := whole.halved().back(3, 4); at != (point{6.5, 8.5}) {
		t.Errorf("halved: %v", at)
	}
}

func square(x, y, side float64) quad {
	return quad{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}}
}

func TestTouches(t *testing.T) {
	for _, tt := range []struct {
		name string
		a, b quad
		want bool
	}{
		{"same", square(0, 0, 10), square(0, 0, 10), true},
		{"inside", square(0, 0, 10), square(6, 6, 2), true},
		{"beside", square(0, 0, 10), square(14, 0, 10), false},
		{"below", square(0, 0, 10), square(0, 14, 10), false},
		{"two slivers that cross", quad{{0, 9}, {20, 9}, {20, 11}, {0, 11}}, quad{{4, 0}, {6, 0}, {6, 30}, {4, 30}}, true},
	} {
		if got := tt.a.touches(tt.b); got != tt.want {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
		if got := tt.b.touches(tt.a); got != tt.want {
			t.Errorf("%s, other way: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// Of two texts at one place the stronger one must be three times as strong.
func TestSettle(t *testing.T) {
	at, other := square(0, 0, 50), square(200, 0, 50)
	saw := func(symbology, text string, votes int, at quad) sighting {
		return sighting{symbology: symbology, text: text, votes: votes, need: linearNeed(symbology, text), at: at}
	}
	for _, tt := range []struct {
		name             string
		seen             []sighting
		symbols, refused int
	}{
		{"enough rows", []sighting{saw(Code128, "KB-39", 8, at)}, 1, 0},
		{"too few rows", []sighting{saw(Code128, "KB-39", 4, at)}, 0, 1},
		{"a short text needs more", []sighting{saw(Code128, "KB", 8, at)}, 0, 1},
		{"two places", []sighting{saw(EAN13, "9520123456788", 16, at), saw(EAN13, "9520123456788", 16, other)}, 2, 0},
		{"clear winner", []sighting{saw(EAN13, "9520123456788", 48, at), saw(EAN13, "9520123456122", 16, at)}, 1, 0},
		{"no clear winner", []sighting{saw(EAN13, "9520123456788", 44, at), saw(EAN13, "9520123456122", 16, at)}, 0, 1},
		{"part of an ITF", []sighting{saw(ITF, "19520123456785", 16, at), saw(ITF, "0123456785", 99, at)}, 1, 0},
		{"tiny Data Matrix once", []sighting{{symbology: DataMatrix, text: "A", votes: 1, need: 2, at: at}}, 0, 1},
		{"tiny Data Matrix twice", []sighting{{symbology: DataMatrix, text: "A", votes: 2, need: 2, at: at}}, 1, 0},
	} {
		r := &reader{picture: newPlane(300, 60), seen: tt.seen}
		symbols, refused := r.settle()
		if len(symbols) != tt.symbols || len(refused) != tt.refused {
			t.Errorf("%s: %+v, refused %+v", tt.name, symbols, refused)
		}
	}
}
