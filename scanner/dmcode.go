package scanner

import (
	"github.com/makiuchi-d/gozxing/common/reedsolomon"
)

// A dmSize is one size of Data Matrix symbols, in modules and codewords.
type dmSize struct {
	rows, cols             int // of the symbol
	regionRows, regionCols int // of a region, without its frame
	data, checks           int // codewords, those of all blocks
	blocks                 int
}

// dmSizes are ISO/IEC 16022:2006, table 7, and ISO/IEC 21471:2020, table 7.
var dmSizes = []dmSize{
	{10, 10, 8, 8, 3, 5, 1},
	{12, 12, 10, 10, 5, 7, 1},
	{14, 14, 12, 12, 8, 10, 1},
	{16, 16, 14, 14, 12, 12, 1},
	{18, 18, 16, 16, 18, 14, 1},
	{20, 20, 18, 18, 22, 18, 1},
	{22, 22, 20, 20, 30, 20, 1},
	{24, 24, 22, 22, 36, 24, 1},
	{26, 26, 24, 24, 44, 28, 1},
	{32, 32, 14, 14, 62, 36, 1},
	{36, 36, 16, 16, 86, 42, 1},
	{40, 40, 18, 18, 114, 48, 1},
	{44, 44, 20, 20, 144, 56, 1},
	{48, 48, 22, 22, 174, 68, 1},
	{52, 52, 24, 24, 204, 84, 2},
	{64, 64, 14, 14, 280, 112, 2},
	{72, 72, 16, 16, 368, 144, 4},
	{80, 80, 18, 18, 456, 192, 4},
	{88, 88, 20, 20, 576, 224, 4},
	{96, 96, 22, 22, 696, 272, 4},
	{104, 104, 24, 24, 816, 336, 6},
	{120, 120, 18, 18, 1050, 408, 6},
	{132, 132, 20, 20, 1304, 496, 8},
	{144, 144, 22, 22, 1558, 620, 10},
	{8, 18, 6, 16, 5, 7, 1},
	{8, 32, 6, 14, 10, 11, 1},
	{12, 26, 10, 24, 16, 14, 1},
	{12, 36, 10, 16, 22, 18, 1},
	{16, 36, 14, 16, 32, 24, 1},
	{16, 48, 14, 22, 49, 28, 1},
	{8, 48, 6, 22, 18, 15, 1},
	{8, 64, 6, 14, 24, 18, 1},
	{8, 80, 6, 18, 32, 22, 1},
	{8, 96, 6, 22, 38, 28, 1},
	{8, 120, 6, 18, 49, 32, 1},
	{8, 144, 6, 22, 63, 36, 1},
	{12, 64, 10, 14, 43, 27, 1},
	{12, 88, 10, 20, 64, 36, 1},
	{16, 64, 14, 14, 62, 36, 1},
	{20, 36, 18, 16, 44, 28, 1},
	{20, 44, 18, 20, 56, 34, 1},
	{20, 64, 18, 14, 84, 42, 1},
	{22, 48, 20, 22, 72, 38, 1},
	{24, 48, 22, 22, 80, 41, 1},
	{24, 64, 22, 14, 108, 46, 1},
	{26, 40, 24, 18, 70, 38, 1},
	{26, 48, 24, 22, 90, 42, 1},
	{26, 64, 24, 14, 118, 50, 1},
}

// A dmPlan is what has to be known to read symbols of one size.
type dmPlan struct {
	dmSize
	frame []mark  // solid and dashed sides of all regions, and the quiet zone
	bits  []int32 // where the bits of the codewords lie in the field, the highest first
}

// plan gives the plan of a size, made when it is first asked for.
func (r *matrixReader) plan(s *dmSize) *dmPlan {
	if p := r.plans[s]; p != nil {
		return p
	}
	p := &dmPlan{dmSize: *s, frame: dmFrame(s)}
	p.place()
	if r.plans == nil {
		r.plans = map[*dmSize]*dmPlan{}
	}
	r.plans[s] = p
	return p
}

// mostMarks bounds how many marks are looked at when a grid is fitted.
const mostMarks = 240

// dmFrame gives the frame of every region: left and bottom solid, top and
// right dashed, dark beginning at the solid sides.
func dmFrame(s *dmSize) (all []mark) {
	for y := range s.rows {
		for x := range s.cols {
			i, j := x%(s.regionCols+2), y%(s.regionRows+2)
			if light, frame := frameLight(i, j, s.regionCols+2, s.regionRows+2); frame {
				all = append(all, mark{float32(x) + .5, float32(y) + .5, light})
			}
		}
	}
	for x := range s.cols {
		all = append(all, mark{float32(x) + .5, -.5, true}, mark{float32(x) + .5, float32(s.rows) + .5, true})
	}
	for y := range s.rows {
		all = append(all, mark{-.5, float32(y) + .5, true}, mark{float32(s.cols) + .5, float32(y) + .5, true})
	}
	return all
}

func frameLight(x, y, cols, rows int) (light, frame bool) {
	switch {
	case x == 0 || y == rows-1:
		return false, true
	case y == 0:
		return x%2 == 1, true
	case x == cols-1:
		return y%2 == 0, true
	}
	return false, false
}

// thinned gives every nth mark, so that there are no more than most.
func thinned(all []mark, most int) []mark {
	step := (len(all) + most - 1) / most
	if step <= 1 {
		return all
	}
	if step%2 == 0 {
		step++ // not all of one colour on a dashed side
	}
	var some []mark
	for i := 0; i < len(all); i += step {
		some = append(some, all[i])
	}
	return some
}

// place finds the bits of the codewords in the field (ISO/IEC 16022, annex F):
// codewords lie in a shape of eight modules along diagonals that go up and
// down in turn; what leaves the field at one side enters it at the other, and
// four corners have shapes of their own.
func (p *dmPlan) place() {
	rows, cols := p.rows/(p.regionRows+2)*p.regionRows, p.cols/(p.regionCols+2)*p.regionCols
	taken := make([]bool, rows*cols)
	add := func(at ...[2]int) {
		for _, m := range at {
			y, x := m[0], m[1]
			if y < 0 {
				y, x = y+rows, x+4-(rows+4)%8
			}
			if x < 0 {
				x, y = x+cols, y+4-(cols+4)%8
			}
			if y >= rows {
				y -= rows // sizes of ISO/IEC 21471
			}
			taken[y*cols+x] = true
			fy, fx := y/p.regionRows*2+1+y, x/p.regionCols*2+1+x
			p.bits = append(p.bits, int32(fy*p.cols+fx))
		}
	}
	shape := func(y, x int) {
		if y >= 0 && x >= 0 && y < rows && x < cols && !taken[y*cols+x] {
			add([2]int{y - 2, x - 2}, [2]int{y - 2, x - 1}, [2]int{y - 1, x - 2}, [2]int{y - 1, x - 1},
				[2]int{y - 1, x}, [2]int{y, x - 2}, [2]int{y, x - 1}, [2]int{y, x})
		}
	}
	b, r := rows-1, cols-1 // bottom row, right column
	for y, x := 4, 0; y < rows || x < cols; {
		switch {
		case y == rows && x == 0:
			add([2]int{b, 0}, [2]int{b, 1}, [2]int{b, 2}, [2]int{0, r - 1}, [2]int{0, r}, [2]int{1, r}, [2]int{2, r}, [2]int{3, r})
		case y == rows-2 && x == 0 && cols%4 != 0:
			add([2]int{b - 2, 0}, [2]int{b - 1, 0}, [2]int{b, 0}, [2]int{0, r - 3}, [2]int{0, r - 2}, [2]int{0, r - 1}, [2]int{0, r}, [2]int{1, r})
		case y == rows-2 && x == 0 && cols%8 == 4:
			add([2]int{b - 2, 0}, [2]int{b - 1, 0}, [2]int{b, 0}, [2]int{0, r - 1}, [2]int{0, r}, [2]int{1, r}, [2]int{2, r}, [2]int{3, r})
		case y == rows+4 && x == 2 && cols%8 == 0:
			add([2]int{b, 0}, [2]int{b, r}, [2]int{0, r - 2}, [2]int{0, r - 1}, [2]int{0, r}, [2]int{1, r - 2}, [2]int{1, r - 1}, [2]int{1, r})
		}
		for up := true; up; up = y >= 0 && x < cols {
			shape(y, x)
			y, x = y-2, x+2
		}
		y, x = y+1, x+3
		for down := true; down; down = y < rows && x >= 0 {
			shape(y, x)
			y, x = y+2, x-2
		}
		y, x = y+3, x+1
	}
}

// decode gives what the field of a symbol holds, and the share of the error
// correction that it took; ok is false where there are more errors than can be
// corrected.
func (p *dmPlan) decode(dark []bool) (c content, load float64, ok bool) {
	words := make([]byte, p.data+p.checks)
	for i, at := range p.bits[:8*len(words)] {
		words[i/8] <<= 1
		if dark[at] {
			words[i/8] |= 1
		}
	}
	rs := reedsolomon.NewReedSolomonDecoder(reedsolomon.GenericGF_DATA_MATRIX_FIELD_256)
	data := make([]byte, p.data)
	checks := p.checks / p.blocks
	for b := range p.blocks {
		// Codeword i belongs to block i modulo blocks, data and checks alike;
		// where the data do not fill all blocks (144 x 144), checks go on with
		// the block that follows the last data.
		var block []int
		for i := b; i < p.data; i += p.blocks {
			block = append(block, int(words[i]))
		}
		n := len(block)
		for i := range checks {
			block = append(block, int(words[p.data+i*p.blocks+(b-p.data%p.blocks+p.blocks)%p.blocks]))
		}
		fixed, ok := correct(rs, block, checks)
		if !ok {
			return c, 1, false
		}
		load = max(load, float64(fixed)/float64(checks/2))
		for i := range n {
			data[b+i*p.blocks] = byte(block[i])
		}
	}
	c, ok = dmContent(data)
	return c, load, ok
}

// correct corrects a block in place and counts the errors.
func correct(rs *reedsolomon.ReedSolomonDecoder, block []int, checks int) (fixed int, ok bool) {
	was := append([]int(nil), block...)
	if rs.Decode(block, checks) != nil {
		return 0, false
	}
	for i, v := range block {
		if v != was[i] {
			fixed++
		}
	}
	return fixed, true
}
