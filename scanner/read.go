package scanner

import (
	"context"
	"image"

	"forkstock/internal/fault"
	"forkstock/scanner/pages"
)

// MaxPixels bounds the pictures that are looked at.
const MaxPixels = pages.MaxPixels

// Decode gives all symbols of a picture. A picture without one is no error;
// one larger than MaxPixels is of kind invalid, a context that ends of kind
// busy.
func Decode(ctx context.Context, pic image.Image, o Options) ([]Symbol, error) {
	p, err := Look(ctx, pic, o)
	return p.Symbols, err
}

// Look tells what is in a picture, beside the symbols also what was not
// believed and what could not be read. Errors are those of Decode.
func Look(ctx context.Context, pic image.Image, o Options) (Picture, error) {
	b := pic.Bounds()
	if b.Empty() {
		return Picture{}, fault.New(fault.Invalid, "scanner.empty").WithHint("scanner.picture_hint")
	}
	if b.Dx() > MaxPixels/b.Dy() {
		return Picture{}, fault.New(fault.Invalid, "scanner.too_many_pixels", b.Dx(), b.Dy(), MaxPixels).
			WithHint("scanner.size_hint")
	}
	var p Picture
	err := p.look(ctx, grey(pic), o)
	return p, err
}

// look fills p with what is in a plane.
func (p *Picture) look(ctx context.Context, pl *plane, o Options) error {
	p.Width, p.Height = pl.Width, pl.Height
	r := newReader(o)
	r.climb(ctx, wholeView(pl), p)
	r.release()
	if err := ctx.Err(); err != nil {
		return fault.New(fault.Busy, "scanner.stopped").WithHint("scanner.stopped_hint").WithCause(err)
	}
	return nil
}
