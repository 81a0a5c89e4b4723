package scanner

import (
	"bytes"
	"unicode/utf8"

	"github.com/makiuchi-d/gozxing/common"

	"forkstock/internal/gs1"
)

// A content is what a matrix symbol holds.
type content struct {
	text     string // valid UTF-8
	raw      []byte // where that is no text in the character set it names
	modifier int    // of the AIM identifier, ISO/IEC 15424
	words    int    // codewords of data
}

// A dmReader reads the codewords of a Data Matrix symbol (ISO/IEC 16022,
// 5.2): characters in one of six encodations, and the character set that they
// are in.
type dmReader struct {
	words   []byte
	at      int
	out     []byte // in the character set of now
	text    []byte
	all     []byte // bytes of all character sets
	set     int    // ECI of out, -1 if none was named
	upper   bool   // the next character is one of the upper half
	trailer string
	gs1     bool // FNC1 in first position
	aim     bool // FNC1 in second position
	eci     bool
	binary  bool // something is no text
	bad     bool
}

// Codewords of ASCII encodation.
const (
	dmPad        = 129
	dmC40        = 230
	dmBase256    = 231
	dmFNC1       = 232
	dmStructured = 233
	dmProgram    = 234
	dmUpper      = 235
	dmMacro5     = 236
	dmMacro6     = 237
	dmX12        = 238
	dmText       = 239
	dmEDIFACT    = 240
	dmECI        = 241
	dmUnlatch    = 254
)

// dmContent reads codewords; ok is false where the standard does not allow
// them.
func dmContent(words []byte) (c content, ok bool) {
	d := dmReader{words: words, set: -1}
	for d.at < len(d.words) && !d.bad {
		if w := d.next(); w == dmPad {
			break
		} else {
			d.ascii(w)
		}
	}
	d.out = append(d.out, d.trailer...)
	d.flush()
	c = content{text: string(d.text), modifier: 1, words: len(words)}
	switch {
	case d.gs1:
		c.modifier = 2
	case d.aim:
		c.modifier = 3
	}
	if d.eci {
		c.modifier += 3
	}
	if d.binary {
		c.raw, c.text = d.all, latin1(d.all)
	}
	return c, !d.bad
}

// next gives the next codeword, 0, which is none, behind the last.
func (d *dmReader) next() byte {
	if d.at >= len(d.words) {
		d.bad = true
		return 0
	}
	d.at++
	return d.words[d.at-1]
}

func (d *dmReader) put(c byte) {
	if d.upper {
		c, d.upper = c+128, false
	}
	d.out = append(d.out, c)
}

// fnc1 is a mark in first or second position, else a separator.
func (d *dmReader) fnc1() {
	switch {
	case len(d.out) == 0 && len(d.all) == 0 && !d.gs1 && !d.aim:
		d.gs1 = true
	case !d.gs1 && !d.aim && len(d.all) == 0 && secondPosition(d.out):
		d.aim = true
	default:
		d.out = append(d.out, gs1.GS)
	}
}

// secondPosition reports whether what stands in front of FNC1 is an industry's
// sign: a letter or two digits.
func secondPosition(front []byte) bool {
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	switch len(front) {
	case 1:
		return front[0]|32 >= 'a' && front[0]|32 <= 'z'
	case 2:
		return digit(front[0]) && digit(front[1])
	}
	return false
}

func (d *dmReader) ascii(w byte) {
	switch {
	case w >= 1 && w <= 128:
		d.put(w - 1)
	case w >= 130 && w <= 229:
		d.out = append(d.out, '0'+(w-130)/10, '0'+(w-130)%10)
	case w == dmC40:
		d.triples(&c40Basic, c40Shift3)
	case w == dmText:
		d.triples(&textBasic, textShift3)
	case w == dmX12:
		d.x12()
	case w == dmEDIFACT:
		d.edifact()
	case w == dmBase256:
		d.base256()
	case w == dmFNC1:
		d.fnc1()
	case w == dmStructured && d.at == 1:
		d.at += 3 // number of the symbol and of the file
	case w == dmProgram && d.at == 1:
	case w == dmUpper:
		d.upper = true
	case (w == dmMacro5 || w == dmMacro6) && d.at == 1:
		d.out = append(d.out, "[)>\x1e0"...)
		d.out = append(d.out, '5'+w-dmMacro5, gs1.GS)
		d.trailer = "\x1e\x04"
	case w == dmECI:
		d.charset()
	case w == dmUnlatch && d.at == len(d.words): // some encoders end so
	default:
		d.bad = true
	}
}

// charset begins another character set (5.2.4.7).
func (d *dmReader) charset() {
	d.flush()
	d.eci = true
	switch a := int(d.next()); {
	case a == 0:
		d.bad = true
	case a <= 127:
		d.set = a - 1
	case a <= 191:
		d.set = (a-128)*254 + 127 + int(d.next()) - 1
	default:
		d.set = (a-192)*64516 + 16383 + (int(d.next())-1)*254
		d.set += int(d.next()) - 1
	}
}

// flush makes text of what was read in one character set. Without a name it is
// ISO 8859-1, or UTF-8 where an encoder wrote that without saying so.
func (d *dmReader) flush() {
	d.all = append(d.all, d.out...)
	switch set, err := common.GetCharacterSetECIByValue(d.set); {
	case d.set < 0:
		d.text = append(d.text, valid(string(d.out))...)
	case err != nil || set == nil:
		d.binary = d.binary || len(d.out) > 0
	default:
		s, err := set.GetCharset().NewDecoder().Bytes(d.out)
		if err != nil || bytes.ContainsRune(s, utf8.RuneError) { // what cannot be
			d.binary = true
		}
		d.text = append(d.text, s...)
	}
	d.out = d.out[:0]
}

// latin1 gives bytes of ISO 8859-1 as UTF-8.
func latin1(b []byte) string {
	r := make([]rune, len(b))
	for i, c := range b {
		r[i] = rune(c)
	}
	return string(r)
}

// Characters of C40 and Text by their values (table 5 and annex C); the first
// three are shifts.
var (
	c40Basic   = [40]byte([]byte("\x00\x01\x02 0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	textBasic  = [40]byte([]byte("\x00\x01\x02 0123456789abcdefghijklmnopqrstuvwxyz"))
	bothShift2 = "!\"#$%&'()*+,-./:;<=>?@[\\]^_"
	c40Shift3  = "`abcdefghijklmnopqrstuvwxyz{|}~\x7f"
	textShift3 = "`ABCDEFGHIJKLMNOPQRSTUVWXYZ{|}~\x7f"
)

// three gives the three values in the next two codewords, or false at the end
// of an encodation of triples: unlatched, or one codeword left.
func (d *dmReader) three() (v [3]int, ok bool) {
	if len(d.words)-d.at < 2 {
		return v, false
	}
	a := d.next()
	if a == dmUnlatch {
		return v, false
	}
	n := int(a)<<8 + int(d.next()) - 1
	v = [3]int{n / 1600, n / 40 % 40, n % 40}
	if n < 0 || v[0] > 39 {
		d.bad = true
		return v, false
	}
	return v, true
}

// triples reads C40 or Text.
func (d *dmReader) triples(basic *[40]byte, shift3 string) {
	shift := 0
	for v, ok := d.three(); ok; v, ok = d.three() {
		for _, c := range v {
			was := shift
			shift = 0
			switch {
			case was == 0 && c < 3:
				shift = c + 1
			case was == 0:
				d.put(basic[c])
			case was == 1 && c < 32:
				d.put(byte(c))
			case was == 2 && c < len(bothShift2):
				d.put(bothShift2[c])
			case was == 2 && c == 27:
				d.fnc1()
			case was == 2 && c == 30:
				d.upper = true
			case was == 3 && c < len(shift3):
				d.put(shift3[c])
			default:
				d.bad = true
			}
		}
	}
}

func (d *dmReader) x12() {
	const set = "\r*> 0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
	for v, ok := d.three(); ok; v, ok = d.three() {
		for _, c := range v {
			d.put(set[c])
		}
	}
}

// edifact reads four characters of six bits in three codewords.
func (d *dmReader) edifact() {
	for len(d.words)-d.at > 2 {
		bits, had := 0, 0
		for range 4 {
			for had < 6 {
				bits, had = bits<<8|int(d.next()), had+8
			}
			had -= 6
			c := byte(bits>>had) & 63
			if c == 31 { // unlatch; what is left of the codeword is filled
				return
			}
			d.put((c ^ 32) + 32)
		}
	}
}

// base256 reads bytes as they are; codewords are mixed with a sequence that
// depends on where they stand (annex B.2).
func (d *dmReader) base256() {
	byteAt := func() int {
		w := int(d.next())
		return (w - (149*d.at)%255 - 1 + 512) % 256
	}
	n := byteAt()
	switch {
	case n == 0:
		n = len(d.words) - d.at
	case n >= 250:
		n = 250*(n-249) + byteAt()
	}
	if n > len(d.words)-d.at {
		d.bad = true
		return
	}
	for range n {
		d.out = append(d.out, byte(byteAt()))
	}
}
