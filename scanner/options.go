package scanner

import (
	"image"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// Options say what is looked for. The zero value looks for every symbology
// with the usual effort.
type Options struct {
	// Symbologies are those wanted, by the constants of this package; none
	// means all.
	Symbologies []string
	// ITFLengths are how many digits an ITF symbol may have besides 14. Others
	// are refused: a part of a longer symbol is a symbol, too.
	ITFLengths []int
	// Code39Check means that Code 39 symbols close with a check character
	// (modulo 43, ISO/IEC 16388 annex A); those where it is wrong are refused.
	// The text keeps it.
	Code39Check bool
	// Effort is how many points may be looked at before the search ends; 0
	// means UsualEffort. It is a count and no time, so that the same picture
	// always gives the same symbols.
	Effort int
	// Upright means that all symbols lie along the rows of the picture, as
	// under a fixed camera: no turns are tried.
	Upright bool
	// Looks makes Read keep what was seen, see Picture.Looks.
	Looks bool
}

// UsualEffort is what a picture is worth: about half a second where nothing
// is found.
const UsualEffort = 60_000_000

func (o Options) effort() int {
	if o.Effort > 0 {
		return o.Effort
	}
	return UsualEffort
}

// ParseITFLengths reads how many digits ITF symbols may have besides 14, as a
// person writes it: "6, 10", or "none". Error: Invalid.
func ParseITFLengths(text string) ([]int, error) {
	all := []int{}
	words := strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ';' || c == ' ' })
	if len(words) == 1 && (words[0] == "none" || words[0] == "keine") {
		return all, nil
	}
	for _, word := range words {
		n, err := strconv.Atoi(word)
		if err != nil || n < fewestITF || n > mostITF || n%2 == 1 {
			return nil, fault.New(fault.Invalid, "scanner.bad_itf", word).WithHint("scanner.bad_itf_hint", fewestITF, mostITF)
		}
		if n != 14 && !slices.Contains(all, n) {
			all = append(all, n)
		}
	}
	slices.Sort(all)
	return all, nil
}

// wants reports whether one of the symbologies is looked for.
func (o Options) wants(symbologies ...string) bool {
	return len(o.Symbologies) == 0 ||
		slices.ContainsFunc(symbologies, func(s string) bool { return slices.Contains(o.Symbologies, s) })
}

// fails says what is wrong with a text that was read without doubt: its
// length or its check digit; the zero message where nothing is.
func (o Options) fails(symbology, text string) fault.Message {
	switch {
	case symbology == ITF && len(text) != 14 && !slices.Contains(o.ITFLengths, len(text)):
		return fault.Say("scanner.itf_length", len(text))
	case symbology == ITF && len(text) == 14 && !gs1.Valid(text):
		return fault.Say("scanner.check_digit")
	case symbology == Code39 && o.Code39Check && !mod43(text):
		return fault.Say("scanner.check_character")
	}
	return fault.Message{}
}

// aim gives the AIM identifier (ISO/IEC 15424) of a linear symbol. With an
// add-on an EAN-13, UPC-A or UPC-E symbol is one of a pair. A check digit that
// was compared and is told makes ITF and Code 39 a 1.
func (o Options) aim(symbology, text, addOn string) string {
	switch symbology {
	case EAN13, UPCA, UPCE:
		if addOn != "" {
			return "]E3"
		}
		return "]E0"
	case EAN8:
		return "]E4"
	case Code128:
		return "]C0"
	case GS1128:
		return "]C1"
	case Code39:
		if o.Code39Check {
			return "]A1"
		}
		return "]A0"
	case GS1DataBar:
		return "]e0"
	case Code93:
		return "]G0"
	case Codabar:
		return "]F0"
	case ITF:
		if len(text) == 14 {
			return "]I1"
		}
		return "]I0"
	}
	return ""
}

// code39Set are the characters of Code 39 by their value (ISO/IEC 16388).
const code39Set = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. $/+%"

// mod43 reports whether the last character of a Code 39 text is the check
// character of the others.
func mod43(text string) bool {
	if len(text) < 2 {
		return false
	}
	sum := 0
	for _, c := range text[:len(text)-1] {
		sum += slices.Index([]rune(code39Set), c)
	}
	return code39Set[sum%43] == text[len(text)-1]
}

// Frame gives a camera's luminance as a picture, without copying it: rows of
// width bytes, 0 black to 255 white, each stride bytes after the one before.
// An error is of kind invalid.
func Frame(width, height, stride int, luminance []byte) (*image.Gray, error) {
	if width < 1 || height < 1 || stride < width || height > MaxPixels/stride || len(luminance) < stride*(height-1)+width {
		return nil, fault.New(fault.Invalid, "scanner.frame", width, height, stride, len(luminance)).
			WithHint("scanner.frame_hint")
	}
	return &image.Gray{Pix: luminance, Stride: stride, Rect: image.Rect(0, 0, width, height)}, nil
}
