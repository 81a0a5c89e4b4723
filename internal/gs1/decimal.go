package gs1

import (
	"strconv"
	"strings"
)

// A Decimal is an exact number: Units divided by ten to the power of Places.
type Decimal struct {
	Units  int64
	Places int
}

// String writes d with a point: 12.50.
func (d Decimal) String() string {
	digits := strconv.FormatInt(d.Units, 10)
	if d.Places == 0 {
		return digits
	}
	if short := d.Places + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	point := len(digits) - d.Places
	return digits[:point] + "." + digits[point:]
}

// Decimal gives the number of an element whose AI tells by its last digit
// where the point stands: measures (AI 31nn to 36nn, in the unit that the AI
// means), amounts and prices (390n to 393n, 395n) and per cent off (394n). The
// currency is the ISO 4217 number where the value holds one (391n, 393n). False
// for other elements. Source: GS1 General Specifications, clauses 3.6 to 3.8.
func (e Element) Decimal() (d Decimal, currency string, ok bool) {
	f, known := formats[e.AI]
	if !known || len(e.AI) != 4 || e.AI < "3100" || e.AI > "3959" || f.wrong(e.Value) != "" {
		return Decimal{}, "", false
	}
	value := e.Value
	if kind := e.AI[:3]; kind == "391" || kind == "393" {
		currency, value = value[:3], value[3:]
	}
	units, err := strconv.ParseInt(value, 10, 64)
	return Decimal{units, int(e.AI[3] - '0')}, currency, err == nil
}
