package scanner

import (
	"image"
	"image/color"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/datamatrix/decoder"
	"github.com/makiuchi-d/gozxing/datamatrix/encoder"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// maxDrawn bounds the sides of a drawn picture, in pixels.
const maxDrawn = 10_000

// Modules is a symbol as dark (true) and light modules, row by row, quiet
// zone included. A linear symbol has one row.
type Modules [][]bool

// Encode makes the modules of a symbol: ean13 (twelve digits, or thirteen
// with a right check digit), code128 (printable ASCII, at most 80), datamatrix
// (ECC 200, square, printable ASCII) or qr (error correction M). Errors are of
// kind invalid.
func Encode(symbology, text string) (Modules, error) {
	bad := func(err error) (Modules, error) {
		return nil, fault.New(fault.Invalid, "scanner.cannot_draw", text, symbology).
			WithHint("scanner.draw_hint").WithCause(err)
	}
	switch symbology {
	case EAN13:
		if len(text) == 13 && !gs1.Valid(text) {
			return bad(nil)
		}
		m, err := oned.NewEAN13Writer().Encode(text, gozxing.BarcodeFormat_EAN_13, 0, 0, noMargin)
		if err != nil {
			return bad(err)
		}
		return framed(m, 11, 7, 0), nil // ISO/IEC 15420
	case Code128:
		if !printable(text) {
			return bad(nil)
		}
		m, err := oned.NewCode128Writer().Encode(text, gozxing.BarcodeFormat_CODE_128, 0, 0, noMargin)
		if err != nil {
			return bad(err)
		}
		return framed(m, 10, 10, 0), nil // ISO/IEC 15417
	case DataMatrix:
		if !printable(text) {
			return bad(nil)
		}
		m, err := datamatrix.NewDataMatrixWriter().Encode(text, gozxing.BarcodeFormat_DATA_MATRIX, 0, 0, onlySquare)
		if err != nil {
			return bad(err)
		}
		// The writer leaves out what is too long for it, and says nothing.
		if back, err := decoder.NewDecoder().Decode(m); err != nil || back.GetText() != text {
			return bad(err)
		}
		return framed(m, 1, 1, 1), nil // ISO/IEC 16022
	case QR:
		m, err := qrcode.NewQRCodeWriter().Encode(text, gozxing.BarcodeFormat_QR_CODE, 0, 0, qrHints(text))
		if err != nil {
			return bad(err)
		}
		return framed(m, 4, 4, 4), nil // ISO/IEC 18004
	}
	return bad(nil)
}

// printable reports whether text is of printable ASCII.
func printable(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

var onlySquare = map[gozxing.EncodeHintType]any{gozxing.EncodeHintType_DATA_MATRIX_SHAPE: encoder.SymbolShapeHint_FORCE_SQUARE}

var noMargin = map[gozxing.EncodeHintType]any{gozxing.EncodeHintType_MARGIN: 0}

func qrHints(text string) map[gozxing.EncodeHintType]any {
	hints := map[gozxing.EncodeHintType]any{
		gozxing.EncodeHintType_MARGIN:           0,
		gozxing.EncodeHintType_ERROR_CORRECTION: "M",
	}
	for i := range len(text) {
		if text[i] >= 0x80 {
			hints[gozxing.EncodeHintType_CHARACTER_SET] = "UTF-8"
		}
	}
	return hints
}

// framed puts light modules around m.
func framed(m *gozxing.BitMatrix, left, right, upright int) Modules {
	w, h := m.GetWidth(), m.GetHeight()
	rows := make(Modules, h+2*upright)
	for y := range rows {
		rows[y] = make([]bool, left+w+right)
		for x := range w {
			if y >= upright && y < upright+h {
				rows[y][left+x] = m.Get(x, y-upright)
			}
		}
	}
	return rows
}

// Draw gives a picture of a symbol that Encode knows, black on white with its
// quiet zone. moduleWidth is the width of the narrowest bar and height that of
// the bars, in pixels; height is not used for datamatrix and qr.
func Draw(symbology, text string, moduleWidth, height int) (image.Image, error) {
	rows, err := Encode(symbology, text)
	if err != nil {
		return nil, err
	}
	if len(rows) > 1 {
		height = len(rows) * moduleWidth
	}
	width := len(rows[0]) * moduleWidth
	if moduleWidth < 1 || height < 1 || width > maxDrawn || height > maxDrawn {
		return nil, fault.New(fault.Invalid, "scanner.draw_size", moduleWidth, height, maxDrawn).
			WithHint("scanner.draw_size_hint")
	}
	pic := image.NewGray(image.Rect(0, 0, width, height))
	for y := range height {
		row := rows[min(y/moduleWidth, len(rows)-1)]
		for x := range width {
			if !row[x/moduleWidth] {
				pic.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	return pic, nil
}
