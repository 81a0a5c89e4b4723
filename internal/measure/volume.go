package measure

import (
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// Volume is a volume in millilitres.
type Volume int64

const mostVolume Volume = 10_000_000 // the most that ParseVolume takes: 10 m3

// quantityForm: 1 a decimal number, 2 its unit.
var quantityForm = regexp.MustCompile(`^(\d*[.,]?\d+) ?(\D.*)$`)

// volumeUnits gives the millilitres in each unit, by its lower-case text
// without points.
var volumeUnits = map[string]*big.Rat{
	"ml": exact("1"), "cc": exact("1"), "ccm": exact("1"), "cm3": exact("1"), "cm³": exact("1"),
	"cl": exact("10"), "dl": exact("100"),
	"l": exact("1000"), "litre": exact("1000"), "litres": exact("1000"), "liter": exact("1000"), "liters": exact("1000"),
	"us fl oz": exact("29.5735295625"), "fl oz us": exact("29.5735295625"), "us oz": exact("29.5735295625"),
	"imp fl oz": exact("28.4130625"), "fl oz imp": exact("28.4130625"), "imp oz": exact("28.4130625"),
	"uk fl oz": exact("28.4130625"), "fl oz uk": exact("28.4130625"), "uk oz": exact("28.4130625"),
}

// ParseVolume reads a volume with its unit: mL, cc, ccm, cm3, cL, dL, L, US fl
// oz, Imp fl oz or UK fl oz, rounded half to even to a millilitre. It returns
// an Invalid fault for any other text, an ounce that does not say which, a
// volume that rounds to zero, and above 10 m3.
func ParseVolume(text string) (Volume, error) {
	s, ok := tidy(text)
	part := quantityForm.FindStringSubmatch(s)
	if !ok || part == nil {
		return 0, bad("bad_volume", "volume", text)
	}
	unit := strings.ReplaceAll(strings.ToLower(part[2]), ".", "")
	factor, ok := volumeUnits[unit]
	if !ok {
		if unit == "fl oz" || unit == "oz" {
			return 0, bad("which_ounce", "volume", text)
		}
		return 0, bad("bad_volume", "volume", text)
	}
	ml, ok := round(new(big.Rat).Mul(rational(part[1]), factor), int64(mostVolume))
	if !ok {
		return 0, bad("volume_range", "volume", text, mostVolume)
	}
	return Volume(ml), nil
}

// String gives "480 mL", in every language.
func (v Volume) String() string { return strconv.FormatInt(int64(v), 10) + " mL" }
