package scanner

import "unicode"

// A hand scanner on a cable is a keyboard: it presses the keys on which, on
// the keyboard that it is set to, its characters are. A computer set to another
// keyboard types what is on those keys there. Most scanners come set to the
// keyboard of the United States.

// The keys of four rows, the same key at the same place: what they type alone,
// and with shift. NUL types nothing. Source: X11's xkeyboard-config, symbols us,
// de (basic) and fr (azerty), which agree with what other systems type.
const (
	usKeys      = "`1234567890-=qwertyuiop[]\\asdfghjkl;'zxcvbnm,./ "
	usShifted   = "~!@#$%^&*()_+QWERTYUIOP{}|ASDFGHJKL:\"ZXCVBNM<>? "
	deKeys      = "^1234567890ß´qwertzuiopü+#asdfghjklöäyxcvbnm,.- "
	deShifted   = "°!\"§$%&/()=?`QWERTZUIOPÜ*'ASDFGHJKLÖÄYXCVBNM;:_ "
	frKeys      = "²&é\"'(-è_çà)=azertyuiop^$*qsdfghjklmùwxcvbn,;:! "
	frShifted   = "\x001234567890°+AZERTYUIOP¨£µQSDFGHJKLM%WXCVBN?./§ "
	keys        = len(usKeys)
	lettersFlip = 'l' // caps lock turns letters round
	allFlip     = 'a' // and on some keyboards every key
)

// A keyboard is what a computer may be set to while its scanner is set to the
// United States: the character that was meant, by the one that came.
type keyboard struct {
	name  string
	meant map[rune]rune
}

// keyboards are the settings that are looked for. The names are ids of words.
var keyboards = []keyboard{
	newKeyboard("scanner.keyboard.caps", usKeys, usShifted, lettersFlip),
	newKeyboard("scanner.keyboard.de", deKeys, deShifted, 0),
	newKeyboard("scanner.keyboard.de_caps", deKeys, deShifted, lettersFlip),
	newKeyboard("scanner.keyboard.de_caps", deKeys, deShifted, allFlip),
	newKeyboard("scanner.keyboard.fr", frKeys, frShifted, 0),
	newKeyboard("scanner.keyboard.fr_caps", frKeys, frShifted, lettersFlip),
	newKeyboard("scanner.keyboard.fr_caps", frKeys, frShifted, allFlip),
}

func newKeyboard(name, alone, shifted string, caps rune) keyboard {
	k := keyboard{name, map[rune]rune{'\x1d': '\x1d'}}
	lower, upper := []rune(alone), []rune(shifted)
	for i := range keys {
		low, up := lower[i], upper[i]
		if caps == allFlip || caps == lettersFlip && unicode.IsLetter(low) && unicode.ToUpper(low) == up {
			low, up = up, low
		}
		k.meant[up], k.meant[low] = rune(usShifted[i]), rune(usKeys[i])
	}
	delete(k.meant, 0)
	return k
}

// read gives what was meant by text; false where the keyboard cannot type it,
// or where it is the text itself.
func (k keyboard) read(text string) (string, bool) {
	out := make([]rune, 0, len(text))
	for _, r := range text {
		m, ok := k.meant[r]
		if !ok {
			return "", false
		}
		out = append(out, m)
	}
	return string(out), string(out) != text
}

// typing gives what the keyboard types where text was meant; false where it
// cannot. It is the way back of read.
func (k keyboard) typing(text string) (string, bool) {
	back := make(map[rune]rune, len(k.meant))
	for came, meant := range k.meant {
		back[meant] = came
	}
	out := make([]rune, 0, len(text))
	for _, r := range text {
		c, ok := back[r]
		if !ok {
			return "", false
		}
		out = append(out, c)
	}
	return string(out), true
}
