//go:build unix

package scanner

import (
	"context"
	"image"
	"math/rand/v2"
	"testing"

	"forkstock/scanner/sample"
)

// desk is a picture of a phone, width by height, with nothing on it: a surface
// that the light falls off on, and the grain of the camera.
func desk(width, height int) *image.Gray {
	r := rand.New(rand.NewPCG(12, 12))
	pic := image.NewGray(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			pic.Pix[y*width+x] = byte(120 + 60*x/width - 30*y/height + r.IntN(9))
		}
	}
	return pic
}

// on puts a picture on another, in the middle.
func on(under, pic *image.Gray) *image.Gray {
	x0, y0 := (under.Rect.Dx()-pic.Rect.Dx())/2, (under.Rect.Dy()-pic.Rect.Dy())/2
	for y := range pic.Rect.Dy() {
		copy(under.Pix[under.PixOffset(x0, y0+y):], pic.Pix[pic.PixOffset(0, y):pic.PixOffset(pic.Rect.Dx(), y)])
	}
	return under
}

// BenchmarkDecode reads pictures that are unpacked already: every kind in a
// good picture, the same in one of 1600 by 1200 (below 2,000 allocations are
// asked for), every scene without a symbol, and 12 megapixels of nothing (asked
// for: 500 ms and 20 % more). "every pixel once" is the baseline: the shades of
// the 12 megapixels added up.
func BenchmarkDecode(b *testing.B) {
	row := func(name string, pic *image.Gray) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			before := processorTime(b)
			for b.Loop() {
				if _, err := Decode(context.Background(), pic, Options{}); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric((processorTime(b)-before)/float64(b.N), "cpu-ms/op")
		})
	}
	large := desk(4000, 3000)
	b.Run("every pixel once", func(b *testing.B) {
		before := processorTime(b)
		for b.Loop() {
			sum := 0
			for _, v := range large.Pix {
				sum += int(v)
			}
			if sum == 0 {
				b.Fatal("black")
			}
		}
		b.ReportMetric((processorTime(b)-before)/float64(b.N), "cpu-ms/op")
	})
	row("nothing, 12 megapixels", large)
	row("gravel, 12 megapixels", tiled(sample.Bare(1, 7).Grey, 4000, 3000))
	row("nothing, 2 megapixels", desk(1600, 1200))
	seen := map[string]bool{}
	for i := 0; ; i++ {
		p := sample.Made(1, i)
		if seen[p.Kind] {
			break
		}
		seen[p.Kind] = true
		row(p.Kind, p.Grey)
		row(p.Kind+", 1600 by 1200", on(desk(1600, 1200), p.Grey))
	}
	seen = map[string]bool{}
	for i := 0; ; i++ {
		p := sample.Bare(1, i)
		if seen[p.Harm] {
			break
		}
		seen[p.Harm] = true
		row("bare "+p.Harm, p.Grey)
	}
}
