package sample

// Data Matrix ECC 200, ISO/IEC 16022, in ASCII encodation.

// A dmSize is a symbol of regions side by side and above each other, each of
// width by height modules without its border; data and correction in words.
type dmSize struct{ width, height, across, down, data, extra int }

var dmSquares = []dmSize{
	{8, 8, 1, 1, 3, 5},
	{10, 10, 1, 1, 5, 7},
	{12, 12, 1, 1, 8, 10},
	{14, 14, 1, 1, 12, 12},
	{16, 16, 1, 1, 18, 14},
	{18, 18, 1, 1, 22, 18},
	{20, 20, 1, 1, 30, 20},
	{22, 22, 1, 1, 36, 24},
	{24, 24, 1, 1, 44, 28},
	{14, 14, 2, 2, 62, 36},
}

var dmOblongs = []dmSize{
	{16, 6, 1, 1, 5, 7},
	{14, 6, 2, 1, 10, 11},
	{24, 10, 1, 1, 16, 14},
	{16, 10, 2, 1, 22, 18},
	{16, 14, 2, 1, 32, 24},
	{22, 14, 2, 1, 49, 28},
}

var dmField = newField(0x12D)

// dmWords encodes a text (5.2.3): two digits in a word, FNC1 is word 232.
func dmWords(s string, gs1 bool) (w []byte) {
	if gs1 {
		w = append(w, 232)
	}
	for s != "" {
		switch {
		case gs1 && s[:1] == gs:
			w, s = append(w, 232), s[1:]
		case run(s) >= 2:
			w, s = append(w, 130+(s[0]-'0')*10+s[1]-'0'), s[2:]
		default:
			w, s = append(w, s[0]+1), s[1:]
		}
	}
	return w
}

func drawDataMatrix(s string, gs1, oblong bool) symbol {
	words := dmWords(s, gs1)
	sizes := dmSquares
	if oblong {
		sizes = dmOblongs
	}
	i := 0
	for len(words) > sizes[i].data {
		i++
	}
	size := sizes[i]
	for n := len(words); len(words) < size.data; {
		pad := 129
		if len(words) > n { // all but the first are scattered (5.2.3)
			if pad += 149*(len(words)+1)%253 + 1; pad > 254 {
				pad -= 254
			}
		}
		words = append(words, byte(pad))
	}
	words = append(words, dmField.correction(words, size.extra, 1)...)
	return size.framed(placed(words, size.width*size.across, size.height*size.down)).symbol(2)
}

// framed puts the border around each region: dark at the left and below, by
// turns at the top and the right.
func (s dmSize) framed(inside grid) grid {
	w, h := s.width+2, s.height+2
	g := newGrid(w*s.across, h*s.down)
	for y := range g {
		for x := range g[y] {
			u, v := x%w, y%h
			switch {
			case u == 0 || v == h-1:
				g[y][x] = true
			case v == 0:
				g[y][x] = u%2 == 0
			case u == w-1:
				g[y][x] = v%2 == 1
			default:
				g[y][x] = inside[y/h*s.height+v-1][x/w*s.width+u-1]
			}
		}
	}
	return g
}

// Words lie in the shape of a square of three without its upper right corner,
// along diagonals; at the corners four shapes of their own (annex F). A place
// is counted from the word's last bit; a negative one is outside and wraps.
var (
	utah    = [8][2]int{{-2, -2}, {-1, -2}, {-2, -1}, {-1, -1}, {0, -1}, {-2, 0}, {-1, 0}, {0, 0}} // x, y
	corner1 = func(w, h int) [8][2]int {
		return [8][2]int{{0, h - 1}, {1, h - 1}, {2, h - 1}, {w - 2, 0}, {w - 1, 0}, {w - 1, 1}, {w - 1, 2}, {w - 1, 3}}
	}
	corner2 = func(w, h int) [8][2]int {
		return [8][2]int{{0, h - 3}, {0, h - 2}, {0, h - 1}, {w - 4, 0}, {w - 3, 0}, {w - 2, 0}, {w - 1, 0}, {w - 1, 1}}
	}
	corner3 = func(w, h int) [8][2]int {
		return [8][2]int{{0, h - 3}, {0, h - 2}, {0, h - 1}, {w - 2, 0}, {w - 1, 0}, {w - 1, 1}, {w - 1, 2}, {w - 1, 3}}
	}
	corner4 = func(w, h int) [8][2]int {
		return [8][2]int{{0, h - 1}, {w - 1, h - 1}, {w - 3, 0}, {w - 2, 0}, {w - 1, 0}, {w - 3, 1}, {w - 2, 1}, {w - 1, 1}}
	}
)

// A placer fills a matrix word by word.
type placer struct {
	grid, taken grid
	words       []byte
	w, h        int
}

// put places the next word at eight places.
func (p *placer) put(at [8][2]int) {
	if len(p.words) == 0 {
		return
	}
	for i, c := range at {
		x, y := c[0], c[1]
		if y < 0 {
			y, x = y+p.h, x+4-(p.h+4)%8
		}
		if x < 0 {
			x, y = x+p.w, y+4-(p.w+4)%8
		}
		p.grid[y][x], p.taken[y][x] = p.words[0]>>(7-i)&1 == 1, true
	}
	p.words = p.words[1:]
}

func (p *placer) utah(x, y int) {
	at := utah
	for i := range at {
		at[i][0], at[i][1] = at[i][0]+x, at[i][1]+y
	}
	p.put(at)
}

// diagonal places words up and to the right, or down and to the left where step
// is negative, until it leaves the matrix, and says where.
func (p *placer) diagonal(x, y, step int) (int, int) {
	for {
		if x >= 0 && x < p.w && y >= 0 && y < p.h && !p.taken[y][x] {
			p.utah(x, y)
		}
		x, y = x+step, y-step
		if step > 0 && (y < 0 || x >= p.w) || step < 0 && (y >= p.h || x < 0) {
			return x, y
		}
	}
}

func placed(words []byte, w, h int) grid {
	p := placer{newGrid(w, h), newGrid(w, h), words, w, h}
	x, y := 0, 4
	for y < h || x < w {
		switch {
		case y == h && x == 0:
			p.put(corner1(w, h))
		case y == h-2 && x == 0 && w%4 != 0:
			p.put(corner2(w, h))
		case y == h-2 && x == 0 && w%8 == 4:
			p.put(corner3(w, h))
		case y == h+4 && x == 2 && w%8 == 0:
			p.put(corner4(w, h))
		}
		x, y = p.diagonal(x, y, 2)
		x, y = p.diagonal(x+3, y+1, -2)
		x, y = x+1, y+3
	}
	if !p.taken[h-1][w-1] { // a corner left over
		p.grid[h-1][w-1], p.grid[h-2][w-2] = true, true
	}
	return p.grid
}
