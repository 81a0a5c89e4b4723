package shop

import (
	"context"
	"image"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/scanner"
)

// Picture is a picture file to read barcodes from.
type Picture struct {
	Name string // of the file, without its folder
	Data []byte
}

// Scanned is what pictures say, the stock untouched.
type Scanned struct {
	Symbols []Symbol  `json:"symbols"`
	Refused []Refused `json:"refused"` // looked like a barcode and was not believed
	Unread  []Unread  `json:"unread"`  // pictures without a barcode
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

// Unread is a picture without a barcode, or with one that could not be read.
type Unread struct {
	Image string        `json:"image"`
	Why   fault.Message `json:"why"`
}

// Scan tells what pictures say, and which parts their codes stand for. Error:
// Invalid where a file is no picture.
func (s *Shop) Scan(ctx context.Context, pictures []Picture) (Scanned, error) {
	out := Scanned{Symbols: []Symbol{}, Refused: []Refused{}, Unread: []Unread{}}
	read, err := readAll(ctx, pictures)
	if err != nil {
		return out, err
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		for i, pic := range read {
			out.note(pictures[i].Name, pic)
			for _, y := range pic.Symbols {
				v, err := symbol(ctx, tx, pictures[i].Name, y)
				if err != nil {
					return err
				}
				out.Symbols = append(out.Symbols, v)
			}
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
	switch {
	case len(pic.Unread) > 0:
		out.Unread = append(out.Unread, Unread{name, fault.Say("shop.bars_unread", len(pic.Unread))})
	case len(pic.Symbols) == 0:
		out.Unread = append(out.Unread, Unread{name, fault.Say("shop.no_symbol")})
	}
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
	link, known, err := catalog.LinkOf(ctx, tx, code)
	if err != nil || !known || link.Part == "" {
		return v, err
	}
	p, _, err := catalog.PartByID(ctx, tx, link.Part)
	v.Number, v.Pieces, v.Unit = p.Number, link.Pieces, p.Unit
	return v, err
}

// readAll reads every picture before anything is changed. An error names the
// file.
func readAll(ctx context.Context, pictures []Picture) ([]scanner.Picture, error) {
	var all []scanner.Picture
	for _, p := range pictures {
		pic, err := scanner.Read(ctx, p.Data, scanner.Options{})
		if err != nil {
			e := fault.Of(err)
			return nil, &fault.Error{
				Kind: e.Kind, Message: fault.Say("shop.picture", p.Name, e.Message), Hint: fault.Say("shop.unchanged", e.Hint), Err: err,
			}
		}
		all = append(all, pic)
	}
	return all, nil
}

// badLines tells every line that cannot be used, in one error.
func badLines(bad []scanner.BadLine) error {
	if len(bad) == 0 {
		return nil
	}
	var told []string
	for i, b := range bad {
		if i == 5 {
			told = append(told, "...")
			break
		}
		told = append(told, itoa(int64(b.Number)))
	}
	e := fault.New(fault.Invalid, "shop.bad_lines", len(bad), strings.Join(told, ", "), bad[0].Err.Message)
	return e.WithHint("shop.bad_lines.hint")
}
