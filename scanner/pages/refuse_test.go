package pages

import (
	"bytes"
	"encoding/binary"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

// Contents decide: a file is what its first bytes say, and what no kind
// begins like is no picture.
func TestRefuses(t *testing.T) {
	photo := file(t, "colour.jpg")
	for _, tt := range []struct {
		name string
		data []byte
		id   string
	}{
		{"empty", nil, "scanner.empty"},
		{"text", []byte("9520123456788\n"), "scanner.not_a_picture"},
		{"text that begins like a bitmap", []byte("BMW fork seals, thirty lines of text about them and more than a header has"), "scanner.not_a_picture"},
		{"first bytes", file(t, "bilevel.png")[:10], "scanner.not_a_picture"},
		{"no pixels", pngClaim(0, 5, 8, 0), "scanner.not_a_picture"},
		{"HEIC", file(t, "photo.heic"), "scanner.kind"},
		{"AVIF", file(t, "photo.avif"), "scanner.kind"},
		{"BigTIFF", []byte("II+\x00\x08\x00\x00\x00\x10\x00\x00\x00\x00\x00\x00\x00"), "scanner.kind"},
		{"JPEG of 12 bits", bytes.Replace(photo, []byte{0xff, 0xc0, 0, 17, 8}, []byte{0xff, 0xc1, 0, 17, 12}, 1), "scanner.variety"},
		{"lossless JPEG", bytes.Replace(photo, []byte{0xff, 0xc0}, []byte{0xff, 0xc3}, 1), "scanner.variety"},
		{"moving WebP", riff(riffChunk("VP8X", []byte{2, 0, 0, 0, 9, 0, 0, 9, 0, 0}), riffChunk("ANIM", make([]byte, 6))), "scanner.variety"},
		{"TIFF of very many pages", tiffPages(mostDirectories + 1), "scanner.many_pages"},
		{"locked PDF", file(t, "locked.pdf"), "scanner.pdf_locked"},
		{"broken PDF", []byte("%PDF-1.4\nnothing\n%%EOF\n"), "scanner.pdf_broken"},
		{"PDF of no pages", pdfOf(0, 595, 842), "scanner.pdf_broken"},
		{"fax without line ends", file(t, "bilevel-Fax.tif"), "scanner.variety"},
		{"too many bytes", append(bytes.Clone(photo), make([]byte, MaxBytes)...), "scanner.too_many_bytes"},
	} {
		pages, err := all(t, tt.data)
		e := fault.Of(err)
		if e == nil || e.Kind != fault.Invalid || e.Message.ID != tt.id || e.Hint.IsZero() || len(pages) > 0 {
			t.Errorf("%s: %d pages, %+v, want invalid %s with a hint", tt.name, len(pages), e, tt.id)
		}
	}
}

// A file that is cut off anywhere is refused, whatever its kind.
func TestCutOff(t *testing.T) {
	names, err := filepath.Glob("testdata/*.*")
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range names {
		name := filepath.Base(path)
		if strings.HasSuffix(name, ".sh") || strings.HasPrefix(name, "photo.") || name == "locked.pdf" {
			continue
		}
		data := file(t, name)
		if strings.HasSuffix(name, ".gif") {
			data = data[:len(data)-1] // a last byte that says nothing more comes
		}
		if name == "moving.gif" {
			data = data[:len(data)/3] // only the first picture is read
		}
		for i := 1; i <= 16; i++ {
			cut := data[:len(data)*i/17]
			if i == 16 && !strings.HasSuffix(name, ".tif") { // where remarks stand last
				cut = data[:len(data)-2]
			}
			pages, err := all(t, cut)
			if fault.KindOf(err) != fault.Invalid {
				t.Errorf("%s: %d of %d bytes: %d pages, %v", name, len(cut), len(data), len(pages), err)
			}
		}
	}
}

// pngClaim gives the beginning of a PNG that claims to be w by h.
func pngClaim(w, h uint32, depth, colour byte) []byte {
	part := binary.BigEndian.AppendUint32(nil, w)
	part = binary.BigEndian.AppendUint32(part, h)
	part = append(part, depth, colour, 0, 0, 0)
	return slices.Concat([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", part))
}

// jpegClaim gives a JPEG whose header claims to be w by h.
func jpegClaim(t testing.TB, name string, w, h uint16) []byte {
	return jpegClaimIn(file(t, name), w, h)
}

func jpegClaimIn(data []byte, w, h uint16) []byte {
	data = bytes.Clone(data)
	for _, marker := range []byte{0xc0, 0xc2} {
		if at := bytes.Index(data, []byte{0xff, marker, 0}); at > 0 {
			binary.BigEndian.PutUint16(data[at+5:], h)
			binary.BigEndian.PutUint16(data[at+7:], w)
		}
	}
	return data
}

// tiffClaim changes a value of the first directory.
func tiffClaim(t testing.TB, name string, values map[uint16]uint32) []byte {
	data := bytes.Clone(file(t, name))
	order, _ := endian(data)
	at := order.Uint32(data[4:])
	for i := range uint32(order.Uint16(data[at:])) {
		entry := data[at+2+12*i:]
		if v, ok := values[order.Uint16(entry)]; ok {
			order.PutUint16(entry[2:], 4)
			order.PutUint32(entry[8:], v)
		}
	}
	return data
}

// tiffOf gives a page of one strip that is a whole JPEG file, as the eye sees
// it (YCbCr) and without tables apart.
func tiffOf(t testing.TB, name string, w, h uint32) []byte {
	strip, le := file(t, name), binary.LittleEndian
	data := le.AppendUint32([]byte("II*\x00"), uint32(8+len(strip)))
	data = append(data, strip...)
	data = le.AppendUint16(data, 7)
	for _, e := range [][2]uint32{
		{tagWidth, w}, {tagHeight, h}, {tagCompression, jpegBlocks}, {tagPhotometric, 6}, {tagStrips, 8}, {tagRows, h}, {tagStripBytes, uint32(len(strip))},
	} {
		data = le.AppendUint32(le.AppendUint16(le.AppendUint16(data, uint16(e[0])), 4), 1)
		data = le.AppendUint32(data, e[1])
	}
	return le.AppendUint32(data, 0)
}

// tiffPages gives the directories of n tiny pages.
func tiffPages(n int) []byte {
	data := []byte("II*\x00\x08\x00\x00\x00")
	le := binary.LittleEndian
	for range n {
		next := len(data) + 2 + 12*5 + 4
		data = le.AppendUint16(data, 5)
		for _, e := range [][2]uint32{{tagWidth, 8}, {tagHeight, 1}, {tagCompression, 1}, {273, 8}, {279, 1}} {
			data = le.AppendUint32(le.AppendUint16(le.AppendUint16(data, uint16(e[0])), 4), 1)
			data = le.AppendUint32(data, e[1])
		}
		data = le.AppendUint32(data, uint32(next))
	}
	le.PutUint32(data[len(data)-4:], 0)
	return data
}

// Pictures that claim to be huge are refused before memory is taken for them,
// in every kind of file: what the whole refusal allocates is measured.
func TestClaims(t *testing.T) {
	huge := map[uint16]uint32{tagWidth: 50_000, tagHeight: 50_000}
	large := map[uint16]uint32{tagWidth: 9_900, tagHeight: 9_900, tagRows: 9_900}
	webp := bytes.Clone(file(t, "lossless.webp"))
	binary.LittleEndian.PutUint32(webp[21:], 9_999|9_999<<14)
	lossy := bytes.Clone(file(t, "lossy.webp"))
	copy(lossy[26:], []byte{0x0f, 0x27, 0x0f, 0x27})
	canvas := riff(riffChunk("VP8X", []byte{0, 0, 0, 0, 0x4f, 0xc3, 0, 0x4f, 0xc3, 0}), file(t, "lossless.webp")[12:])
	gif := bytes.Clone(file(t, "plain.gif"))
	copy(gif[6:], []byte{0x50, 0xc3, 0x50, 0xc3})
	largeGIF := bytes.Clone(file(t, "plain.gif"))
	copy(largeGIF[6:], []byte{0x0f, 0x27, 0x0f, 0x27})
	bitmap := bytes.Clone(file(t, "bilevel.bmp"))
	binary.LittleEndian.PutUint32(bitmap[18:], 50_000)
	binary.LittleEndian.PutUint32(bitmap[22:], 50_000)
	largeBMP := bytes.Clone(file(t, "bilevel.bmp"))
	binary.LittleEndian.PutUint32(largeBMP[18:], 9_000)
	binary.LittleEndian.PutUint32(largeBMP[22:], 9_000)
	for _, tt := range []struct {
		name string
		data []byte
		id   string
	}{
		{"PNG 50,000", pngClaim(50_000, 50_000, 8, 0), "scanner.too_many_pixels"},
		{"PNG beyond an int", pngClaim(1<<31-1, 1<<31-1, 8, 0), "scanner.too_many_pixels"},
		{"PNG, few bytes", pngClaim(9_000, 9_000, 16, 6), "scanner.cut_off"},
		{"PNG that would unpack to 600 MB", append(pngClaim(9_000, 9_000, 16, 6), make([]byte, 1<<20)...), "scanner.too_much_memory"},
		{"JPEG 50,000", jpegClaim(t, "colour.jpg", 50_000, 50_000), "scanner.too_many_pixels"},
		{"JPEG, few bytes", jpegClaim(t, "colour.jpg", 9_000, 9_000), "scanner.cut_off"},
		{"progressive JPEG that would unpack to 600 MB", append(jpegClaim(t, "progressive.jpg", 9_000, 9_000), make([]byte, 1<<20)...), "scanner.too_much_memory"},
		{"JPEG of 200 passes", append(file(t, "progressive.jpg"), bytes.Repeat([]byte{0xff, 0xda, 0, 2}, 200)...), "scanner.cut_off"},
		{"WebP, few bytes", webp, "scanner.cut_off"},
		{"lossy WebP, few bytes", lossy, "scanner.cut_off"},
		{"WebP of another canvas", canvas, "scanner.cut_off"},
		{"GIF 50,000", gif, "scanner.too_many_pixels"},
		{"GIF, few bytes", largeGIF, "scanner.cut_off"},
		{"BMP 50,000", bitmap, "scanner.too_many_pixels"},
		{"BMP, few bytes", largeBMP, "scanner.cut_off"},
		{"TIFF 50,000", tiffClaim(t, "bilevel-LZW.tif", huge), "scanner.too_many_pixels"},
		{"fax 50,000", tiffClaim(t, "bilevel-Group4.tif", huge), "scanner.too_many_pixels"},
		{"TIFF, few bytes", tiffClaim(t, "grey-LZW.tif", large), "scanner.cut_off"},
		{"TIFF of large strips", append(tiffClaim(t, "grey16-Zip.tif", large), make([]byte, 1<<20)...), "scanner.too_much_memory"},
		{"TIFF of tiny tiles", append(tiffClaim(t, "tiles.tif", map[uint16]uint32{
			tagWidth: 4000, tagHeight: 4000, tagTileWidth: 8, tagTileHeight: 8,
		}), make([]byte, 1<<20)...), "scanner.many_blocks"},
		{"JPEG in TIFF 50,000", tiffClaim(t, "jpeg-strips.tif", huge), "scanner.too_many_pixels"},
		{"JPEG in TIFF, few bytes", tiffClaim(t, "jpeg-strips.tif", large), "scanner.cut_off"},
		{"JPEG in TIFF, strips that claim more", jpegClaimIn(file(t, "jpeg-strips.tif"), 9_000, 9_000), "scanner.cut_off"},
		{"JPEG in TIFF of another size", tiffOf(t, "colour.jpg", 300, 156), "scanner.cut_off"},
		{"PDF page of 250 inches", pdfOf(1, 18_000, 18_000), "scanner.too_many_pixels"},
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := all(t, tt.data)
		runtime.ReadMemStats(&after)
		e := fault.Of(err)
		if e == nil || e.Kind != fault.Invalid || e.Message.ID != tt.id || e.Hint.IsZero() {
			t.Errorf("%s: %+v, want invalid %s with a hint", tt.name, e, tt.id)
		}
		if took := after.TotalAlloc - before.TotalAlloc; took > 1<<20 {
			t.Errorf("%s: %d bytes were allocated to refuse it", tt.name, took)
		}
	}
}
