// Package sheet makes PDF files: pages with text, tables and barcodes as
// vector rectangles, sheets and rolls of labels, and the test page of a
// printer.
//
// Places and sizes on a page are millimetres from its upper left corner, text
// sizes points (1/72 in). The grid of a sheet of labels is exact micrometres;
// bars are written with five decimals of a point, so that every module of a
// symbol is as wide as the others to a millionth of a millimetre. The same
// calls with the same time give the same bytes. The fonts are DejaVu Sans,
// embedded with the signs that are used; a sign that they have not is shown as
// a replacement character.
//
// Non-goals: colours, pictures, right-to-left text, reading PDF files, knowing
// what a symbol says (package scanner).
//
// Sources: ISO 32000-1 (PDF), clause 8.5 for the path operators; ISO 216 (A4);
// ANSI/ASME Y14.1 (Letter, 8.5 × 11 in).
package sheet

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"forkstock/internal/fault"
	"forkstock/third_party/dejavu"
)

// Size is that of a page or a label, in mm.
type Size struct{ Width, Height float64 }

// Page sizes.
var (
	A4     = Size{210, 297}
	Letter = Size{215.9, 279.4}
)

// Box is a place on a page, in mm from the upper left corner.
type Box struct{ X, Y, Width, Height float64 }

// Font is a size in points, and whether letters are bold.
type Font struct {
	Points float64
	Bold   bool
}

// Height gives the distance of two lines, in mm.
func (f Font) Height() float64 { return f.Points * 1.2 * inch / 72 }

const inch = 25.4 // mm

// perMM is how many points a millimetre has.
const perMM = 72 / inch

// Doc is a PDF file under way. Its zero value is not usable.
type Doc struct {
	pdf  *fpdf.Fpdf
	size Size    // of the page
	most float64 // points of the heads of labels, which share one size; 0: as large as goes
}

// New begins a file with pages of a size, which says it was made at a time.
func New(size Size, title string, made time.Time) *Doc {
	d := &Doc{pdf: fpdf.NewCustom(&fpdf.InitType{UnitStr: "mm", Size: fpdf.SizeType{Wd: size.Width, Ht: size.Height}}), size: size}
	d.pdf.SetAutoPageBreak(false, 0)
	d.pdf.SetCatalogSort(true)
	d.pdf.SetCreationDate(made.UTC())
	d.pdf.SetModificationDate(made.UTC())
	d.pdf.SetProducer("forkstock", true)
	d.pdf.SetTitle(title, true)
	d.pdf.AddUTF8FontFromBytes("sans", "", dejavu.Sans)
	d.pdf.AddUTF8FontFromBytes("sans", "B", dejavu.Bold)
	return d
}

// Page begins the next page.
func (d *Doc) Page() { d.pdf.AddPage() }

// Bytes ends the file and gives it.
func (d *Doc) Bytes() ([]byte, error) {
	var b bytes.Buffer
	if err := d.pdf.Output(&b); err != nil {
		return nil, fault.Of(err)
	}
	return b.Bytes(), nil
}

// Fill draws boxes in black, as one path: where two meet there is no seam.
func (d *Doc) Fill(boxes ...Box) {
	if len(boxes) == 0 {
		return
	}
	var b strings.Builder
	b.WriteString("0 g\n")
	for _, x := range boxes {
		for _, v := range []float64{x.X, d.size.Height - x.Y - x.Height, x.Width, x.Height} {
			b.WriteString(strconv.FormatFloat(v*perMM, 'f', 5, 64))
			b.WriteByte(' ')
		}
		b.WriteString("re\n")
	}
	b.WriteString("f")
	d.pdf.RawWriteStr(b.String())
}

// Frame draws the outline of a box, as thick as is said in mm, inside of it.
func (d *Doc) Frame(b Box, thick float64) {
	d.Fill(
		Box{b.X, b.Y, b.Width, thick}, Box{b.X, b.Y + b.Height - thick, b.Width, thick},
		Box{b.X, b.Y, thick, b.Height}, Box{b.X + b.Width - thick, b.Y, thick, b.Height},
	)
}

// Symbol draws a barcode at a place: modules that are dark (true) and so wide,
// row by row. One row is bars as high as is said, else height does not count.
// It gives the size of the whole.
func (d *Doc) Symbol(x, y float64, modules [][]bool, module, height float64) Size {
	rise := module
	if len(modules) == 1 {
		rise = height
	}
	var boxes []Box
	for row, line := range modules {
		for from := 0; from < len(line); from++ {
			to := from
			for to < len(line) && line[to] {
				to++
			}
			if to > from {
				boxes = append(boxes, Box{x + float64(from)*module, y + float64(row)*rise, float64(to-from) * module, rise})
			}
			from = to
		}
	}
	d.Fill(boxes...)
	return Size{float64(len(modules[0])) * module, float64(len(modules)) * rise}
}

// onDot gives the place nearest to x where a dot of a printer begins, x itself
// where its dots per inch are not known.
func onDot(x float64, dpi int) float64 {
	if dpi == 0 {
		return x
	}
	dot := inch / float64(dpi)
	return math.Round(x/dot) * dot
}
