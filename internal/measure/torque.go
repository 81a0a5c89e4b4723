package measure

import (
	"math/big"
	"strings"
)

// Torque is a torque in millinewton metres.
type Torque int64

const mostTorque Torque = 10_000_000 // the most that ParseTorque takes: 10,000 N m

// Millinewton metres in each unit.
var (
	newtonMetre        = exact("1000")
	poundFoot          = exact("1355.8179483314004")
	poundInch          = new(big.Rat).Quo(poundFoot, big.NewRat(12, 1))
	kilogramMetre      = exact("9806.65")
	kilogramCentimetre = exact("98.0665")
)

// torqueUnits knows units by their lower-case text without spaces, points and
// hyphens. A pound or a kilogram in a torque is always the force.
var torqueUnits = map[string]*big.Rat{
	"nm":    newtonMetre,
	"lbfft": poundFoot, "lbft": poundFoot, "lbsft": poundFoot, "ftlbf": poundFoot, "ftlb": poundFoot, "ftlbs": poundFoot,
	"lbfin": poundInch, "lbin": poundInch, "lbsin": poundInch, "inlbf": poundInch, "inlb": poundInch, "inlbs": poundInch,
	"kgfm": kilogramMetre, "kgm": kilogramMetre, "mkgf": kilogramMetre, "mkg": kilogramMetre,
	"mkp": kilogramMetre, "kpm": kilogramMetre,
	"kgfcm": kilogramCentimetre, "kgcm": kilogramCentimetre, "cmkgf": kilogramCentimetre, "cmkg": kilogramCentimetre,
	"cmkp": kilogramCentimetre, "kpcm": kilogramCentimetre,
}

var unitJoins = strings.NewReplacer(" ", "", ".", "", "·", "", "⋅", "", "-", "", "*", "")

// ParseTorque reads a torque with its unit: N m, lbf ft, lbf in, kgf m, kgf cm
// and mkp in any order and spelling of the two, rounded half to even to a
// millinewton metre. It returns an Invalid fault for any other text, for what
// rounds to zero, and above 10,000 N m.
func ParseTorque(text string) (Torque, error) {
	s, ok := tidy(text)
	part := quantityForm.FindStringSubmatch(s)
	if !ok || part == nil {
		return 0, bad("bad_torque", "torque", text)
	}
	factor, ok := torqueUnits[unitJoins.Replace(strings.ToLower(part[2]))]
	if !ok {
		return 0, bad("bad_torque", "torque", text)
	}
	mnm, ok := round(new(big.Rat).Mul(rational(part[1]), factor), int64(mostTorque))
	if !ok {
		return 0, bad("torque_range", "torque", text, mostTorque)
	}
	return Torque(mnm), nil
}

// String gives "25 N m" with a point.
func (t Torque) String() string { return t.Screen('.') }

// Screen gives t in N m, with the unit and that decimal mark.
func (t Torque) Screen(mark rune) string { return decimal(int64(t), mark) + " N m" }
