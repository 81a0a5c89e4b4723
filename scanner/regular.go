package scanner

import (
	"math"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/oned"
)

// A check of shape, on top of what the readers do: in a whole symbol all
// characters have the same width, and guards their share of it. Distances are
// taken from one change to light, or to dark, to the next of the same kind,
// so ink that spreads and blur do not matter. Other marks that happen to
// decode fail here, most of all blurred bars that have run together.

// frames are the widths of the parts of an EAN or UPC symbol in modules, and
// of how many bars and spaces each part is made (ISO/IEC 15420).
type frame struct{ modules, runs int }

var (
	guard    = frame{3, 3}
	middle   = frame{5, 5}
	upceEnd  = frame{6, 6}
	eanDigit = frame{7, 4}
)

func eanFrames(symbology string) (all []frame) {
	digits := func(n int) {
		for range n {
			all = append(all, eanDigit)
		}
	}
	all = append(all, guard)
	switch symbology {
	case UPCE:
		digits(6)
		return append(all, upceEnd)
	case EAN8:
		digits(4)
		all = append(all, middle)
		digits(4)
	default:
		digits(6)
		all = append(all, middle)
		digits(6)
	}
	return append(all, guard)
}

// regular reports whether a piece that is a whole symbol has its shape, and
// that of its text.
func (p piece) regular(symbology, text string, back bool) bool {
	at := func(i int) float64 { return float64(p.edges[i]) }
	if back {
		last := len(p.edges) - 1
		at = func(i int) float64 { return float64(p.edges[last] - p.edges[last-i]) }
	}
	switch symbology {
	case EAN13, UPCA, EAN8, UPCE:
		return regularEAN(at, eanFrames(symbology)) && looksLike(at, len(p.edges)-1, symbology, text)
	case ITF:
		return regularITF(at, len(p.edges)-1)
	}
	return true
}

func regularEAN(at func(int) float64, frames []frame) bool {
	modules, runs := 0, 0
	for _, f := range frames {
		modules += f.modules
		runs += f.runs
	}
	module := (at(runs) - at(0)) / float64(modules)
	i := 0
	for _, f := range frames {
		off := math.Abs(at(i+f.runs) - at(i) - float64(f.modules)*module)
		if off > max(eanSlack*module, 1.5) {
			return false
		}
		i += f.runs
	}
	return true
}

// looksLike compares each bar with its space, and each space with its bar, to
// what the text would give.
func looksLike(at func(int) float64, runs int, symbology, text string) bool {
	want := idealEAN(symbology, text)
	if len(want) != runs {
		return false
	}
	modules := 0
	for _, w := range want {
		modules += w
	}
	module := (at(runs) - at(0)) / float64(modules)
	for i := 0; i+2 <= runs; i++ {
		off := at(i+2) - at(i) - float64(want[i]+want[i+1])*module
		if math.Abs(off) > max(pairSlack*module, 1.5) {
			return false
		}
	}
	return true
}

const pairSlack = .75 // modules

// idealEAN gives the widths of bars and spaces of a symbol in modules, nil
// where the text cannot be one.
func idealEAN(symbology, text string) (widths []int) {
	var w gozxing.Writer
	var format gozxing.BarcodeFormat
	switch symbology {
	case EAN8:
		w, format = oned.NewEAN8Writer(), gozxing.BarcodeFormat_EAN_8
	case UPCE:
		w, format = oned.NewUPCEWriter(), gozxing.BarcodeFormat_UPC_E
	case UPCA:
		w, format = oned.NewUPCAWriter(), gozxing.BarcodeFormat_UPC_A
	default:
		w, format = oned.NewEAN13Writer(), gozxing.BarcodeFormat_EAN_13
	}
	m := unpanicked(func() (*gozxing.BitMatrix, error) { return w.Encode(text, format, 0, 0, noMargin) })
	if m == nil {
		return nil
	}
	edges := changes(m.GetRow(0, nil), nil)
	for i := 1; i < len(edges); i++ {
		widths = append(widths, edges[i]-edges[i-1])
	}
	return widths
}

const eanSlack = .8 // modules

// regularITF: start of four narrow, pairs of digits of ten, end of wide,
// narrow, narrow; wide is 2 to 3 narrow (ISO/IEC 16390).
func regularITF(at func(int) float64, runs int) bool {
	pairs := (runs - 4 - 3) / 10
	mean := (at(4+10*pairs) - at(4)) / float64(pairs)
	for i := range pairs {
		if w := at(4+10*i+10) - at(4+10*i); math.Abs(w-mean) > max(.12*mean, 1.5) {
			return false
		}
	}
	start, end := at(4)-at(0), at(runs)-at(runs-3)
	return start > .7*4*mean/18 && start < 1.3*4*mean/14 && end > .7*5*mean/18 && end < 1.3*4*mean/14
}
