package scanner

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
