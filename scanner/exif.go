package scanner

import (
	"bytes"

	"github.com/bep/imagemeta"
)

// orientation gives the EXIF orientation of a JPEG, 1 to 8; 1 where there is
// none.
func orientation(data []byte) (turn int) {
	turn = 1
	defer func() { _ = recover() }() // hostile metadata is no reason not to look at the picture
	_, _ = imagemeta.Decode(imagemeta.Options{
		R:           bytes.NewReader(data),
		ImageFormat: imagemeta.JPEG,
		Sources:     imagemeta.EXIF,
		HandleTag: func(tag imagemeta.TagInfo) error {
			if n, ok := tag.Value.(uint16); ok && tag.Tag == "Orientation" && n >= 1 && n <= 8 {
				turn = int(n)
			}
			return nil
		},
	})
	return turn
}

// upright turns and mirrors a plane by its EXIF orientation (EXIF 2.32,
// tag 0x0112).
func upright(p *plane, orientation int) *plane {
	switch orientation {
	case 2:
		return p.mirrored()
	case 3:
		return p.turned(2)
	case 4:
		return p.turned(2).mirrored()
	case 5:
		return p.turned(1).mirrored()
	case 6:
		return p.turned(1)
	case 7:
		return p.turned(3).mirrored()
	case 8:
		return p.turned(3)
	}
	return p
}
