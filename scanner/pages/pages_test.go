package pages

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"golang.org/x/image/bmp"
	"golang.org/x/image/tiff"

	"forkstock/internal/fault"
)

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// all unpacks a file.
func all(t testing.TB, data []byte) (pages []Page, err error) {
	t.Helper()
	err = Each(t.Context(), data, func(p Page) error {
		pages = append(pages, p)
		return nil
	})
	return pages, err
}

// bars gives the widths of the bars and spaces of the row in the middle.
func bars(pic image.Image) (widths []int) {
	b := pic.Bounds()
	dark, from := false, b.Min.X
	for x := b.Min.X; x < b.Max.X; x++ {
		if now := color.GrayModel.Convert(pic.At(x, b.Min.Y+b.Dy()/2)).(color.Gray).Y < 128; now != dark {
			widths = append(widths, x-from)
			dark, from = now, x
		}
	}
	return append(widths, b.Max.X-from)
}

// Every kind of file shows the same bars, which other programs packed: see
// testdata/make.sh.
func TestEachKind(t *testing.T) {
	want, err := png.Decode(bytes.NewReader(file(t, "bilevel.png")))
	if err != nil {
		t.Fatal(err)
	}
	var bitmap bytes.Buffer
	if err := bmp.Encode(&bitmap, want); err != nil {
		t.Fatal(err)
	}
	var unpacked bytes.Buffer
	if err := tiff.Encode(&unpacked, want, nil); err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{"encoded.bmp": bitmap.Bytes(), "encoded.tif": unpacked.Bytes(), "jpeg-whole.tif": tiffOf(t, "colour.jpg", 286, 156)}
	for _, name := range []string{
		"grey.jpg", "colour.jpg", "progressive.jpg", "cmyk.jpg", "cmyk-progressive.jpg",
		"grey16.png", "colour16.png", "palette.png", "interlaced.png", "bilevel.png",
		"lossy.webp", "lossless.webp",
		"bilevel-LZW.tif", "bilevel-Zip.tif", "bilevel-RLE.tif", "bilevel-Group4.tif",
		"jpeg.tif", "jpeg-strips.tif", "jpeg-tiles.tif", "jpeg-grey.tif",
		"grey-LZW.tif", "grey16-Zip.tif", "colour-Zip.tif", "palette.tif", "tiles.tif",
		"bilevel.bmp", "plain.gif", "moving.gif",
	} {
		files[name] = file(t, name)
	}
	for name, data := range files {
		pages, err := all(t, data)
		if err != nil || len(pages) != 1 {
			t.Errorf("%s: %d pages, %v", name, len(pages), err)
			continue
		}
		if got := bars(pages[0].Image); !slices.Equal(got, bars(want)) || pages[0].Number != 1 || pages[0].Turn != 1 {
			t.Errorf("%s: page %d, turn %d, bars %v, want %v", name, pages[0].Number, pages[0].Turn, got, bars(want))
		}
		if !Known(data[:min(len(data), 1024)]) {
			t.Errorf("%s is not known by its first bytes", name)
		}
	}
}

// What can be seen through is white.
func TestSeeThrough(t *testing.T) {
	pages, err := all(t, file(t, "see-through.webp"))
	if err != nil || len(pages) != 1 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	if g, ok := pages[0].Image.At(3, 3).(color.Gray); !ok || g.Y != 255 {
		t.Errorf("the corner is %v, want white", pages[0].Image.At(3, 3))
	}
}

// Every page comes, in its order, and the decoder's memory of one is gone
// before the next: the widths of the pages differ.
func TestEachPage(t *testing.T) {
	var sheets []Page
	for _, name := range []string{"three.tif", "three.pdf"} {
		pages, err := all(t, file(t, name))
		if err != nil || len(pages) != 3 {
			t.Fatalf("%s: %d pages, %v", name, len(pages), err)
		}
		for i, p := range pages {
			if p.Number != i+1 {
				t.Errorf("%s: page %d stands at %d", name, p.Number, i+1)
			}
		}
		if name == "three.tif" {
			sheets = pages
			continue
		}
		for i, want := range []image.Point{{1653, 2339}, {2339, 1653}, {1653, 2339}} { // A4, 595x842 points, at 200 dpi
			if got := pages[i].Image.Bounds().Size(); got != want {
				t.Errorf("%s: page %d is %v, want %v", name, i+1, got, want)
			}
		}
	}
	if a, b := sheets[0].Image.Bounds(), sheets[1].Image.Bounds(); a == b {
		t.Errorf("two different pages of three.tif are both %v", a)
	}
}

// A small copy of the picture, which stands before or behind it in the file,
// is no page of its own (TIFF 6.0, NewSubfileType).
func TestThumbnail(t *testing.T) {
	data := bytes.Clone(file(t, "three.tif"))
	order, _ := endian(data)
	first := int64(order.Uint32(data[4:]))
	entry := data[first+2:] // the tags are in order, so a lower one may stand in place of the first
	order.PutUint16(entry, tagSubfile)
	order.PutUint16(entry[2:], 4)
	order.PutUint32(entry[4:], 1)
	order.PutUint32(entry[8:], 1)
	pages, err := all(t, data)
	if err != nil || len(pages) != 2 {
		t.Errorf("%d pages beside a small copy, %v", len(pages), err)
	}
}

// An error of the hand ends the walk and is given as it is.
func TestHandEnds(t *testing.T) {
	stop := errors.New("enough")
	for _, name := range []string{"three.tif", "three.pdf", "grey.jpg"} {
		n := 0
		err := Each(t.Context(), file(t, name), func(Page) error { n++; return stop })
		if err != stop || n != 1 {
			t.Errorf("%s: %v after %d pages", name, err, n)
		}
	}
}

// TestTurn reads the orientation (EXIF 2.32, tag 0x0112; TIFF 6.0, tag 274)
// in every kind of file that has it.
func TestTurn(t *testing.T) {
	for turn := range 10 {
		want := turn
		if turn < 1 || turn > 8 {
			want = 1 // no such orientation
		}
		exif := exifData(byte(turn))
		tif := bytes.Clone(file(t, "bilevel-LZW.tif"))
		at := bytes.Index(tif, []byte{0x12, 0x01, 3, 0, 1, 0, 0, 0})
		tif[at+8] = byte(turn)
		for name, data := range map[string][]byte{
			"JPEG": withSegment(file(t, "grey.jpg"), 0xe1, append([]byte("Exif\x00\x00"), exif...)),
			"PNG":  withChunk(file(t, "bilevel.png"), "eXIf", exif),
			"WebP": withEXIF(file(t, "lossless.webp"), 286, 156, exif),
			"TIFF": tif,
		} {
			pages, err := all(t, data)
			if err != nil || len(pages) != 1 || pages[0].Turn != want {
				t.Errorf("%s, orientation %d: %+v, %v", name, turn, pages, err)
			}
		}
	}
}

func exifData(turn byte) []byte {
	data := []byte("MM\x00\x2a\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00")
	return append(data, turn, 0, 0, 0, 0, 0, 0)
}

func withSegment(data []byte, marker byte, part []byte) []byte {
	n := len(part) + 2
	return slices.Concat(data[:2], []byte{0xff, marker, byte(n >> 8), byte(n)}, part, data[2:])
}

func chunk(name string, part []byte) []byte {
	body := append([]byte(name), part...)
	all := append(binary.BigEndian.AppendUint32(nil, uint32(len(part))), body...)
	return binary.BigEndian.AppendUint32(all, crc32.ChecksumIEEE(body))
}

func withChunk(data []byte, name string, part []byte) []byte {
	return slices.Concat(data[:33], chunk(name, part), data[33:])
}

func riff(chunks ...[]byte) []byte {
	body := slices.Concat(append([][]byte{[]byte("WEBP")}, chunks...)...)
	return slices.Concat([]byte("RIFF"), binary.LittleEndian.AppendUint32(nil, uint32(len(body))), body)
}

func riffChunk(name string, part []byte) []byte {
	all := slices.Concat([]byte(name), binary.LittleEndian.AppendUint32(nil, uint32(len(part))), part)
	if len(part)%2 == 1 {
		all = append(all, 0)
	}
	return all
}

// withEXIF makes an extended WebP file (RFC 9649, 2.7) of a simple one.
func withEXIF(data []byte, w, h int, exif []byte) []byte {
	head := []byte{8, 0, 0, 0, byte(w - 1), byte((w - 1) >> 8), 0, byte(h - 1), byte((h - 1) >> 8), 0}
	return riff(riffChunk("VP8X", head), data[12:], riffChunk("EXIF", exif))
}

// A camera's large photo is not refused: the limits leave room.
func TestLimitsLeaveRoom(t *testing.T) {
	for name, h := range map[string]head{
		"50 megapixels, JPEG 4:2:0":  {width: 8_192, height: 6_144, memory: 12, least: 1 << 20 / 64},
		"50 megapixels, PNG colour":  {width: 8_192, height: 6_144, memory: 32, least: 24 << 20 / deflated},
		"A4 at 600 dpi, fax":         {width: 4_960, height: 7_016, memory: 8},
		"A4 at 600 dpi, grey strips": {width: 4_960, height: 7_016, memory: 72, least: 8 << 20 / deflated},
	} {
		if err := h.check(1 << 20); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestEndedContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	for _, name := range []string{"bilevel.png", "colour.jpg", "three.tif", "three.pdf", "lossy.webp", "plain.gif", "bilevel.bmp"} {
		err := Each(ctx, file(t, name), func(Page) error { return nil })
		if fault.KindOf(err) != fault.Busy {
			t.Errorf("%s with an ended context: %v", name, err)
		}
	}
}

// heads gives what the pages of a file claim to be.
func heads(data []byte) (all []head, err error) {
	for magic, read := range map[string]func([]byte) (head, error){
		"\x89PNG\r\n\x1a\n": pngHead, "\xff\xd8\xff": jpegHead, "RIFF????WEBP": webpHead, "GIF8?a": gifHead, "BM": bmpHead,
	} {
		if starts(magic)(data) {
			h, err := read(data)
			if err != nil {
				return nil, err
			}
			return []head{h}, nil
		}
	}
	if !isTIFF(data) {
		return nil, nil
	}
	pages, err := directories(data)
	for _, d := range pages {
		all = append(all, d.head())
	}
	return all, err
}

// FuzzEach looks for bytes that our readers or a decoder trip over. Pages
// that are large enough to be slow are only looked at from outside.
func FuzzEach(f *testing.F) {
	for _, name := range []string{
		"grey.jpg", "progressive.jpg", "cmyk.jpg", "palette.png", "interlaced.png", "lossy.webp", "lossless.webp", "see-through.webp",
		"bilevel-Group4.tif", "bilevel-LZW.tif", "three.tif", "tiles.tif", "jpeg-strips.tif", "jpeg-tiles.tif", "bilevel.bmp", "plain.gif",
	} {
		f.Add(file(f, name))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		claims, err := heads(data)
		if kind := fault.KindOf(err); err != nil && kind != fault.Invalid {
			t.Errorf("kind %s: %v", kind, err)
		}
		for _, h := range claims {
			if err := h.check(len(data)); err == nil && (h.width < 1 || h.height < 1 || h.decode == nil && !isTIFF(data)) {
				t.Errorf("passed: %+v", h)
			}
			if h.width > 200_000/max(h.height, 1) || len(claims) > 5 {
				return
			}
		}
		if isPDF(data) {
			return // another program draws it
		}
		n := 0
		err = Each(t.Context(), data, func(p Page) error {
			n++
			if b := p.Image.Bounds(); p.Number != n || p.Turn < 1 || p.Turn > 8 || b.Empty() || b.Dx() > MaxPixels/b.Dy() {
				t.Errorf("page %d of %v, turn %d", p.Number, b, p.Turn)
			}
			return nil
		})
		if kind := fault.KindOf(err); err != nil && kind != fault.Invalid {
			t.Errorf("kind %s: %v", kind, err)
		}
	})
}

// BenchmarkJPEG measures the way through this package against the bare
// decoder.
func BenchmarkJPEG(b *testing.B) {
	var photo bytes.Buffer
	pic := image.NewYCbCr(image.Rect(0, 0, 1600, 1200), image.YCbCrSubsampleRatio420)
	for i := range pic.Y {
		pic.Y[i] = byte(i * 7 / 3)
	}
	if err := jpeg.Encode(&photo, pic, nil); err != nil {
		b.Fatal(err)
	}
	b.Run("bare", func(b *testing.B) {
		for b.Loop() {
			if _, err := jpeg.Decode(bytes.NewReader(photo.Bytes())); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("page", func(b *testing.B) {
		for b.Loop() {
			if err := Each(b.Context(), photo.Bytes(), func(Page) error { return nil }); err != nil {
				b.Fatal(err)
			}
		}
	})
}
