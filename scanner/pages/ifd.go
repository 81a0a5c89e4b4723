package pages

import "encoding/binary"

// Directories of TIFF files, which EXIF has too (TIFF 6.0, section 2).

// Tags that are looked at.
const (
	tagSubfile     = 254
	tagWidth       = 256
	tagHeight      = 257
	tagBits        = 258
	tagCompression = 259
	tagPhotometric = 262
	tagStrips      = 273
	tagOrientation = 274
	tagRows        = 278
	tagStripBytes  = 279
	tagTileWidth   = 322
	tagTileHeight  = 323
	tagTiles       = 324
	tagTileBytes   = 325
	tagJPEGTables  = 347
	tagLast        = tagJPEGTables
)

// A directory is the first value of each tag that is a whole number, how many
// values the tags have, and where the next directory stands (0: there is
// none, -1: the file ends before it says so).
type directory struct {
	order        binary.ByteOrder
	at           int64 // where it stands
	value, count map[uint16]int
	entry        map[uint16]int64 // where the entry of a tag stands
	next         int64
}

// endian gives the byte order of a TIFF header; ok is false where it is none.
func endian(data []byte) (order binary.ByteOrder, ok bool) {
	switch {
	case len(data) < 8:
		return nil, false
	case string(data[:4]) == "II*\x00":
		return binary.LittleEndian, true
	case string(data[:4]) == "MM\x00*":
		return binary.BigEndian, true
	}
	return nil, false
}

// readDirectory reads the directory at a place; ok is false where there is
// none.
func readDirectory(data []byte, order binary.ByteOrder, at int64) (d directory, ok bool) {
	if at < 8 || at+2 > int64(len(data)) {
		return d, false
	}
	n := int64(order.Uint16(data[at:]))
	end := at + 2 + 12*n
	if end > int64(len(data)) {
		return d, false
	}
	d = directory{order: order, at: at, value: map[uint16]int{}, count: map[uint16]int{}, entry: map[uint16]int64{}, next: -1}
	for i := at + 2; i < end; i += 12 {
		tag, kind, count := order.Uint16(data[i:]), order.Uint16(data[i+2:]), int(order.Uint32(data[i+4:]))
		if tag < tagSubfile || tag > tagLast {
			continue
		}
		d.count[tag], d.entry[tag] = count, i
		value := data[i+8 : i+12]
		switch {
		case kind == 3 && count > 2, kind == 4 && count > 1: // the values stand elsewhere
			from := int64(order.Uint32(value))
			if from+4 > int64(len(data)) {
				continue
			}
			value = data[from : from+4]
		}
		switch kind {
		case 1:
			d.value[tag] = int(value[0])
		case 3:
			d.value[tag] = int(order.Uint16(value))
		case 4:
			d.value[tag] = int(order.Uint32(value))
		}
	}
	if end+4 <= int64(len(data)) {
		d.next = int64(order.Uint32(data[end:]))
	}
	return d, true
}

// numbers gives all values of a tag; ok is false where they are not there.
func (d directory) numbers(data []byte, tag uint16) (all []int, ok bool) {
	at, size := d.entry[tag], 4
	if at == 0 {
		return nil, false
	}
	if d.order.Uint16(data[at+2:]) == 3 {
		size = 2
	}
	values, ok := d.bytes(data, tag, size)
	for ; len(values) >= size; values = values[size:] {
		if size == 2 {
			all = append(all, int(d.order.Uint16(values)))
		} else {
			all = append(all, int(d.order.Uint32(values)))
		}
	}
	return all, ok
}

// bytes gives the bytes of the values of a tag, of size bytes each.
func (d directory) bytes(data []byte, tag uint16, size int) (b []byte, ok bool) {
	at, n := d.entry[tag], d.count[tag]*size
	if at == 0 || n > len(data) {
		return nil, false
	}
	from := int(at) + 8
	if n > 4 {
		from = int(d.order.Uint32(data[from:]))
	}
	if from+n > len(data) {
		return nil, false
	}
	return data[from : from+n], true
}

// turn gives the orientation, 0 where there is none.
func (d directory) turn() int {
	if t := d.value[tagOrientation]; t >= 1 && t <= 8 {
		return t
	}
	return 0
}

// orientation gives that of EXIF data, 0 where there is none.
func orientation(exif []byte) int {
	order, ok := endian(exif)
	if !ok {
		return 0
	}
	d, ok := readDirectory(exif, order, int64(order.Uint32(exif[4:])))
	if !ok {
		return 0
	}
	return d.turn()
}
