package scanner

// Interleaved 2 of 5 (ISO/IEC 16390): two digits in ten bars and spaces, the
// bars one and the spaces the other, two of five wide each, by the weights 1,
// 2, 4, 7 and a parity.
var digits25 = [10][5]bool{
	0: {false, false, true, true, false},
	1: {true, false, false, false, true},
	2: {false, true, false, false, true},
	3: {true, true, false, false, false},
	4: {false, false, true, false, true},
	5: {true, false, true, false, false},
	6: {false, true, true, false, false},
	7: {false, false, false, true, true},
	8: {true, false, false, true, false},
	9: {false, true, false, true, false},
}

const (
	fewestITF = 4  // digits: shorter ones are seen in anything
	mostITF   = 80 // digits
)

// readITF reads an ITF symbol whose first bar is widths[0].
func (r *reader) readITF(widths []int) (s decoded, ok bool) {
	if len(widths) < 4+5*fewestITF+3 {
		return s, false
	}
	first := sum(widths[4:14])
	for i := range 3 { // four narrow
		if w := widths[i] + widths[i+1]; 14*w < first || 7*w > 2*first {
			return s, false
		}
	}
	text := r.text[:0]
	defer func() { r.text = text }()
	total, size := 0., first
	var narrow, wide float64
	for at := 4; at+4 <= len(widths) && len(text) <= mostITF; at += 10 {
		if len(text) >= fewestITF && endITF(widths[at:], size) {
			s = decoded{symbology: ITF, text: text, runs: at + 3, mean: total / float64(len(text))}
			start := float64(sum(widths[:4]))
			narrow, wide = narrow/float64(3*len(text)), wide/float64(2*len(text))
			return s, s.mean < worstITFMean && wide > 1.7*narrow && wide < 4*narrow &&
				start > .6*4*narrow && start < 1.5*4*narrow
		}
		if at+10 > len(widths) || !like(sum(widths[at:at+10]), size) {
			return s, false
		}
		size = sum(widths[at : at+10])
		for i := range 2 {
			d, off, n, w, ok := digit25(widths[at+i:])
			if !ok {
				return s, false
			}
			total += off
			narrow, wide = narrow+n, wide+w
			text = append(text, byte('0'+d))
		}
	}
	return s, false
}

const worstITFMean = .35

// digit25 reads every second of nine widths as a digit. The misfit is how
// unlike the wide ones are to one another, and the narrow ones, in squared
// differences of wide and narrow.
func digit25(widths []int) (digit int, off misfit, narrow, wide float64, ok bool) {
	var w [5]float64
	for i := range w {
		w[i] = float64(widths[2*i])
	}
	a, b := 0, 1 // the widest, and the next
	if w[1] > w[0] {
		a, b = 1, 0
	}
	for i := 2; i < 5; i++ {
		if w[i] > w[a] {
			a, b = i, a
		} else if w[i] > w[b] {
			b = i
		}
	}
	for i := range w {
		if i != a && i != b {
			narrow += w[i]
		}
	}
	wide = w[a] + w[b]
	step := wide/2 - narrow/3
	if step <= 0 {
		return 0, 0, 0, 0, false
	}
	widest := 0.
	for i := range w {
		d := w[i] - narrow/3
		if i == a || i == b {
			d = w[i] - wide/2
		} else {
			widest = max(widest, w[i])
		}
		off += d * d / (step * step)
	}
	if w[b]-widest < .25*step {
		return 0, 0, 0, 0, false
	}
	for d, marks := range digits25 {
		if marks[a] && marks[b] {
			return d, off, narrow, wide, true
		}
	}
	return 0, 0, 0, 0, false
}

// endITF reports whether widths begin with wide, narrow, narrow and a quiet
// zone: without it they are the begin of a pair of digits. size is that of a
// pair, 14 to 18 narrow.
func endITF(widths []int, size int) bool {
	a, b, c := float64(widths[0]), float64(widths[1]), float64(widths[2])
	all := (a + b + c) / float64(size)
	return 10*widths[3] > 3*size && all > .7*5/18 && all < 1.3*4/14 && a > 1.4*b && a > 1.4*c
}
