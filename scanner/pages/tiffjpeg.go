package pages

import (
	"bytes"
	"context"
	"errors"
	"image"
	"image/draw"
	"image/jpeg"
	"slices"
)

// Strips and tiles that are JPEG files, with their tables apart (supplement 2
// to TIFF 6.0, compression 7): what office machines write.

var errBlock = errors.New("tiff: a strip or tile is not what the page says")

// adobeRGB is a marker that says that three components are red, green, blue.
var adobeRGB = []byte("\xff\xee\x00\x0eAdobe\x00\x64\x00\x00\x00\x00\x00")

// decodeJPEGs puts the strips or tiles of a page together, grey.
func (d directory) decodeJPEGs(ctx context.Context, data []byte) (image.Image, error) {
	w, h := d.block()
	places, sizes := uint16(tagStrips), uint16(tagStripBytes)
	if d.value[tagTileWidth] > 0 {
		places, sizes = tagTiles, tagTileBytes
	}
	from, okFrom := d.numbers(data, places)
	size, okSize := d.numbers(data, sizes)
	if n := d.blocks(); !okFrom || !okSize || len(from) < n || len(size) < n {
		return nil, errBlock
	}
	tables, _ := d.bytes(data, tagJPEGTables, 1)
	page := image.NewGray(image.Rect(0, 0, d.value[tagWidth], d.value[tagHeight]))
	across := (d.value[tagWidth]-1)/w + 1
	for i := range d.blocks() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if from[i]+size[i] > len(data) {
			return nil, errBlock
		}
		at := image.Pt(i%across*w, i/across*h)
		block, err := d.decodeJPEG(tables, data[from[i]:from[i]+size[i]], image.Rect(0, 0, w, h))
		if err != nil {
			return nil, err
		}
		draw.Draw(page, block.Bounds().Add(at), block, block.Bounds().Min, draw.Src)
	}
	return page, nil
}

// decodeJPEG unpacks a strip or tile, which must be no larger than most and,
// but for the height of the last strip, no smaller.
func (d directory) decodeJPEG(tables, block []byte, most image.Rectangle) (image.Image, error) {
	if len(block) < 4 || !bytes.HasPrefix(block, []byte("\xff\xd8")) {
		return nil, errBlock
	}
	var parts [][]byte
	parts = append(parts, block[:2])
	if d.value[tagPhotometric] == 2 {
		parts = append(parts, adobeRGB)
	}
	if len(tables) > 4 {
		parts = append(parts, tables[2:len(tables)-2]) // without its start and end
	}
	whole := slices.Concat(append(parts, block[2:])...)
	claim, err := jpegHead(whole)
	if err != nil {
		return nil, err
	}
	if claim.width != most.Dx() || claim.height > most.Dy() {
		return nil, errBlock
	}
	if err := claim.check(len(whole)); err != nil {
		return nil, err
	}
	pic, err := jpeg.Decode(bytes.NewReader(whole))
	if err != nil {
		return nil, err
	}
	return plain(pic), nil
}
