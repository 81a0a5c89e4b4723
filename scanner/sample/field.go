package sample

// A field is the 256 elements that error correction counts in, by logarithms.
type field struct {
	exp [510]byte
	log [256]int
}

// newField makes the field of a polynomial: 0x11D for QR (ISO/IEC 18004,
// 7.5.2), 0x12D for Data Matrix (ISO/IEC 16022, 5.7).
func newField(poly int) *field {
	var f field
	x := 1
	for i := range 255 {
		f.exp[i], f.exp[i+255], f.log[x] = byte(x), byte(x), i
		if x <<= 1; x > 255 {
			x ^= poly
		}
	}
	return &f
}

func (f *field) times(a, b byte) byte {
	if a == 0 || b == 0 {
		return 0
	}
	return f.exp[f.log[a]+f.log[b]]
}

// correction gives n words of error correction for data; the roots of its
// generator begin with the power first.
func (f *field) correction(data []byte, n, first int) []byte {
	gen := []byte{1} // highest power first
	for i := range n {
		next := append(gen, 0)
		for j := len(gen) - 1; j >= 0; j-- {
			next[j+1] ^= f.times(gen[j], f.exp[first+i])
		}
		gen = next
	}
	rest := make([]byte, n)
	for _, d := range data {
		lead := d ^ rest[0]
		copy(rest, rest[1:])
		rest[n-1] = 0
		for j := range n {
			rest[j] ^= f.times(gen[j+1], lead)
		}
	}
	return rest
}

// A grid is a matrix symbol without its quiet zone.
type grid [][]bool

func newGrid(w, h int) grid {
	g := make(grid, h)
	for y := range g {
		g[y] = make([]bool, w)
	}
	return g
}

// symbol draws the grid with a quiet zone around it.
func (g grid) symbol(quiet float64) symbol {
	w, h := float64(len(g[0])), float64(len(g))
	shade := func(x, y float64) float64 {
		x, y = x-quiet, y-quiet
		if x >= 0 && x < w && y >= 0 && y < h && g[int(y)][int(x)] {
			return 0
		}
		return 1
	}
	return symbol{w + 2*quiet, h + 2*quiet, shade}
}
