package scanner

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
)

func pngOf(t testing.TB, pic image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, pic); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func jpegOf(t testing.TB, pic image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, pic, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func draw(t testing.TB, symbology, text string) image.Image {
	t.Helper()
	pic, err := Draw(symbology, text, 2, 60)
	if err != nil {
		t.Fatal(err)
	}
	return pic
}

// What is no whole picture is refused; the kinds and their limits are tested
// in package pages.
func TestReadRefuses(t *testing.T) {
	good := pngOf(t, draw(t, EAN13, "9520123456788"))
	for name, data := range map[string][]byte{"empty": nil, "text": []byte("9520123456788\n"), "half": good[:len(good)/2]} {
		p, err := Read(context.Background(), data, Options{})
		if e := fault.Of(err); e == nil || e.Kind != fault.Invalid || e.Hint.IsZero() || len(p.SHA256) != 64 {
			t.Errorf("%s: %+v, %+v, want invalid with a hint, and the sum", name, p, e)
		}
	}
}

// Every page is read, and says which it is.
func TestReadPages(t *testing.T) {
	for _, name := range []string{"three.tif", "three.pdf"} {
		data, err := os.ReadFile(filepath.Join("pages", "testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		p, err := Read(context.Background(), data, Options{})
		if err != nil || len(p.Pages) != 3 {
			t.Fatalf("%s: %d pages, %v", name, len(p.Pages), err)
		}
		var got []string
		for _, s := range p.Symbols {
			got = append(got, fmt.Sprint(s.Page, " ", s.Symbology, " ", s.Text))
		}
		want := []string{"1 ean13 9520123456788", "2 code128 KB-39-52-11", "3 qr KB-39-52-11;2;pair"}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

func TestReadStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p, err := Read(ctx, pngOf(t, draw(t, EAN13, "9520123456788")), Options{})
	if fault.KindOf(err) != fault.Busy {
		t.Errorf("Read with an ended context = %v, %v, want kind busy", p.Symbols, err)
	}
}

func TestReadSum(t *testing.T) {
	data := pngOf(t, draw(t, Code128, "KB-39-52-11"))
	sum := sha256.Sum256(data)
	p, err := Read(context.Background(), data, Options{})
	if err != nil || p.SHA256 != hex.EncodeToString(sum[:]) || p.Width == 0 || p.Height != 60 {
		t.Errorf("Read = %q, %d x %d, %v", p.SHA256, p.Width, p.Height, err)
	}
}

// A symbol reads the same in every kind of picture file.
func TestReadFormats(t *testing.T) {
	src := draw(t, EAN13, "9520123456788")
	b := src.Bounds()
	for name, pic := range map[string]interface {
		image.Image
		Set(x, y int, c color.Color)
	}{
		"grey":        image.NewGray(b),
		"16 bit":      image.NewGray16(b),
		"RGBA":        image.NewRGBA(b),
		"NRGBA":       image.NewNRGBA(b),
		"64 bit":      image.NewNRGBA64(b),
		"paletted":    image.NewPaletted(b, color.Palette{color.White, color.Black}),
		"see-through": image.NewNRGBA(b),
	} {
		for y := range b.Dy() {
			for x := range b.Dx() {
				c := src.At(x, y)
				if r, _, _, _ := c.RGBA(); name == "see-through" && r > 0 {
					c = color.Transparent
				}
				pic.Set(x, y, c)
			}
		}
		p, err := Read(context.Background(), pngOf(t, pic), Options{})
		if err != nil || len(p.Symbols) != 1 || p.Symbols[0].Text != "9520123456788" {
			t.Errorf("%s: %+v, %v", name, p.Symbols, err)
		}
	}
}

// EXIF orientation 1 to 8 (EXIF 2.32, tag 0x0112): what the eight cameras
// saved is what one should see, so the top left corner comes out the same.
func TestOrientation(t *testing.T) {
	upside := image.NewGray(image.Rect(0, 0, 400, 200))
	for i := range upside.Pix {
		upside.Pix[i] = 255
	}
	symbol := draw(t, Code128, "A-03-2").(*image.Gray)
	for y := range 60 {
		copy(upside.Pix[upside.PixOffset(10, 10+y):], symbol.Pix[y*symbol.Stride:y*symbol.Stride+symbol.Rect.Dx()])
	}
	seen := grey(upside)
	for orientation, saved := range map[int]*plane{
		1: seen, 2: seen.mirrored(), 3: seen.turned(2), 4: seen.turned(2).mirrored(),
		5: seen.mirrored().turned(3), 6: seen.turned(3), 7: seen.mirrored().turned(1), 8: seen.turned(1),
	} {
		pic := &image.Gray{Pix: saved.pix, Stride: saved.Width, Rect: image.Rect(0, 0, saved.Width, saved.Height)}
		data := withOrientation(jpegOf(t, pic), byte(orientation))
		p, err := Read(context.Background(), data, Options{})
		if err != nil || len(p.Symbols) != 1 {
			t.Errorf("orientation %d: %+v, %v", orientation, p.Symbols, err)
			continue
		}
		if box := p.Symbols[0].Bounds(); p.Width != 400 || box.Min.X > 60 || box.Min.Y > 20 {
			t.Errorf("orientation %d: %d x %d, symbol at %v", orientation, p.Width, p.Height, box)
		}
	}
}

// withOrientation puts an EXIF segment into a JPEG.
func withOrientation(data []byte, orientation byte) []byte {
	tiff := []byte("Exif\x00\x00MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00")
	tiff = append(tiff, orientation, 0, 0, 0, 0, 0, 0)
	app1 := append([]byte{0xff, 0xe1, 0, byte(len(tiff) + 2)}, tiff...)
	return append(append(bytes.Clone(data[:2]), app1...), data[2:]...)
}

// FuzzRead looks for bytes that make the readers panic or lie about places.
func FuzzRead(f *testing.F) {
	for _, name := range []string{"ean13.png", "gs1dm.png", "qr.png", "itf-jpeg.jpg", "blank.png"} {
		data, err := os.ReadFile(filepath.Join(pictures, name))
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		c, _, err := image.DecodeConfig(bytes.NewReader(data))
		if err == nil && c.Width > 500_000/max(c.Height, 1) {
			t.Skip("too large to be quick")
		}
		p, err := Read(context.Background(), data, Options{})
		if err != nil {
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("kind %s: %v", fault.KindOf(err), err)
			}
			return
		}
		for _, s := range p.Symbols {
			if s.Text == "" || s.Symbology == "" {
				t.Errorf("symbol without text or symbology: %+v", s)
			}
		}
	})
}

// FuzzPixels gives the readers arbitrary grey pictures.
func FuzzPixels(f *testing.F) {
	f.Add(uint8(64), []byte("0101011010010110"))
	f.Fuzz(func(t *testing.T, width uint8, pix []byte) {
		w := int(width)%128 + 1
		pic := image.NewGray(image.Rect(0, 0, 2*w, max(1, len(pix)/w)))
		for i := range pic.Pix {
			if len(pix) > 0 {
				pic.Pix[i] = pix[i/2%len(pix)]
			}
		}
		if _, err := Read(context.Background(), pngOf(t, pic), Options{}); err != nil {
			t.Error(err)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for _, file := range []string{"ean13-jpeg.jpg", "slip-photo.jpg", "clouds.jpg", "blank.png"} {
		data, err := os.ReadFile(filepath.Join(pictures, file))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(file, func(b *testing.B) {
			for b.Loop() {
				if _, err := Read(context.Background(), data, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
