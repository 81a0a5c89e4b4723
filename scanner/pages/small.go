package pages

import (
	"context"
	"errors"
	"image"

	"golang.org/x/image/draw"
)

// errEnough ends the walk after the first page.
var errEnough = errors.New("enough")

// Small gives the first page of a file of pictures in its colours, upright, at
// most so many pixels wide and high. Errors are those of Each.
func Small(ctx context.Context, data []byte, most int) (image.Image, error) {
	var small image.Image
	err := Each(ctx, data, func(p Page) error {
		small = turned(shrunk(p.Image, most), p.Turn)
		return errEnough
	})
	if err == nil || errors.Is(err, errEnough) {
		return small, nil
	}
	return nil, err
}

// shrunk gives a picture at most so many pixels wide and high.
func shrunk(from image.Image, most int) *image.RGBA {
	size := from.Bounds().Size()
	if long := max(size.X, size.Y); long > most {
		size = image.Pt(max(size.X*most/long, 1), max(size.Y*most/long, 1))
	}
	to := image.NewRGBA(image.Rectangle{Max: size})
	draw.BiLinear.Scale(to, to.Rect, from, from.Bounds(), draw.Src, nil)
	return to
}

// turned turns a picture as its EXIF orientation says: 1 is upright, 3 upside
// down, 6 and 8 lie on a side, the even ones of the others are mirrored. Source:
// the tag Orientation of the EXIF standard (JEITA CP-3451), from memory.
func turned(from *image.RGBA, turn int) *image.RGBA {
	if turn < 2 || turn > 8 {
		return from
	}
	w, h := from.Rect.Dx(), from.Rect.Dy()
	size := image.Pt(w, h)
	if turn > 4 {
		size = image.Pt(h, w)
	}
	to := image.NewRGBA(image.Rectangle{Max: size})
	for y := range size.Y {
		for x := range size.X {
			fx, fy := x, y
			switch turn {
			case 2:
				fx = w - 1 - x
			case 3:
				fx, fy = w-1-x, h-1-y
			case 4:
				fy = h - 1 - y
			case 5:
				fx, fy = y, x
			case 6:
				fx, fy = y, h-1-x
			case 7:
				fx, fy = w-1-y, h-1-x
			case 8:
				fx, fy = w-1-y, x
			}
			to.SetRGBA(x, y, from.RGBAAt(fx, fy))
		}
	}
	return to
}
