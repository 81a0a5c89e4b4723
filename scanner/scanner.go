// Package scanner says what a camera or a hand scanner saw: it reads the
// symbols in a picture, splits the lines of a hand scanner, and draws symbols
// for labels.
//
// A wrong text is far worse than an unread one: a text is believed when
// enough rows of the picture agree on it, or when its error correction does.
// The same bytes always give the same symbols, so no rule here looks at a
// clock; a context that ends gives an error, not half an answer.
//
// Coordinates are pixels of the picture as it is meant to be looked at (EXIF
// orientation applied), x to the right, y down. Pages count from 1.
//
// Non-goals: what a code stands for (catalog), whether it was counted before
// (inventory), how picture files are packed (package pages below), and
// symbologies that a parts supplier does not print.
//
// Sources: ISO/IEC 15420 (EAN/UPC), 15417 (Code 128), 16388 (Code 39), 16390
// (ITF), 24724 (GS1 DataBar), AIM USS-93 and USS-Codabar, 18004 (QR), 16022 and 21471 (Data Matrix), 15424 (AIM identifiers); GS1
// General Specifications, clause 5. gozxing decodes; finding, voting and
// placing is done here.
package scanner

import (
	"image"
	"math"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// The symbologies, as they stand in JSON and in client keys.
const (
	EAN13         = "ean13"
	EAN8          = "ean8"
	UPCA          = "upca"
	UPCE          = gs1.UPCE
	Code128       = "code128"
	Code39        = "code39"
	Code93        = "code93"
	Codabar       = "codabar"
	ITF           = "itf"
	QR            = "qr"
	DataMatrix    = "datamatrix"
	GS1128        = "gs1_128"
	GS1DataBar    = "gs1_databar"
	GS1QR         = "gs1_qr"
	GS1DataMatrix = "gs1_datamatrix"
)

// A Symbol is one barcode in a picture.
type Symbol struct {
	Page      int    // from 1
	Symbology string // one of the constants above
	AIM       string // identifier of ISO/IEC 15424, as "]E0"
	// Text is what the symbol holds, valid UTF-8, check digit included. In
	// the GS1 symbologies FNC1 is GS (0x1D) between elements, none in front.
	Text string
	// AddOn is the two or five digits of the small symbol to the right of an
	// EAN or UPC symbol; they are no part of Text and of the key.
	AddOn string
	// Raw is what the symbol holds, where that is no text in the character set
	// that it names; Text is then the same bytes as Latin-1.
	Raw      []byte
	Corners  [4]image.Point // top left, top right, bottom right, bottom left, as one reads it
	Elements gs1.Elements   // of the GS1 symbologies; nil where the text breaks their rules
	// Ordinal tells equal symbols (symbology and text) of one page apart: 0
	// for the topmost, of two at one height the left one first.
	Ordinal int
}

// Key gives the text under which the shop files the symbol (see gs1.Key): of
// a GS1 symbol with a GTIN, that GTIN.
func (s Symbol) Key() (key string, gtin bool) { return fileUnder(s.Symbology, s.Text, s.Elements) }

// Orientation gives the way in which one reads the symbol: degrees clockwise
// from the x axis, 0 to 359.
func (s Symbol) Orientation() int {
	along := s.Corners[1].Sub(s.Corners[0])
	degrees := int(math.Round(math.Atan2(float64(along.Y), float64(along.X)) * 180 / math.Pi))
	return (degrees + 360) % 360
}

// Bounds gives the upright box around the symbol.
func (s Symbol) Bounds() image.Rectangle { return bounds(s.Corners) }

func bounds(corners [4]image.Point) image.Rectangle {
	box := image.Rectangle{Min: corners[0], Max: corners[0]}
	for _, p := range corners[1:] {
		box.Min.X, box.Min.Y = min(box.Min.X, p.X), min(box.Min.Y, p.Y)
		box.Max.X, box.Max.Y = max(box.Max.X, p.X), max(box.Max.Y, p.Y)
	}
	return box
}

// A Refused is something that looked like a symbol and was not believed.
type Refused struct {
	Page      int
	Symbology string
	Text      string // what it seemed to say
	Corners   [4]image.Point
	Why       fault.Message
}

// A Picture is what was read from one picture.
type Picture struct {
	SHA256        string        // of the file's bytes, hexadecimal; empty where there was no file
	Pages         []image.Point // sizes of the file's pages in pixels, as looked at; nil where there was no file
	Left          int           // pages of the file after those, which were not looked at
	Width, Height int           // pixels of the first page, as looked at
	Symbols       []Symbol
	Refused       []Refused
	Unread        []Place // bars that look like a symbol, of which nothing could be made out
	Looks         Looks   // of these three, where Options asked for them
}

// A Place is a box in a picture.
type Place struct {
	Page int
	Box  image.Rectangle
}

// fileUnder is the key of a scanned text.
func fileUnder(symbology, text string, elements gs1.Elements) (string, bool) {
	if gtin, ok := elements.Get("01"); ok {
		return gtin, true
	}
	if inside, ok := elements.Get("02"); ok { // a carton: not one pack of what is in it
		return "(02)" + inside, false
	}
	return gs1.Key(symbology, text)
}
