// Package pages unpacks picture files: it hands on one page after another,
// whatever kind of file it is, and refuses what is cut off, locked or too
// large before memory is taken for it.
//
// Kinds: PNG, JPEG (baseline and progressive; grey, colour, CMYK), WebP (one
// picture), TIFF (every page), BMP, GIF (the first picture), and PDF, whose
// pages pdftoppm of poppler-utils draws at 200 dpi. The contents of a file
// say what it is, never its name.
//
// Non-goals: what is in the pictures (package scanner), HEIC and AVIF
// (patents, and no decoder in Go: they are named and refused), moving
// pictures, colour profiles.
//
// Sources: PNG, W3C third edition; JPEG, ITU-T T.81; TIFF revision 6.0 with
// ITU-T T.4 and T.6; EXIF 2.32; WebP, RFC 9649 and RFC 6386; GIF89a; PDF,
// ISO 32000-1. Decoders: the standard library, golang.org/x/image, poppler.
package pages

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/draw"

	"forkstock/internal/fault"
)

// Limits of what is taken.
const (
	MaxBytes  = 64 << 20    // of a file
	MaxPixels = 100_000_000 // of a page
	MaxPages  = 50          // that are handed on of a file
	maxMemory = 4 * MaxPixels
)

// A Page is one picture of a file.
type Page struct {
	Number int // from 1
	Of     int // pages in the file; of more than MaxPages only the first are handed on
	Image  image.Image
	Turn   int // EXIF orientation, 1 to 8: how to turn Image to look at it
}

// A walk unpacks a file and hands on its pages.
type walk func(ctx context.Context, data []byte, hand func(Page) error) error

// A kind is a kind of picture file.
type kind struct {
	name  string
	begin func(data []byte) bool
	each  walk
}

// kinds is every kind that is told apart, in the order in which it is looked
// for.
var kinds = []kind{
	{"PNG", starts("\x89PNG\r\n\x1a\n"), single(pngHead)},
	{"JPEG", starts("\xff\xd8\xff"), single(jpegHead)},
	{"WebP", starts("RIFF????WEBP"), single(webpHead)},
	{"GIF", starts("GIF8?a"), single(gifHead)},
	{"TIFF", isTIFF, eachTIFF},
	{"BMP", starts("BM"), single(bmpHead)},
	{"PDF", isPDF, eachPDF},
	{"HEIC", starts("????ftyphe"), unread("HEIC")},
	{"HEIC", starts("????ftypmif1"), unread("HEIC")},
	{"AVIF", starts("????ftypav"), unread("AVIF")},
	{"BigTIFF", starts("II+\x00"), unread("BigTIFF")},
	{"BigTIFF", starts("MM\x00+"), unread("BigTIFF")},
}

// Each unpacks data and hands on its pages in their order, each before the
// next is unpacked. An error of hand ends it and is given as it is. Errors:
// Invalid (what is no picture, cut off, locked, of a kind that is not read, or
// larger than the limits), NotFound (the program that draws PDF pages), Busy
// (ctx ended).
func Each(ctx context.Context, data []byte, hand func(Page) error) error {
	switch {
	case len(data) == 0:
		return invalid("scanner.empty")
	case len(data) > MaxBytes:
		return fault.New(fault.Invalid, "scanner.too_many_bytes", len(data), MaxBytes).WithHint("scanner.size_hint")
	}
	for _, k := range kinds {
		if k.begin(data) {
			return k.each(ctx, data, hand)
		}
	}
	return invalid("scanner.not_a_picture")
}

// Known reports whether the first bytes of a file, 1024 are enough, are those
// of a kind that Each tells apart.
func Known(head []byte) bool {
	for _, k := range kinds {
		if k.begin(head) {
			return true
		}
	}
	return false
}

// starts makes a test for the first bytes of a file; "?" is any byte.
func starts(magic string) func([]byte) bool {
	return func(data []byte) bool {
		if len(data) < len(magic) {
			return false
		}
		for i := range len(magic) {
			if magic[i] != '?' && magic[i] != data[i] {
				return false
			}
		}
		return true
	}
}

// A head is what a page claims to be, and how to unpack it.
type head struct {
	width, height int
	memory        int // bits that a pixel takes while it is unpacked
	least         int // bits that 2^20 pixels take in the file at the very least
	turn          int // EXIF orientation, 0: none
	decode        func(*source) (image.Image, error)
}

// single makes the walk over a kind of file that has one page.
func single(read func([]byte) (head, error)) walk {
	return func(ctx context.Context, data []byte, hand func(Page) error) error {
		h, err := read(data)
		if err != nil {
			return err
		}
		p, err := h.unpack(ctx, data, 1)
		if err != nil {
			return err
		}
		return hand(p)
	}
}

// unread makes the refusal of a kind that is told apart and not read.
func unread(name string) walk {
	return func(context.Context, []byte, func(Page) error) error {
		return fault.New(fault.Invalid, "scanner.kind", name).WithHint("scanner.kind_hint")
	}
}

// variety refuses a file of a kind that is read otherwise.
func variety(name string) error {
	return fault.New(fault.Invalid, "scanner.variety", name).WithHint("scanner.kind_hint")
}

// check refuses a page that is too large, or larger than n bytes can hold.
func (h head) check(n int) error {
	switch {
	case h.width < 1 || h.height < 1:
		return invalid("scanner.not_a_picture")
	case h.width > MaxPixels/h.height:
		return fault.New(fault.Invalid, "scanner.too_many_pixels", h.width, h.height, MaxPixels).WithHint("scanner.size_hint")
	case h.width*h.height*h.least>>23 > n:
		return invalid("scanner.cut_off")
	}
	if need := h.width * h.height * h.memory / 8; need > maxMemory {
		return fault.New(fault.Invalid, "scanner.too_much_memory", h.width, h.height, need>>20, maxMemory>>20).
			WithHint("scanner.size_hint")
	}
	return nil
}

// unpack checks and unpacks a page.
func (h head) unpack(ctx context.Context, data []byte, number int) (p Page, err error) {
	if err := h.check(len(data)); err != nil {
		return p, err
	}
	defer func() {
		if r := recover(); r != nil { // a decoder that trips over hostile bytes
			err = invalid("scanner.cut_off").WithCause(fmt.Errorf("decoder: %v", r))
		}
	}()
	pic, err := h.decode(&source{bytes.NewReader(data), ctx})
	switch {
	case ctx.Err() != nil:
		return p, stopped(ctx)
	case err != nil:
		return p, invalid("scanner.cut_off").WithCause(err)
	}
	return Page{Number: number, Of: 1, Image: plain(pic), Turn: max(h.turn, 1)}, nil
}

// source is a file in memory that cannot be read any more once its context
// has ended, so that a decoder stops.
type source struct {
	*bytes.Reader
	ctx context.Context
}

// Read reads on.
func (s *source) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.Reader.Read(p)
}

// ReadAt reads at a place.
func (s *source) ReadAt(p []byte, at int64) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.Reader.ReadAt(p, at)
}

// plain gives pictures of rare kinds (16 bits, CMYK, see-through) as grey on
// white; the others as they are.
func plain(pic image.Image) image.Image {
	switch pic.(type) {
	case *image.Gray, *image.YCbCr, *image.Paletted, *image.NRGBA, *image.RGBA:
		return pic
	}
	b := pic.Bounds()
	grey := image.NewGray(b)
	draw.Draw(grey, b, image.White, image.Point{}, draw.Src)
	draw.Draw(grey, b, pic, b.Min, draw.Over)
	return grey
}

func invalid(id string, args ...any) *fault.Error {
	return fault.New(fault.Invalid, id, args...).WithHint("scanner.picture_hint")
}

func stopped(ctx context.Context) error {
	return fault.New(fault.Busy, "scanner.stopped").WithHint("scanner.stopped_hint").WithCause(ctx.Err())
}
