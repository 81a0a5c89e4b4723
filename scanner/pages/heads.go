package pages

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"

	"golang.org/x/image/bmp"
	"golang.org/x/image/webp"
)

// deflated is how many bytes one byte of a deflated stream gives at most: a
// match of 258 bytes takes two bits (RFC 1951, 3.2.5).
const deflated = 1032

// pngHead reads the IHDR chunk, which is always the first.
func pngHead(data []byte) (h head, err error) {
	if len(data) < 33 || string(data[12:16]) != "IHDR" {
		return h, invalid("scanner.not_a_picture")
	}
	h.width, h.height = int(binary.BigEndian.Uint32(data[16:])), int(binary.BigEndian.Uint32(data[20:]))
	depth, colour, interlaced := int(data[24]), data[25], data[28] != 0
	samples := map[byte]int{0: 1, 2: 3, 3: 1, 4: 2, 6: 4}[colour]
	if samples == 0 || depth == 0 {
		return h, invalid("scanner.not_a_picture")
	}
	h.least = samples * depth << 20 / deflated
	h.memory = 8
	switch {
	case depth == 16 && samples == 1:
		h.memory = 16
	case depth == 16:
		h.memory = 64
	case samples > 1:
		h.memory = 32
	}
	if interlaced {
		h.memory *= 2
	}
	h.turn = orientation(pngChunk(data, "eXIf"))
	h.decode = func(r *source) (image.Image, error) { return png.Decode(r) }
	return h, nil
}

// pngChunk gives the contents of a chunk, nil where there is none.
func pngChunk(data []byte, name string) []byte {
	for at := 8; at+12 <= len(data); {
		n := int(binary.BigEndian.Uint32(data[at:]))
		if n > len(data)-at-12 {
			return nil
		}
		if string(data[at+4:at+8]) == name {
			return data[at+8 : at+8+n]
		}
		at += 12 + n
	}
	return nil
}

// jpegScans is how many passes a progressive JPEG may have. Cameras write
// about ten; each costs a walk over the whole picture.
const jpegScans = 100

// jpegHead reads the segments up to the frame header.
func jpegHead(data []byte) (h head, err error) {
	var exif []byte
	rgb := false
	for at := 2; at+4 <= len(data); {
		if data[at] != 0xff {
			return h, invalid("scanner.cut_off")
		}
		marker := data[at+1]
		if marker == 0xff { // fill
			at++
			continue
		}
		n := int(binary.BigEndian.Uint16(data[at+2:]))
		if n < 2 || at+2+n > len(data) {
			return h, invalid("scanner.cut_off")
		}
		part := data[at+4 : at+2+n]
		if tiff, ok := bytes.CutPrefix(part, []byte("Exif\x00\x00")); ok && marker == 0xe1 && exif == nil {
			exif = tiff
		}
		if marker == 0xee && len(part) == 12 && string(part[:5]) == "Adobe" && part[11] == 0 {
			rgb = true
		}
		if marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc {
			h, err = frame(marker, part, rgb)
			if marker == 0xc2 && bytes.Count(data, []byte{0xff, 0xda}) > jpegScans {
				return h, invalid("scanner.cut_off")
			}
			h.turn = orientation(exif)
			return h, err
		}
		at += 2 + n
	}
	return h, invalid("scanner.cut_off")
}

// frame reads a frame header (ITU-T T.81, B.2.2).
func frame(marker byte, part []byte, rgb bool) (h head, err error) {
	if len(part) < 6 || len(part) < 6+3*int(part[5]) {
		return h, invalid("scanner.cut_off")
	}
	if marker > 0xc2 || part[0] != 8 {
		return h, variety("JPEG") // lossless, arithmetic, 12 bits
	}
	h.height, h.width = int(binary.BigEndian.Uint16(part[1:])), int(binary.BigEndian.Uint16(part[3:]))
	components := int(part[5])
	most, all := 1, 0
	for i := range components {
		sampling := int(part[6+3*i+1]>>4) * int(part[6+3*i+1]&15)
		most, all = max(most, sampling), all+sampling
	}
	h.memory = (8*all + most - 1) / most // samples
	if marker == 0xc2 {
		h.memory *= 5 // and coefficients of 32 bits
	}
	switch {
	case components == 4:
		h.memory += 32 + 8 // CMYK, then grey
	case rgb:
		h.memory += 32
	}
	h.least = 1 << 20 / 64 // a bit for a block
	h.decode = func(r *source) (image.Image, error) { return jpeg.Decode(r) }
	return h, nil
}

// webpHead looks at the chunks up to the picture itself (RFC 9649, 2.3 to
// 2.7). A head of its own says how large the picture is at least; the decoder
// refuses a picture of another size.
func webpHead(data []byte) (h head, err error) {
	h.decode = func(r *source) (image.Image, error) { return webp.Decode(r) }
	seen, alpha := false, 0
	for at := 12; at+8 <= len(data); {
		n := int(binary.LittleEndian.Uint32(data[at+4:]))
		part := data[at+8:]
		if n < len(part) {
			part = part[:n]
		}
		switch name := string(data[at : at+4]); {
		case name == "VP8X" && len(part) >= 10 && part[0]&2 != 0: // animated
			return h, variety("WebP")
		case name == "ALPH":
			alpha = 8 + 64 // and how it is unpacked
		case name == "EXIF":
			h.turn = orientation(bytes.TrimPrefix(part, []byte("Exif\x00\x00")))
		case name == "VP8 " && len(part) >= 10 && !seen:
			h.width, h.height = int(binary.LittleEndian.Uint16(part[6:])&0x3fff), int(binary.LittleEndian.Uint16(part[8:])&0x3fff)
			// 16x16 pixels take 3.4 bits at least (RFC 6386, 11.2 and 11.3).
			h.memory, h.least, seen = 12+alpha, 3<<20/256, true
		case name == "VP8L" && len(part) >= 5 && !seen:
			bits := binary.LittleEndian.Uint32(part[1:])
			h.width, h.height = int(bits&0x3fff)+1, int(bits>>14&0x3fff)+1
			// A page of one colour takes no bits at all; what a PNG of black
			// and white must have is little enough to ask.
			h.memory, h.least, seen = 64, 1<<20/deflated, true
		}
		if n > len(data)-at-8 {
			return h, invalid("scanner.cut_off")
		}
		at += 8 + n + n&1
	}
	if !seen {
		return h, invalid("scanner.not_a_picture")
	}
	return h, nil
}

// gifHead reads the logical screen, which no picture may leave.
func gifHead(data []byte) (h head, err error) {
	if len(data) < 13 {
		return h, invalid("scanner.not_a_picture")
	}
	return head{
		width: int(binary.LittleEndian.Uint16(data[6:])), height: int(binary.LittleEndian.Uint16(data[8:])),
		memory: 8,
		least:  12 << 20 / 3838, // the longest string of a full table of 4096, again and again
		decode: func(r *source) (image.Image, error) { return gif.Decode(r) },
	}, nil
}

// bmpHead reads both headers.
func bmpHead(data []byte) (h head, err error) {
	c, err := bmp.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		if len(data) >= 54 && binary.LittleEndian.Uint16(data[26:]) == 1 { // one plane: it is one
			return h, variety("BMP")
		}
		return h, invalid("scanner.not_a_picture").WithCause(err)
	}
	bits := int(binary.LittleEndian.Uint16(data[28:]))
	h = head{width: c.Width, height: c.Height, memory: 32, least: bits << 20}
	if bits <= 8 {
		h.memory = 8
	}
	h.decode = func(r *source) (image.Image, error) { return bmp.Decode(r) }
	return h, nil
}
