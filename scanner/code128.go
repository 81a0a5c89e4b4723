package scanner

import (
	"forkstock/internal/gs1"
)

// Code 128 (ISO/IEC 15417): characters of eleven modules in three bars and
// three spaces, by their values; a check character over all; a stop with one
// bar more.
var code128 = newCharset(11,
	"212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213",
	"221312", "231212", "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132",
	"221231", "213212", "223112", "312131", "311222", "321122", "321221", "312212", "322112", "322211",
	"212123", "212321", "232121", "111323", "131123", "131321", "112313", "132113", "132311", "211313",
	"231113", "231311", "112133", "112331", "132131", "113123", "113321", "133121", "313121", "211331",
	"231131", "213113", "213311", "213131", "311123", "311321", "331121", "312113", "312311", "332111",
	"314111", "221411", "431111", "111224", "111422", "121124", "121421", "141122", "141221", "112214",
	"112412", "122114", "122411", "142112", "142211", "241211", "221114", "413111", "241112", "134111",
	"111242", "121142", "121241", "114212", "124112", "124211", "411212", "421112", "421211", "212141",
	"214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311", "113141",
	"114131", "311141", "411131", "211412", "211214", "211232", "233111",
)

const (
	shift128, toC, toB, toA, fnc1   = 98, 99, 100, 101, 102
	startA, startB, startC, stop128 = 103, 104, 105, 106
	fnc3, fnc2                      = 96, 97
	most128                         = 80 // characters
)

// readCode128 reads a Code 128 symbol whose first bar is widths[0].
func (r *reader) readCode128(widths []int) (s decoded, ok bool) {
	if len(widths) < 3*6+7 {
		return s, false
	}
	first := sum(widths[:6])
	if 4*widths[0] < first/2 || 22*widths[0] > 6*first { // two modules
		return s, false
	}
	values := r.values[:0]
	defer func() { r.values = values }()
	total, spread := 0., 0.
	before := first
	for at := 0; at+7 <= len(widths) && len(values) < most128; at += 6 {
		size := sum(widths[at : at+6])
		if !like(size, before) {
			return s, false
		}
		before = size
		v, off := code128.nearest(widths[at:], spread)
		if at == 0 {
			spread = code128.spread(widths, v)
		}
		if off > worstChar || at == 0 && (v < startA || v > startC) {
			return s, false
		}
		total += off
		if v != stop128 {
			if at > 0 && v >= startA {
				return s, false
			}
			values = append(values, v)
			continue
		}
		if len(values) < 3 {
			return s, false
		}
		s.runs = at + 7
		s.mean = total / float64(len(values)+1)
		bar := 11 * widths[at+6] // the last, of two modules
		if s.mean > worstMean || bar < size || bar > 4*size {
			return s, false
		}
		return r.text128(s, values)
	}
	return s, false
}

// text128 compares the check character and gives the text.
func (r *reader) text128(s decoded, values []int) (decoded, bool) {
	check := values[0]
	for i, v := range values[1 : len(values)-1] {
		check += (i + 1) * v
	}
	s.symbology, s.wrong = Code128, check%103 != values[len(values)-1]
	set := "ABC"[values[0]-startA]
	text := r.text[:0]
	shifted, high, highs := false, false, 0 // FNC4: the next character is of the upper half; twice: all
	for i, v := range values[1 : len(values)-1] {
		now := set
		if shifted {
			now, shifted = 'A'+'B'-set, false
		}
		switch {
		case v == fnc1 && i == 0:
			s.symbology = GS1128
		case v == fnc1:
			text = append(text, gs1.GS)
		case now == 'C' && v < 100:
			text = append(text, byte('0'+v/10), byte('0'+v%10))
		case now == 'C' && v == toB, now == 'A' && v == toB:
			set = 'B'
		case now != 'A' && v == toA:
			set = 'A'
		case now != 'C' && v == toC:
			set = 'C'
		case v == toA || v == toB: // FNC4
			if highs++; highs == 2 {
				high, highs = !high, 0
			}
		case v == shift128:
			shifted = true
		case v == fnc2 || v == fnc3: // for the hand scanner itself
		default:
			c := byte(v + ' ')
			if now == 'A' && v >= 64 {
				c = byte(v - 64)
			}
			if high != (highs == 1) {
				c += 128
			}
			highs = 0
			text = append(text, c)
		}
	}
	r.text, s.text = text, text
	return s, len(text) > 0
}
