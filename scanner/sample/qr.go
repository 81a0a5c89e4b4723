package sample

import "strings"

// QR Code, ISO/IEC 18004: versions 1 to 6 at error correction M.

// A qrSize is a version: blocks, words of data and of correction in each.
type qrSize struct{ blocks, data, extra int }

var qrSizes = []qrSize{{1, 16, 10}, {1, 28, 16}, {1, 44, 26}, {2, 32, 18}, {2, 43, 24}, {4, 27, 16}}

var qrField = newField(0x11D)

// bits is a string of bits that grows.
type bits []bool

func (b *bits) add(value, n int) {
	for i := n - 1; i >= 0; i-- {
		*b = append(*b, value>>i&1 == 1)
	}
}

func (b bits) words() []byte {
	w := make([]byte, (len(b)+7)/8)
	for i, on := range b {
		if on {
			w[i/8] |= 0x80 >> (i % 8)
		}
	}
	return w
}

// qrBits encodes a text as digits, as letters or as bytes (7.4).
func qrBits(s string, gs1 bool) bits {
	const alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"
	var b bits
	if gs1 {
		b.add(5, 4) // FNC1 in first position
	}
	switch {
	case strings.Trim(s, "0123456789") == "":
		b.add(1, 4)
		b.add(len(s), 10)
		for ; len(s) > 0; s = s[min(3, len(s)):] {
			n := 0
			for _, c := range s[:min(3, len(s))] {
				n = n*10 + int(c-'0')
			}
			b.add(n, []int{0, 4, 7, 10}[min(3, len(s))])
		}
	case strings.Trim(s, alphabet) == "":
		b.add(2, 4)
		b.add(len(s), 9)
		for ; len(s) > 1; s = s[2:] {
			b.add(strings.IndexByte(alphabet, s[0])*45+strings.IndexByte(alphabet, s[1]), 11)
		}
		if s != "" {
			b.add(strings.IndexByte(alphabet, s[0]), 6)
		}
	default:
		b.add(4, 4)
		b.add(len(s), 8)
		for i := range len(s) {
			b.add(int(s[i]), 8)
		}
	}
	return b
}

func drawQR(s string, gs1 bool) symbol {
	b := qrBits(s, gs1)
	version := 0
	for len(b) > 8*qrSizes[version].blocks*qrSizes[version].data {
		version++
	}
	size := qrSizes[version]
	full := size.blocks * size.data
	b.add(0, min(4, 8*full-len(b)))
	words := b.words()
	for pad := byte(0xEC); len(words) < full; pad ^= 0xEC ^ 0x11 {
		words = append(words, pad)
	}
	var stream bits
	for _, w := range woven(words, size) {
		stream.add(int(w), 8)
	}
	var best grid
	for mask := range 8 {
		if g := qrGrid(version+1, mask, stream); best == nil || g.unrest() < best.unrest() {
			best = g
		}
	}
	return best.symbol(4)
}

// woven gives data and correction, a word of each block in turn (7.6).
func woven(words []byte, size qrSize) (all []byte) {
	extra := make([][]byte, size.blocks)
	for i := range extra {
		extra[i] = qrField.correction(words[i*size.data:(i+1)*size.data], size.extra, 0)
	}
	for j := range size.data {
		for i := range size.blocks {
			all = append(all, words[i*size.data+j])
		}
	}
	for j := range size.extra {
		for i := range size.blocks {
			all = append(all, extra[i][j])
		}
	}
	return all
}

// ring is dark in the middle, then a light and a dark ring around: 3, 5 and 7
// modules for a finder, of which an alignment pattern has 1, 3 and 5.
func (g grid) ring(cx, cy, out int, fixed grid) {
	for y := cy - out; y <= cy+out; y++ {
		for x := cx - out; x <= cx+out; x++ {
			if y < 0 || x < 0 || y >= len(g) || x >= len(g) {
				continue
			}
			d := max(abs(x-cx), abs(y-cy))
			fixed[y][x] = true
			g[y][x] = out == 4 && d != 2 && d != 4 || out == 2 && d != 1
		}
	}
}

func abs(n int) int { return max(n, -n) }

// qrGrid places what is fixed, the format, and the masked data (7.3, 7.7 to 7.9).
func qrGrid(version, mask int, stream bits) grid {
	n := 17 + 4*version
	g, fixed := newGrid(n, n), newGrid(n, n)
	for i := range n {
		g[6][i], g[i][6] = i%2 == 0, i%2 == 0
		fixed[6][i], fixed[i][6] = true, true
	}
	if version > 1 {
		g.ring(n-7, n-7, 2, fixed)
	}
	for _, c := range [][2]int{{3, 3}, {n - 4, 3}, {3, n - 4}} {
		g.ring(c[0], c[1], 4, fixed)
	}
	g.format(mask, fixed)
	next, up := 0, true
	for right := n - 1; right > 0; right, up = right-2, !up {
		if right == 6 {
			right--
		}
		for y := range n {
			if up {
				y = n - 1 - y
			}
			for _, x := range []int{right, right - 1} {
				if fixed[y][x] {
					continue
				}
				on := next < len(stream) && stream[next]
				next++
				g[y][x] = on != masked(mask, x, y)
			}
		}
	}
	return g
}

// format writes level M and the mask at its two places (7.9).
func (g grid) format(mask int, fixed grid) {
	n := len(g)
	const level = 0 // M
	value := level<<3 | mask
	rest := value << 10
	for i := 14; i >= 10; i-- {
		if rest>>i&1 == 1 {
			rest ^= 0x537 << (i - 10)
		}
	}
	code := (value<<10 | rest) ^ 0x5412
	put := func(x, y, bit int) {
		g[y][x], fixed[y][x] = code>>bit&1 == 1, true
	}
	for i := range 15 { // i counts bits from the lowest
		switch {
		case i < 6:
			put(8, i, i)
		case i < 8:
			put(8, i+1, i)
		case i == 8:
			put(7, 8, i)
		default:
			put(14-i, 8, i)
		}
		if i < 8 {
			put(n-1-i, 8, i)
		} else {
			put(8, n-15+i, i)
		}
	}
	g[n-8][8], fixed[n-8][8] = true, true
}

// masked says which modules a mask turns over (table 10).
func masked(mask, x, y int) bool {
	switch mask {
	case 0:
		return (x+y)%2 == 0
	case 1:
		return y%2 == 0
	case 2:
		return x%3 == 0
	case 3:
		return (x+y)%3 == 0
	case 4:
		return (y/2+x/3)%2 == 0
	case 5:
		return x*y%2+x*y%3 == 0
	case 6:
		return (x*y%2+x*y%3)%2 == 0
	}
	return ((x+y)%2+x*y%3)%2 == 0
}

// unrest counts runs and blocks of one shade, the first two of the points by
// which a mask is chosen (7.8.3).
func (g grid) unrest() (points int) {
	for y := range g {
		for _, at := range []func(i int) bool{
			func(i int) bool { return g[y][i] },
			func(i int) bool { return g[i][y] },
		} {
			same := 1
			for i := 1; i <= len(g); i++ {
				if i < len(g) && at(i) == at(i-1) {
					same++
					continue
				}
				if same >= 5 {
					points += same - 2
				}
				same = 1
			}
		}
		for x := 1; y > 0 && x < len(g); x++ {
			if a := g[y][x]; g[y-1][x] == a && g[y][x-1] == a && g[y-1][x-1] == a {
				points += 3
			}
		}
	}
	return points
}
