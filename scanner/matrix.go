package scanner

import (
	"context"
	"strconv"
	"strings"
	"unicode"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/common"
	"github.com/makiuchi-d/gozxing/datamatrix/detector"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode/detector"
	qrdecoder "github.com/makiuchi-d/gozxing/qrcode/decoder"
	qr "github.com/makiuchi-d/gozxing/qrcode/detector"
)

var harder = map[gozxing.DecodeHintType]any{gozxing.DecodeHintType_TRY_HARDER: true}

// bitmaps gives v in black and white: against the brightness nearby, and
// against that of the whole.
func bitmaps(v view) (all []*gozxing.BitMatrix) {
	for _, b := range []gozxing.Binarizer{
		gozxing.NewHybridBinarizer(v.plane), gozxing.NewGlobalHistgramBinarizer(v.plane),
	} {
		if m := unpanicked(b.GetBlackMatrix); m != nil {
			all = append(all, m)
		}
	}
	return all
}

// qrCodes adds all QR symbols in v.
func (r *reader) qrCodes(ctx context.Context, v view) {
	for _, bits := range bitmaps(v) {
		if ctx.Err() != nil {
			return
		}
		many := unpanicked(func() (*[]*common.DetectorResult, error) {
			all, err := multi.NewMultiDetector(bits).DetectMulti(harder)
			return &all, err
		})
		read := false
		if many != nil {
			for _, d := range *many {
				read = r.qrCode(v, d) || read
			}
		}
		if read {
			continue
		}
		one := unpanicked(func() (*common.DetectorResult, error) { return qr.NewDetector(bits).Detect(harder) })
		if one != nil {
			r.qrCode(v, one)
		}
	}
}

// qrCode adds the QR symbol at one place if it can be decoded.
func (r *reader) qrCode(v view, found *common.DetectorResult) bool {
	decoded := unpanicked(func() (*common.DecoderResult, error) { return r.qr.Decode(found.GetBits(), nil) })
	if decoded == nil {
		return false
	}
	points := found.GetPoints()
	if m, ok := decoded.GetOther().(*qrdecoder.QRCodeDecoderMetaData); ok {
		m.ApplyMirroredCorrection(points)
	}
	r.addMatrix(v, QR, decoded, qrQuad(v, points, found.GetBits().GetWidth()))
	return true
}

// qrQuad makes the outer corners from the centers of the finder patterns,
// which lie 3.5 modules inside: bottom left, top left, top right.
func qrQuad(v view, points []gozxing.ResultPoint, modules int) quad {
	bl, tl, tr := points[0], points[1], points[2]
	f := 3.5 / float64(modules-7)
	ux, uy := tr.GetX()-tl.GetX(), tr.GetY()-tl.GetY()
	vx, vy := bl.GetX()-tl.GetX(), bl.GetY()-tl.GetY()
	corner := func(a, b float64) point {
		return v.back(tl.GetX()+a*ux+b*vx, tl.GetY()+a*uy+b*vy)
	}
	return quad{corner(-f, -f), corner(1+f, -f), corner(1+f, 1+f), corner(-f, 1+f)}
}

// smallView is how many pixels a view has at most in which all turns are
// tried: where modules are few pixels, the detector's rounding decides.
const smallView = 120_000

// dataMatrix adds the Data Matrix symbol around the middle of v. The detector
// begins at one corner, so it is given all four turns.
func (r *reader) dataMatrix(ctx context.Context, v view) bool {
	turns := 4
	if len(v.pix) > smallView {
		turns = 1
	}
	for _, bits := range bitmaps(v) {
		turned := v
		for range turns {
			if ctx.Err() != nil {
				return false
			}
			found := unpanicked(func() (*common.DetectorResult, error) {
				d, err := detector.NewDetector(bits)
				if err != nil {
					return nil, err
				}
				return d.Detect()
			})
			if found != nil {
				decoded := unpanicked(func() (*common.DecoderResult, error) { return r.dm.Decode(found.GetBits()) })
				if decoded != nil {
					if r.addMatrix(turned, DataMatrix, decoded, dmQuad(turned, found.GetPoints())) {
						return true
					}
				}
			}
			bits.Rotate90()
			turned = turned.countered()
		}
	}
	return false
}

// dmQuad orders the corners: found are top left, bottom left, bottom right,
// top right.
func dmQuad(v view, found []gozxing.ResultPoint) (q quad) {
	for i, j := range [4]int{0, 3, 2, 1} {
		q[i] = v.back(found[j].GetX(), found[j].GetY())
	}
	return q
}

// tiny is how many codewords a Data Matrix symbol has at most that is only
// believed when it was decoded twice: it is so small that its error
// correction makes sense of noise now and then.
const tiny = 18

func (r *reader) addMatrix(v view, plain string, decoded *common.DecoderResult, at quad) (enough bool) {
	symbology, text := matrixText(plain, decoded.GetSymbologyModifier(), decoded.GetText())
	if text == "" || strings.ContainsFunc(text, unprintable) {
		return false
	}
	need := 1
	if plain == DataMatrix && len(decoded.GetRawBytes()) <= tiny {
		need = 2
	}
	aim := "]Q"
	if plain == DataMatrix {
		aim = "]d"
	}
	aim += strconv.Itoa(decoded.GetSymbologyModifier())
	r.add(sighting{symbology: symbology, text: text, aim: aim, votes: 1, need: need, at: at})
	return need == 1
}

// unprintable reports control characters that no label has: all but the line
// ends, TAB, and the separators of element strings and ISO/IEC 15434.
func unprintable(c rune) bool {
	return unicode.IsControl(c) && !strings.ContainsRune("\n\r\t\x04\x1c\x1d\x1e\x1f", c)
}
