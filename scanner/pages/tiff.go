package pages

import (
	"bytes"
	"context"
	"errors"
	"image"
	"slices"

	"golang.org/x/image/tiff"

	"forkstock/internal/fault"
)

// mostBlocks is how many strips or tiles a page may have; unpacking each has
// its price.
const mostBlocks = 1 << 16

// mostDirectories is how many a file may have: they are counted even where
// only the first are pages that are handed on.
const mostDirectories = 40 * MaxPages

func isTIFF(data []byte) bool {
	_, ok := endian(data)
	return ok
}

// eachTIFF walks along the directories of a file.
func eachTIFF(ctx context.Context, data []byte, hand func(Page) error) error {
	all, err := directories(data)
	if err != nil {
		return err
	}
	for i, d := range all[:min(len(all), MaxPages)] {
		p, err := d.page(ctx, data, i+1)
		if err != nil {
			return onPage(i+1, len(all), err)
		}
		p.Of = len(all)
		if err := hand(p); err != nil {
			return err
		}
	}
	return nil
}

// directories gives those of the pages, without small copies of them
// (NewSubfileType, bit 0). A chain that leads back to where it was ends there.
func directories(data []byte) (all []directory, err error) {
	order, _ := endian(data)
	var seen []int64
	for at := int64(order.Uint32(data[4:])); at != 0 && !slices.Contains(seen, at); {
		d, ok := readDirectory(data, order, at)
		if !ok {
			return nil, invalid("scanner.cut_off")
		}
		seen = append(seen, at)
		if d.value[tagSubfile]&1 == 0 {
			all = append(all, d)
		}
		if len(seen) > mostDirectories {
			return nil, fault.New(fault.Invalid, "scanner.many_pages", mostDirectories, MaxPages).WithHint("scanner.many_pages_hint")
		}
		at = d.next
	}
	if len(all) == 0 {
		return nil, invalid("scanner.not_a_picture")
	}
	return all, nil
}

// page unpacks the page of a directory. The decoder knows only the first of a
// file, so it is shown the file with a header that leads to this one.
func (d directory) page(ctx context.Context, data []byte, number int) (Page, error) {
	h := d.head()
	if err := h.check(len(data)); err != nil {
		return Page{}, err
	}
	if n := d.blocks(); n > mostBlocks {
		return Page{}, fault.New(fault.Invalid, "scanner.many_blocks", n, mostBlocks).WithHint("scanner.kind_hint")
	}
	start := bytes.Clone(data[:8])
	d.order.PutUint32(start[4:], uint32(d.at))
	h.decode = func(r *source) (image.Image, error) { return tiff.Decode(headed{r, start}) }
	if d.value[tagCompression] == jpegBlocks {
		h.decode = func(r *source) (image.Image, error) { return d.decodeJPEGs(r.ctx, data) }
	}
	p, err := h.unpack(ctx, data, number)
	_, other := errors.AsType[tiff.UnsupportedError](err)
	if other || fault.KindOf(err) == fault.Invalid && d.value[tagCompression] == fax3 { // of which the decoder knows one way
		err = variety("TIFF")
	}
	return p, err
}

// headed is a file with another beginning.
type headed struct {
	*source
	start []byte
}

// ReadAt reads at a place.
func (h headed) ReadAt(p []byte, at int64) (int, error) {
	n, err := h.source.ReadAt(p, at)
	if at < int64(len(h.start)) {
		copy(p[:n], h.start[at:])
	}
	return n, err
}

// Compressions (TIFF 6.0, tag 259, and its supplement 2).
const (
	plainBytes  = 1
	fax3        = 3
	lzw         = 5
	jpegBlocks  = 7
	deflate     = 8
	deflateOld  = 32946
	packBits    = 32773
	lzwLongest  = 2560 // bytes that one of LZW gives at most: 3838 for 12 bits
	packLongest = 64   // and one of PackBits: 128 for two
)

// head gives what the page claims to be.
func (d directory) head() head {
	bits, samples := max(d.value[tagBits], 1), max(d.count[tagBits], 1)
	h := head{width: d.value[tagWidth], height: d.value[tagHeight], turn: d.turn(), memory: 8}
	switch {
	case bits == 16 && samples == 1:
		h.memory = 16
	case bits == 16:
		h.memory = 64
	case samples > 1:
		h.memory = 32
	}
	if bits > 64 || samples > 16 || h.width < 1 || h.height < 1 {
		return head{}
	}
	raw := bits * samples << 20
	switch d.value[tagCompression] {
	case plainBytes, 0:
		h.least = raw
		return h
	case lzw:
		h.least = raw / lzwLongest
	case deflate, deflateOld:
		h.least = raw / deflated
	case packBits:
		h.least = raw / packLongest
	case jpegBlocks:
		h.memory, h.least = 8, 1<<20/64 // as in frame
	default: // fax: a white page takes next to nothing
		return h
	}
	w, rows := d.block()
	part := min(1, float64(w)/float64(h.width)*float64(rows)/float64(h.height))
	h.memory += int(64 * part) // how much of a strip or tile the decoder unpacks
	return h
}

// block gives the size of a strip or tile.
func (d directory) block() (w, h int) {
	if d.value[tagTileWidth] > 0 {
		return d.value[tagTileWidth], d.value[tagTileHeight]
	}
	w, h = d.value[tagWidth], d.value[tagHeight]
	if rows := d.value[tagRows]; rows > 0 && rows < h {
		h = rows
	}
	return w, h
}

// blocks gives how many strips or tiles there are, of a page whose size is
// checked.
func (d directory) blocks() int {
	w, h := d.block()
	if w < 1 || h < 1 {
		return mostBlocks + 1
	}
	return ((d.value[tagWidth]-1)/w + 1) * ((d.value[tagHeight]-1)/h + 1)
}

// onPage says on which page of several something is wrong.
func onPage(number, of int, err error) error {
	e := fault.Of(err)
	if of < 2 || e.Kind != fault.Invalid {
		return err
	}
	return &fault.Error{Kind: e.Kind, Message: fault.Say("scanner.page", number, e.Message), Hint: e.Hint, Err: err}
}
