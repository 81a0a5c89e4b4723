package catalog

import (
	"regexp"
	"strconv"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// Viscosity is a kinematic viscosity in thousandths of a cSt (1 cSt is 1 mm2/s),
// at 40 C where an oil's is told. 0: not known.
type Viscosity int64

const mostViscosity Viscosity = 1_000_000 // 1000 cSt: far above any fork oil

var viscosityForm = regexp.MustCompile(`(?i)^(\d{1,4})(?:[.,](\d{1,3}))? ?(?:cst|mm2/s|mm²/s)?$`)

// ParseViscosity reads "32.5", "32,5 cSt" or "32.5 mm2/s". Error: Invalid.
func ParseViscosity(text string) (Viscosity, error) {
	part := viscosityForm.FindStringSubmatch(text)
	if part == nil {
		return 0, fault.New(fault.Invalid, "catalog.bad_cst", short(text)).WithHint("catalog.bad_cst.hint")
	}
	whole, _ := strconv.ParseInt(part[1], 10, 64)
	fine, _ := strconv.ParseInt((part[2] + "000")[:3], 10, 64)
	v := Viscosity(whole*1000 + fine)
	if v == 0 || v > mostViscosity {
		return 0, fault.New(fault.Invalid, "catalog.bad_cst", short(text)).WithHint("catalog.bad_cst.hint")
	}
	return v, nil
}

// String gives v in cSt with a point, without the unit.
func (v Viscosity) String() string { return v.Screen('.') }

// Screen gives v in cSt with that decimal mark. Like a length, it is a whole
// number of thousandths.
func (v Viscosity) Screen(mark rune) string { return measure.Length(v).Screen(mark) }
