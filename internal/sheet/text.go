package sheet

import (
	"strings"
)

// Align says where in its box a text stands.
type Align int

// The places of a text in its box.
const (
	Left Align = iota
	Center
	Right
)

// plain makes a text that the fonts and the file can hold: one line, of the
// basic plane.
func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r < ' ' || r == 0x7f:
			return ' '
		case r > 0xffff:
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(text, "\ufffd"))
}

// font makes a font the current one.
func (d *Doc) font(f Font) {
	style := ""
	if f.Bold {
		style = "B"
	}
	d.pdf.SetFont("sans", style, f.Points)
}

// Width gives how wide a text is, in mm.
func (d *Doc) Width(f Font, text string) float64 {
	d.font(f)
	return d.pdf.GetStringWidth(plain(text))
}

// Line writes a text into a box, in the middle of its height. What does not fit
// into the width is cut, with an ellipsis; cut tells so.
func (d *Doc) Line(b Box, f Font, align Align, text string) (cut bool) {
	text, cut = d.Cut(f, plain(text), b.Width)
	x := b.X
	switch wide := d.Width(f, text); align {
	case Center:
		x += (b.Width - wide) / 2
	case Right:
		x += b.Width - wide
	}
	// Capitals of the font are 0.729 of its size high.
	d.pdf.Text(x, b.Y+b.Height/2+0.729*f.Points*inch/72/2, text)
	return cut
}

// Cut gives as much of a text as fits into a width, with an ellipsis where that
// is not all.
func (d *Doc) Cut(f Font, text string, width float64) (fits string, cut bool) {
	const slack = 1e-6
	if d.Width(f, text) <= width+slack {
		return text, false
	}
	runes := []rune(text)
	low, high := 0, len(runes) // so many fit, so many do not
	for high-low > 1 {
		if n := (low + high) / 2; d.Width(f, string(runes[:n])+"…") <= width+slack {
			low = n
		} else {
			high = n
		}
	}
	return strings.TrimRight(string(runes[:low]), " ") + "…", true
}

// Shrunk gives a font in which a text fits into a width: f, or one that is
// smaller by steps of half a point, least points at the least.
func (d *Doc) Shrunk(f Font, text string, width, least float64) Font {
	for f.Points > least && d.Width(f, text) > width {
		f.Points = max(f.Points-0.5, least)
	}
	return f
}

// Wrap breaks a text between words into lines of a width, most at the most; the
// last holds the rest, however long.
func (d *Doc) Wrap(f Font, text string, width float64, most int) (lines []string) {
	for _, word := range strings.Fields(plain(text)) {
		last := len(lines) - 1
		switch {
		case last >= 0 && (len(lines) >= most || d.Width(f, lines[last]+" "+word) <= width):
			lines[last] += " " + word
		default:
			lines = append(lines, word)
		}
	}
	return lines
}

// Broken gives a text of which no word is wider than a width: longer ones are
// broken with hyphens.
func (d *Doc) Broken(f Font, text string, width float64) string {
	var all []string
	for _, word := range strings.Fields(plain(text)) {
		for d.Width(f, word) > width {
			n := 1
			for runes := []rune(word); n+1 < len(runes) && d.Width(f, string(runes[:n+1])+"-") <= width; n++ {
			}
			if runes := []rune(word); len(runes) > 2 {
				all, word = append(all, string(runes[:n])+"-"), string(runes[n:])
				continue
			}
			break
		}
		all = append(all, word)
	}
	return strings.Join(all, " ")
}
