package scanner

import (
	"strings"

	"forkstock/internal/gs1"
)

// matrixText gives symbology and text of a QR or Data Matrix symbol from its
// AIM modifier (ISO/IEC 15424).
func matrixText(plain string, modifier int, text string) (symbology, clean string) {
	switch {
	case plain == QR && (modifier == 3 || modifier == 4):
		return GS1QR, strings.Trim(text, string(gs1.GS))
	case plain == DataMatrix && (modifier == 2 || modifier == 5):
		return GS1DataMatrix, strings.Trim(text, string(gs1.GS))
	}
	return plain, text
}

// elementsOf splits the text of a GS1 symbol, or the GS1 Digital Link in one of
// two dimensions; nil where it breaks the rules.
func elementsOf(symbology, text string) gs1.Elements {
	switch symbology {
	case GS1128, GS1DataBar, GS1QR, GS1DataMatrix:
		elements, _ := gs1.Parse(text)
		return elements
	case QR, DataMatrix:
		elements, _ := gs1.ParseLink(text)
		return elements
	}
	return nil
}
