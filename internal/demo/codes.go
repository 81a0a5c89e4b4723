package demo

import (
	"fmt"

	"forkstock/catalog"
	"forkstock/internal/gs1"
)

// label is a barcode on a bag, and how many are in the bag.
type label struct {
	code   string // as the shop files it
	ware   *ware
	pieces int64
}

// addLabels gives most parts a barcode: a GTIN of its maker, the shop's own
// label, text of the maker, GTIN and text on one bag, or none.
func (b *book) addLabels() {
	for _, w := range b.wares {
		h := hash("label/" + w.Name())
		gtin := func() {
			b.label(b.unique("952", h), w, w.bag)
		}
		text := func() {
			b.label(fmt.Sprintf("%s.%s/%d", catalog.Normal(w.Maker)[:2], catalog.Normal(w.Number), w.bag), w, w.bag)
		}
		switch n := h % 100; {
		case b.copy == 0 && b.story(w):
		case n < 60:
			gtin()
		case n < 72:
			pieces := int64(1)
			if w.Unit == catalog.Millilitre {
				pieces = w.bag // the bottle
			}
			b.label(b.unique(fmt.Sprintf("04%d", h/100%10), h), w, pieces)
		case n < 86:
			text()
		case n < 90:
			gtin()
			text()
		}
	}
}

func (b *book) label(code string, w *ware, pieces int64) {
	b.labels = append(b.labels, label{code, w, pieces})
}

// unique gives the GTIN-14 of an EAN-13 with that prefix that nobody has yet.
func (b *book) unique(prefix string, h uint64) string {
	for {
		code := "0" + ean13(prefix, h/1000%1_000_000_000)
		if !b.taken[code] {
			b.taken[code] = true
			return code
		}
		h += 1000
	}
}

// ean13 makes an EAN-13 of a prefix of three digits and a number of nine.
func ean13(prefix string, number uint64) string {
	body := fmt.Sprintf("%s%09d", prefix, number)
	digit, _ := gs1.CheckDigit(body)
	return body + string(rune(digit))
}

// The codes of the story, as EAN-13 where they are GTINs. No hash gives them:
// nothing is taken twice.
var (
	pairCode    = ean13("952", 3952_11002) // two of the 39 mm seal
	wiperCode   = ean13("952", 3952_50113)
	bushingCode = "TO.TL3920/1"
	clipCode    = "JO.410530/10"
	slickCode   = "OR.OB395211F/1"
	oilCode     = ean13("952", 1000_00310)  // a litre of 10W
	ringCode    = ean13("041", 320_240_010) // the shop's own label on a bag of ten O-rings
	strangeCode = ean13("952", 1016_15010)  // nobody has said yet what it stands for
)

// story gives the parts of the story their codes, and reports whether w is
// one of them. The washer that is to be linked has none.
func (b *book) story(w *ware) bool {
	switch w.Name() {
	case storySeal:
		b.label("0"+pairCode, w, 2)
	case storyWiper:
		b.label("0"+wiperCode, w, 1)
	case storyBushing:
		b.label(bushingCode, w, 1)
	case storyClip:
		b.label(clipCode, w, 10)
	case storyOil:
		b.label("0"+oilCode, w, 1000)
	case storyRing:
		b.label("0"+ringCode, w, 10)
	case storySlick:
		b.label(slickCode, w, 1)
	case storyWasher:
	default:
		return false
	}
	return true
}
