package demo

import (
	"bytes"
	"image/jpeg"
	"image/png"

	"forkstock/scanner"
)

// Picture is a picture file.
type Picture struct {
	Name  string // "bag.png"
	Bytes []byte
}

// Pictures draws the delivery of the story: a bag label, a packing slip with
// one code that the shop does not know, and a photo taken by hand. The same
// seed gives the same bytes. All their symbols can be read by package scanner.
func Pictures(seed uint64) ([]Picture, error) {
	names := Story().Pictures
	var all []Picture
	for i, draw := range []func(uint64) ([]byte, error){bag, slip, photo} {
		data, err := draw(seed)
		if err != nil {
			return nil, err
		}
		all = append(all, Picture{names[i], data})
	}
	return all, nil
}

// bag is the label of a bag with two seals.
func bag(uint64) ([]byte, error) {
	c := newCanvas(640, 430, 255)
	c.frame(8)
	c.text(40, 36, 4, "ORBENTA")
	c.text(40, 96, 2, "Fork oil seal 39x52x11")
	c.text(40, 128, 2, "NBR   2 pieces")
	if err := c.symbol(150, 190, scanner.EAN13, pairCode, 3, 150); err != nil {
		return nil, err
	}
	c.text(200, 350, 2, pairCode)
	return c.png()
}

// line is a line of the packing slip.
type line struct {
	number, text, count string
	symbology, code     string
}

// packed is what the parcel brings. Two wipers lie in two bags: two equal
// codes, two packs. The last line is under a code that the shop does not know.
var packed = []line{
	{"SW-3156", "Wiper 39x52x5/13.5", "1", scanner.EAN13, wiperCode},
	{"SW-3156", "Wiper 39x52x5/13.5", "1", scanner.EAN13, wiperCode},
	{"TL 39-20", "Bushing, outer tube, 39 mm leg", "1", scanner.Code128, bushingCode},
	{"410530", "Round wire clip, bore 53", "10", scanner.Code128, clipCode},
	{"AM 310", "Fork oil 10W", "1 L", scanner.EAN13, oilCode},
	{"OB395211F", "Fork oil seal 39x52x11, FKM", "1", scanner.QR, slickCode},
	{"621015", "Copper washer 10x16x1.5", "10", scanner.EAN13, strangeCode},
}

// slip is the packing slip, as a scanner for paper gives it.
func slip(uint64) ([]byte, error) {
	const top, row = 190, 190
	c := newCanvas(1240, top+row*len(packed)+60, 255)
	c.text(60, 40, 3, "ZWEIRADTEILE WESSELMOOR")
	c.text(60, 100, 2, "Packing slip 48213")
	c.text(60, 140, 2, "No.   Number       What                              Pieces")
	for i, l := range packed {
		y := top + row*i
		c.rule(60, y-12, 1120)
		c.text(60, y+50, 2, string(rune('1'+i)))
		c.text(144, y+50, 2, l.number)
		c.text(326, y+30, 2, l.text)
		c.text(326, y+66, 2, l.count)
		width, height := 2, 110
		if l.symbology == scanner.QR {
			width = 5
		}
		if err := c.symbol(800, y+10, l.symbology, l.code, width, height); err != nil {
			return nil, err
		}
		if l.symbology != scanner.QR {
			c.text(840, y+130, 1, l.code)
		}
	}
	return c.png()
}

// photo is a bag of O-rings on the bench, taken by hand in poor light: tilted,
// a little out of focus, grainy.
func photo(seed uint64) ([]byte, error) {
	c := newCanvas(760, 420, 235)
	c.text(50, 40, 3, "O-RINGS 10 PIECES")
	c.text(50, 96, 2, "32 x 2.4   NBR   own label")
	if err := c.symbol(130, 160, scanner.EAN13, ringCode, 4, 170); err != nil {
		return nil, err
	}
	c.text(240, 345, 2, ringCode)
	shot := c.taken(1200, 900, stream(seed, "photo"))
	var b bytes.Buffer
	err := jpeg.Encode(&b, shot, &jpeg.Options{Quality: 82})
	return b.Bytes(), err
}

func (c canvas) png() ([]byte, error) {
	var b bytes.Buffer
	err := png.Encode(&b, c.Gray)
	return b.Bytes(), err
}
