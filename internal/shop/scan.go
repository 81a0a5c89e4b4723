package shop

import (
	"cmp"
	"context"
	"image"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Scanned is what pictures say, the stock untouched.
type Scanned struct {
	Files   []File    `json:"files"`
	Symbols []Symbol  `json:"symbols"`
	Refused []Refused `json:"refused"` // looked like a barcode and was not believed
	Unread  []Unread  `json:"unread"`  // pictures without a barcode, and places that could not be read
}

// File is what a file of pictures gave, in numbers.
type File struct {
	Image   string `json:"image"`
	Pages   int    `json:"pages"` // 0: it is no picture that can be read
	Symbols int    `json:"symbols"`
	Refused int    `json:"refused"`
	Unread  int    `json:"unread"` // places
}

// Symbol is one barcode in a picture.
type Symbol struct {
	Image       string            `json:"image"`
	Page        int               `json:"page"`
	Symbology   string            `json:"symbology"`
	AIM         string            `json:"aim"` // identifier of ISO/IEC 15424
	Text        string            `json:"text"`
	AddOn       string            `json:"add_on,omitempty"` // digits beside an EAN or UPC symbol
	Raw         []byte            `json:"raw,omitempty"`    // where it holds no text; base64
	GTIN        string            `json:"gtin"`             // 14 digits, empty where it is none
	Elements    map[string]string `json:"elements"`         // GS1 application identifiers
	Corners     [4]Point          `json:"corners"`
	Orientation int               `json:"orientation"`      // degrees clockwise from the x axis, as one reads
	Number      string            `json:"number,omitempty"` // of the part that the code stands for
	Unit        string            `json:"unit,omitempty"`
	Pieces      int64             `json:"pieces,omitempty"`
	Bin         string            `json:"bin,omitempty"`      // on whose label it stands
	Trial       measure.Length    `json:"trial_um,omitempty"` // of the page to try a printer with: how wide its bars are
}

// Point is a place in a picture, in pixels from the top left.
type Point struct {
	X int `json:"x"`
	Y int `json:"y"`
}

func points(corners [4]image.Point) (p [4]Point) {
	for i, c := range corners {
		p[i] = Point(c)
	}
	return p
}

// Refused is something that looked like a barcode and was not believed.
type Refused struct {
	Image     string        `json:"image"`
	Page      int           `json:"page"`
	Symbology string        `json:"symbology"`
	Text      string        `json:"text"`
	Corners   [4]Point      `json:"corners"`
	Why       fault.Message `json:"why"`
}

// Scan tells what pictures say, and which parts their codes stand for; tell,
// where not nil, is given each picture as soon as it is read. ITF barcodes may
// have 14 digits or one of the lengths itf, as scanner.ParseITFLengths reads
// them; where it is empty, one of those that the shop is set to. A file that is no
// picture is told among Unread and does not stop the others. Errors: that of
// the first file where none is a picture; Invalid; Busy where ctx ended.
func (s *Shop) Scan(ctx context.Context, pictures []Picture, itf string, tell func(Scanned)) (Scanned, error) {
	all := Scanned{Files: []File{}, Symbols: []Symbol{}, Refused: []Refused{}, Unread: []Unread{}}
	bad, first := 0, error(nil)
	options := scanner.Options{ITFLengths: s.settings.ITF}
	if itf != "" {
		var err error
		if options.ITFLengths, err = scanner.ParseITFLengths(itf); err != nil {
			return all, err
		}
	}
	err := readEach(ctx, pictures, options, func(i int, pic scanner.Picture, err error) error {
		var one Scanned
		if err != nil {
			u, ok := badPicture(pictures[i].Name, err)
			if !ok {
				return err
			}
			bad, first = bad+1, cmp.Or(first, err)
			one.Files, one.Unread = []File{{Image: u.Image}}, []Unread{u}
		} else if one, err = s.scanned(ctx, pictures[i].Name, pic); err != nil {
			return err
		}
		if tell != nil && (err == nil || len(pictures) > 1) {
			tell(one)
		}
		all.Files, all.Symbols = append(all.Files, one.Files...), append(all.Symbols, one.Symbols...)
		all.Refused, all.Unread = append(all.Refused, one.Refused...), append(all.Unread, one.Unread...)
		return nil
	})
	if err == nil && bad == len(pictures) {
		err = first
	}
	return all, err
}

// scanned looks up what a picture shows.
func (s *Shop) scanned(ctx context.Context, name string, pic scanner.Picture) (out Scanned, err error) {
	out.note(name, pic)
	out.Files = []File{{name, len(pic.Pages), len(pic.Symbols), len(pic.Refused), len(pic.Unread)}}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		for _, y := range pic.Symbols {
			v, err := symbol(ctx, tx, name, y)
			if err != nil {
				return err
			}
			out.Symbols = append(out.Symbols, v)
		}
		return nil
	})
	return out, err
}

// note adds what was not read in a picture.
func (out *Scanned) note(name string, pic scanner.Picture) {
	for _, r := range pic.Refused {
		out.Refused = append(out.Refused, Refused{name, r.Page, r.Symbology, r.Text, points(r.Corners), r.Why})
	}
	out.Unread = append(out.Unread, unread(name, pic)...)
}

func symbol(ctx context.Context, tx *store.Tx, name string, y scanner.Symbol) (Symbol, error) {
	code, gtin := y.Key()
	v := Symbol{
		Image: name, Page: y.Page, Symbology: y.Symbology, AIM: y.AIM, Text: y.Text, AddOn: y.AddOn, Raw: y.Raw,
		Elements: y.Elements.Map(), Corners: points(y.Corners), Orientation: y.Orientation(),
	}
	if gtin {
		v.GTIN = code
	}
	b, _, err := inventory.BinOfCode(ctx, tx, code)
	if err != nil {
		return v, err
	}
	v.Bin = b.Name
	v.Trial = trialWidth(y.Text)
	link, known, err := catalog.LinkOf(ctx, tx, code)
	if err != nil || !known || link.Part == "" {
		return v, err
	}
	p, _, err := catalog.PartByID(ctx, tx, link.Part)
	v.Number, v.Pieces, v.Unit = p.Number, link.Pieces, p.Unit
	return v, err
}

// mostBadLines is how many bad lines are told one by one.
const mostBadLines = 10

// badLines tells every line that cannot be used, and why, in one error.
func badLines(bad []scanner.BadLine) error {
	if len(bad) == 0 {
		return nil
	}
	told := bad[0].Err.Message
	for _, b := range bad[1:min(len(bad), mostBadLines)] {
		told = fault.Say("shop.bad_line_too", told, b.Err.Message)
	}
	if more := len(bad) - mostBadLines; more > 0 {
		told = fault.Say("shop.bad_lines_more", told, more)
	}
	return fault.New(fault.Invalid, "shop.bad_lines", len(bad), told).WithHint("shop.bad_lines.hint")
}
