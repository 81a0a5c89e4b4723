package scanner

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"image"
	"image/color"
	_ "image/jpeg" // the picture formats that Read takes
	_ "image/png"

	"forkstock/internal/fault"
)

// MaxBytes and MaxPixels bound the picture files that Read takes.
const (
	MaxBytes  = 64 << 20
	MaxPixels = 100_000_000
)

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

// Read tells what is in a picture file: PNG or JPEG. What is not a picture, is
// cut off, or is larger than MaxBytes or MaxPixels is of kind invalid; other
// errors are those of Decode.
func Read(ctx context.Context, data []byte, o Options) (Picture, error) {
	sum := sha256.Sum256(data)
	p := Picture{SHA256: hex.EncodeToString(sum[:])}
	pic, err := decode(data)
	if err != nil {
		return p, err
	}
	err = p.look(ctx, upright(grey(pic), orientation(data)), o)
	return p, err
}

// look fills p with what is in a plane.
func (p *Picture) look(ctx context.Context, pl *plane, o Options) error {
	p.Width, p.Height = pl.Width, pl.Height
	newReader(o).climb(ctx, wholeView(pl), p)
	if err := ctx.Err(); err != nil {
		return fault.New(fault.Busy, "scanner.stopped").WithHint("scanner.stopped_hint").WithCause(err)
	}
	return nil
}

// decode unpacks a picture file after looking at its size.
func decode(data []byte) (image.Image, error) {
	invalid := func(id string, args ...any) *fault.Error {
		return fault.New(fault.Invalid, id, args...).WithHint("scanner.picture_hint")
	}
	if len(data) == 0 {
		return nil, invalid("scanner.empty")
	}
	if len(data) > MaxBytes {
		return nil, fault.New(fault.Invalid, "scanner.too_many_bytes", len(data), MaxBytes).WithHint("scanner.size_hint")
	}
	c, format, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, invalid("scanner.not_a_picture").WithCause(err)
	}
	if c.Width < 1 || c.Height < 1 {
		return nil, invalid("scanner.not_a_picture")
	}
	if c.Width > MaxPixels/c.Height {
		return nil, fault.New(fault.Invalid, "scanner.too_many_pixels", c.Width, c.Height, MaxPixels).
			WithHint("scanner.size_hint")
	}
	if c.Width*c.Height > capacity(format, c.ColorModel, len(data)) {
		return nil, invalid("scanner.cut_off")
	}
	pic, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, invalid("scanner.cut_off").WithCause(err)
	}
	return pic, nil
}

// capacity gives how many pixels n bytes can hold at the very most, so that
// a few bytes that claim to be a huge picture are refused before memory is
// taken for it: PNG packs no more than 1032 bytes into one (RFC 1951), and a
// JPEG spends at least one bit on 64 pixels (ITU-T T.81).
func capacity(format string, model color.Model, n int) int {
	if format != "png" {
		return 64 * 8 * n
	}
	bits := 1 // grey or palette
	switch model {
	case color.Gray16Model:
		bits = 16
	case color.RGBAModel:
		bits = 24
	case color.NRGBAModel:
		bits = 32
	case color.RGBA64Model, color.NRGBA64Model:
		bits = 48
	}
	return 1032 * 8 * n / bits
}
