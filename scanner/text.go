package scanner

import (
	"strings"

	"github.com/makiuchi-d/gozxing"

	"forkstock/internal/gs1"
)

// linearNames are the names of gozxing's linear formats.
var linearNames = map[gozxing.BarcodeFormat]string{
	gozxing.BarcodeFormat_EAN_13:   EAN13,
	gozxing.BarcodeFormat_EAN_8:    EAN8,
	gozxing.BarcodeFormat_UPC_A:    UPCA,
	gozxing.BarcodeFormat_UPC_E:    UPCE,
	gozxing.BarcodeFormat_CODE_128: Code128,
	gozxing.BarcodeFormat_CODE_39:  Code39,
	gozxing.BarcodeFormat_ITF:      ITF,
}

// linearText gives symbology and text of a linear symbol. With its GS1 hint
// gozxing puts "]C1" in front of a GS1-128 text, and GS behind any Code 128
// whose check character happens to have the value of FNC1.
func linearText(result *gozxing.Result) (symbology, text string) {
	symbology = linearNames[result.GetBarcodeFormat()]
	text = valid(result.GetText())
	if symbology != Code128 {
		return symbology, text
	}
	text = strings.TrimSuffix(text, string(gs1.GS))
	if rest, ok := strings.CutPrefix(text, "]C1"); ok {
		return GS1128, rest
	}
	return symbology, text
}

// barsIn gives the number of bars in a whole linear symbol, from the
// structure of its symbology.
func barsIn(result *gozxing.Result) int {
	switch result.GetBarcodeFormat() {
	case gozxing.BarcodeFormat_EAN_13, gozxing.BarcodeFormat_UPC_A:
		return 2 + 6*2 + 2 + 6*2 + 2
	case gozxing.BarcodeFormat_EAN_8:
		return 2 + 4*2 + 2 + 4*2 + 2
	case gozxing.BarcodeFormat_UPC_E:
		return 2 + 6*2 + 3
	case gozxing.BarcodeFormat_CODE_128:
		return 3*len(result.GetRawBytes()) + 1
	case gozxing.BarcodeFormat_CODE_39:
		return 5 * (len(result.GetText()) + 2)
	}
	return 2 + 5*len(result.GetText())/2 + 2
}

// matrixText gives symbology and text of a QR or Data Matrix symbol from its
// AIM modifier (ISO/IEC 15424). gozxing leaves the number of a character set
// in a Data Matrix text as one control character in front.
func matrixText(plain string, modifier int, text string) (symbology, clean string) {
	clean = valid(text)
	switch {
	case plain == QR && (modifier == 3 || modifier == 4):
		return GS1QR, strings.Trim(clean, string(gs1.GS))
	case plain == DataMatrix && (modifier == 2 || modifier == 5) && strings.HasPrefix(clean, string(gs1.GS)):
		return GS1DataMatrix, strings.Trim(clean, string(gs1.GS))
	case plain == DataMatrix && modifier >= 4 && clean != "" && clean[0] < ' ':
		clean = clean[1:]
	}
	return plain, clean
}

// elementsOf splits the text of a GS1 symbol, or the GS1 Digital Link in one of
// two dimensions; nil where it breaks the rules.
func elementsOf(symbology, text string) gs1.Elements {
	switch symbology {
	case GS1128, GS1QR, GS1DataMatrix:
		elements, _ := gs1.Parse(text)
		return elements
	case QR, DataMatrix:
		elements, _ := gs1.ParseLink(text)
		return elements
	}
	return nil
}
