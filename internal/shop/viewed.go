package shop

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Viewed is a picture that came with a delivery, and what it gave.
type Viewed struct {
	Image    string        `json:"image"`
	Pages    int           `json:"pages"` // 0: no picture that can be read
	Symbols  int           `json:"symbols"`
	Repeated bool          `json:"repeated"`     // the same file had come with the delivery before
	Why      fault.Message `json:"why,omitzero"` // why nothing was read in it
	Places   []Spot        `json:"places"`       // what was not believed or could not be read
}

// Spot is a place in a picture where something was seen and not read.
type Spot struct {
	Page      int           `json:"page"`
	Symbology string        `json:"symbology,omitempty"` // of what was not believed
	Text      string        `json:"text,omitempty"`
	Why       fault.Message `json:"why"`
	Look      int64         `json:"look,omitempty"` // what it looks like, see Look
}

// mostLooks is how many places of a picture are kept to be shown.
const mostLooks = 60

// jpegQuality is that of looks: bars stay sharp, most are under 10 KB.
const jpegQuality = 70

// Look gives what a place in a picture looked like, as a JPEG. Error: NotFound.
func (s *Shop) Look(ctx context.Context, id int64) (jpeg []byte, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		jpeg, err = inventory.LookJPEG(ctx, tx, id)
		return err
	})
	return jpeg, err
}

// unseen gives the pictures to count: with Once without those that came
// before, which are told by their first record.
func (r *receiving) unseen(ctx context.Context, pictures []taken) (left []taken, err error) {
	if !r.in.Once {
		return pictures, nil
	}
	for _, p := range pictures {
		before, seen, err := inventory.PictureSeen(ctx, r.tx, p.pic.SHA256)
		if err != nil {
			return nil, err
		}
		if seen {
			r.pictures = append(r.pictures, viewing{before, true})
			continue
		}
		left = append(left, p)
	}
	return left, nil
}

// keep records the pictures of an intake whose scans are settled, and what
// those places look like that somebody will want to see.
func (r *receiving) keep(ctx context.Context, pictures []taken) error {
	scans := map[string]inventory.Scan{}
	for _, sc := range r.scans {
		scans[sc.Key] = sc
	}
	for _, p := range pictures {
		if p.pic.SHA256 == "" {
			continue // it could not be opened
		}
		record := inventory.Picture{
			Delivery: r.delivery.ID, SHA256: p.pic.SHA256, Name: p.name, Pages: len(p.pic.Pages), Symbols: len(p.pic.Symbols), Person: r.who.ID,
		}
		switch {
		case p.bad != nil:
			record.Why = p.bad.Why
		case record.Symbols+len(p.pic.Unread) == 0:
			record.Why = fault.Say("shop.no_symbol")
		}
		record, repeated, err := inventory.RecordPicture(ctx, r.tx, record)
		if err != nil {
			return err
		}
		r.pictures = append(r.pictures, viewing{record, repeated})
		if repeated {
			continue
		}
		for _, l := range r.looks(p, scans) {
			l.Picture = record.ID
			if err := inventory.KeepLook(ctx, r.tx, l); err != nil {
				return err
			}
		}
	}
	return nil
}

// viewing is the record of a picture of an intake.
type viewing struct {
	inventory.Picture
	repeated bool
}

// looks gives the places of a picture that are kept: codes that wait, what was
// not believed, what could not be read, and that pages were left.
func (r *receiving) looks(p taken, scans map[string]inventory.Scan) (all []inventory.Look) {
	for i, y := range p.pic.Symbols {
		sc := scans[r.key(p.pic, y)]
		if sc.State == inventory.ScanUnknown || sc.State == inventory.ScanToConfirm {
			all = append(all, inventory.Look{Scan: sc.Seq, Page: y.Page, JPEG: encoded(p.pic.Looks.Symbols, i)})
		}
	}
	if p.pic.Left > 0 {
		all = append(all, inventory.Look{Page: len(p.pic.Pages) + 1, Why: pagesLeft(p.pic)})
	}
	for i, f := range p.pic.Refused {
		all = append(all, inventory.Look{
			Page: f.Page, Symbology: f.Symbology, Text: f.Text, Why: f.Why, JPEG: encoded(p.pic.Looks.Refused, i),
		})
	}
	for i, u := range p.pic.Unread {
		why := fault.Say("shop.bars_unread", whereabouts(p.pic, u))
		all = append(all, inventory.Look{Page: u.Page, Why: why, JPEG: encoded(p.pic.Looks.Unread, i)})
	}
	return all[:min(len(all), mostLooks)]
}

// encoded gives a look as JPEG, nil where there is none.
func encoded(looks []*image.Gray, i int) []byte {
	if i >= len(looks) || looks[i] == nil {
		return nil
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, looks[i], &jpeg.Options{Quality: jpegQuality}); err != nil {
		return nil // it is there to help, not to be counted
	}
	return b.Bytes()
}

// key is what was scanned: the bytes of the file, the page, symbology and
// text, and which of equal ones, within the delivery.
func (r *receiving) key(pic scanner.Picture, y scanner.Symbol) string {
	return fmt.Sprintf("%s/%s/%s/%d", r.sheet(pic, y), y.Symbology, y.Text, y.Ordinal)
}

// sheet is where the neighbours of a symbol are looked for: its page.
func (r *receiving) sheet(pic scanner.Picture, y scanner.Symbol) string {
	return fmt.Sprintf("%s/%s/%d", r.delivery.ID, pic.SHA256, y.Page)
}

// views tells pictures by their records.
func views(ctx context.Context, tx *store.Tx, pictures []viewing) ([]Viewed, error) {
	all := []Viewed{}
	for _, p := range pictures {
		v := Viewed{Image: p.Name, Pages: p.Pages, Symbols: p.Symbols, Repeated: p.repeated, Why: p.Why, Places: []Spot{}}
		looks, err := inventory.UnreadLooks(ctx, tx, p.ID)
		if err != nil {
			return nil, err
		}
		for _, l := range looks {
			v.Places = append(v.Places, Spot{l.Page, l.Symbology, l.Text, l.Why, l.ID})
		}
		all = append(all, v)
	}
	return all, nil
}

// withLooks adds what the codes that wait look like.
func (out *Received) withLooks(ctx context.Context, tx *store.Tx) (err error) {
	for i := range out.Unknown {
		if u := &out.Unknown[i]; u.Image != "" {
			if u.Look, err = inventory.LookOfCode(ctx, tx, u.Code); err != nil {
				return err
			}
		}
	}
	for i := range out.ToConfirm {
		c := &out.ToConfirm[i]
		if c.Look, err = inventory.LookOfCode(ctx, tx, c.Code); err != nil {
			return err
		}
	}
	return nil
}

// note adds what was not read in a picture.
func (out *Received) note(p taken) {
	var s Scanned
	if p.bad != nil {
		s.Unread = []Unread{*p.bad}
	} else {
		s.note(p.name, p.pic)
	}
	out.Refused, out.Unread = append(out.Refused, s.Refused...), append(out.Unread, s.Unread...)
}
