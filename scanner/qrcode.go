package scanner

import (
	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/common"
	"github.com/makiuchi-d/gozxing/common/reedsolomon"
	"github.com/makiuchi-d/gozxing/qrcode/decoder"
)

// A qrPlan is the fixed modules of QR symbols of one size: finder patterns
// with their light frames, timing and alignment patterns.
type qrPlan struct {
	size  int
	marks []mark
	align []mark // those of the alignment pattern that lies farthest out
}

// qrPlan gives the plan of a size, made when it is first asked for.
func (r *matrixReader) qrPlan(size int) *qrPlan {
	if p := r.qrPlans[size]; p != nil {
		return p
	}
	p := &qrPlan{size: size}
	n := float32(size)
	for _, at := range [3][2]float32{{3.5, 3.5}, {n - 3.5, 3.5}, {3.5, n - 3.5}} {
		p.marks = append(p.marks, rings(at[0], at[1], 4, [5]bool{false, false, true, false, true})...)
	}
	for i := 8; i < size-8; i++ {
		at := float32(i) + .5
		p.marks = append(p.marks, mark{at, 6.5, i%2 == 1}, mark{6.5, at, i%2 == 1})
	}
	if v, err := decoder.Version_GetProvisionalVersionForDimension(size); err == nil {
		centers := v.GetAlignmentPatternCenters()
		for i, y := range centers {
			for j, x := range centers {
				if last := len(centers) - 1; i == 0 && (j == 0 || j == last) || j == 0 && i == last {
					continue // a finder pattern is there
				}
				p.align = rings(float32(x)+.5, float32(y)+.5, 2, [5]bool{false, true, false})
				p.marks = append(p.marks, p.align...)
			}
		}
	}
	p.marks = thinned(p.marks, 2*mostMarks)
	if r.qrPlans == nil {
		r.qrPlans = map[int]*qrPlan{}
	}
	r.qrPlans[size] = p
	return p
}

// rings gives the modules of squares around each other, from the middle one
// out to the outermost.
func rings(u, v float32, outermost int, light [5]bool) (all []mark) {
	for y := -outermost; y <= outermost; y++ {
		for x := -outermost; x <= outermost; x++ {
			all = append(all, mark{u + float32(x), v + float32(y), light[max(x, -x, y, -y)]})
		}
	}
	return all
}

// qrDecode gives what the field of a QR symbol holds, and the share of the
// error correction that it took. A symbol seen in a mirror is turned over.
func qrDecode(f *field) (result *common.DecoderResult, load float64, mirrored bool) {
	for _, mirrored = range [2]bool{false, true} {
		bits, err := gozxing.NewSquareBitMatrix(f.cols)
		if err != nil {
			return nil, 1, false
		}
		for i, dark := range f.dark {
			if !dark {
				continue
			}
			if x, y := i%f.cols, i/f.cols; mirrored {
				bits.Set(y, x)
			} else {
				bits.Set(x, y)
			}
		}
		result = unpanicked(func() (r *common.DecoderResult, err error) {
			r, load, err = qrContent(bits)
			return r, err
		})
		if result != nil {
			return result, load, mirrored
		}
	}
	return nil, 1, false
}

// spared are check codewords that are kept to notice a wrong reading and not
// used to correct, by version and level (ISO/IEC 18004, table 9, the values
// of p).
var spared = map[[2]int]int{
	{1, 0}: 3, {1, 1}: 2, {1, 2}: 1, {1, 3}: 1, {2, 0}: 2, {3, 0}: 1,
}

func qrContent(bits *gozxing.BitMatrix) (*common.DecoderResult, float64, error) {
	parser, err := decoder.NewBitMatrixParser(bits)
	if err != nil {
		return nil, 1, err
	}
	version, err := parser.ReadVersion()
	if err != nil {
		return nil, 1, err
	}
	format, err := parser.ReadFormatInformation()
	if err != nil {
		return nil, 1, err
	}
	words, err := parser.ReadCodewords()
	if err != nil {
		return nil, 1, err
	}
	level := format.GetErrorCorrectionLevel()
	blocks, err := decoder.DataBlock_GetDataBlocks(words, version, level)
	if err != nil {
		return nil, 1, err
	}
	spare := spared[[2]int{version.GetVersionNumber(), levelNumber(level)}]
	rs := reedsolomon.NewReedSolomonDecoder(reedsolomon.GenericGF_QR_CODE_FIELD_256)
	var data []byte
	load := 0.0
	for _, b := range blocks {
		block := make([]int, len(b.GetCodewords()))
		for i, c := range b.GetCodewords() {
			block[i] = int(c)
		}
		checks := len(block) - b.GetNumDataCodewords()
		fixed, ok := correct(rs, block, checks)
		most := (checks - spare) / 2
		if !ok || fixed > most {
			return nil, 1, gozxing.NewChecksumException("%d errors, %d can be corrected", fixed, most)
		}
		load = max(load, float64(fixed)/float64(most))
		for _, c := range block[:b.GetNumDataCodewords()] {
			data = append(data, byte(c))
		}
	}
	result, err := decoder.DecodedBitStreamParser_Decode(data, version, level, nil)
	return result, load, err
}

func levelNumber(level decoder.ErrorCorrectionLevel) int {
	switch level {
	case decoder.ErrorCorrectionLevel_L:
		return 0
	case decoder.ErrorCorrectionLevel_M:
		return 1
	case decoder.ErrorCorrectionLevel_Q:
		return 2
	}
	return 3
}
