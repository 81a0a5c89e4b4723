package scanner

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"image"

	"forkstock/scanner/pages"
)

// Read tells what is in a file of pictures, on every page of it. Package pages
// says which kinds of file it takes, and its errors; others are those of
// Decode.
func Read(ctx context.Context, data []byte, o Options) (Picture, error) {
	sum := sha256.Sum256(data)
	p := Picture{SHA256: hex.EncodeToString(sum[:])}
	err := pages.Each(ctx, data, func(page pages.Page) error {
		var one Picture
		pl := upright(grey(page.Image), page.Turn)
		if err := one.look(ctx, pl, o); err != nil {
			return err
		}
		if o.Looks {
			p.Looks.add(pl.looks(one))
		}
		p.add(page.Number, one)
		p.Left = max(page.Of-pages.MaxPages, 0)
		return nil
	})
	return p, err
}

// add puts what was read on a page to the others.
func (p *Picture) add(page int, one Picture) {
	if page == 1 {
		p.Width, p.Height = one.Width, one.Height
	}
	p.Pages = append(p.Pages, image.Pt(one.Width, one.Height))
	for i := range one.Symbols {
		one.Symbols[i].Page = page
	}
	for i := range one.Refused {
		one.Refused[i].Page = page
	}
	for i := range one.Unread {
		one.Unread[i].Page = page
	}
	p.Symbols = append(p.Symbols, one.Symbols...)
	p.Refused = append(p.Refused, one.Refused...)
	p.Unread = append(p.Unread, one.Unread...)
}
