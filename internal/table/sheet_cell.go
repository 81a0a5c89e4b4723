package table

import (
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// cell makes a Cell of what the XML says and what the sheet shows.
func (r *sheetRows) cell(n note, shown string) Cell {
	if n.has && !n.valued {
		return Cell{Text: "=" + n.formula, Kind: Formula}
	}
	switch n.kind {
	case "", "n":
		if r.from.dated(n.style) {
			if text, ok := isoDate(n.value, r.from.from1904); ok {
				return Cell{Text: text, Kind: Date}
			}
		}
		return Cell{Text: allDigits(shown, n.value), Kind: Number, Decimal: '.'}
	case "d":
		return Cell{Text: n.value, Kind: Date}
	case "str", "s", "inlineStr":
		return unguard(shown, Plain)
	}
	return Cell{Text: shown} // true and false, errors
}

// isoDate gives a day number as an ISO 8601 date, with the time of day where
// it has one, or as a time of day alone.
func isoDate(value string, from1904 bool) (string, bool) {
	days, err := strconv.ParseFloat(value, 64)
	if err != nil {
		return "", false
	}
	at, err := excelize.ExcelDateToTime(days, from1904)
	switch {
	case err != nil:
		return "", false
	case days < 1 && !from1904:
		return at.Format("15:04:05"), true
	case days == float64(int64(days)):
		return at.Format("2006-01-02"), true
	}
	return at.Format("2006-01-02 15:04:05"), true
}

// allDigits gives the text that a sheet shows of a number, or where that is
// shortened by a power of ten all the digits of the value in the file.
func allDigits(shown, value string) string {
	if !scientific.MatchString(shown) && !scientific.MatchString(value) {
		return shown
	}
	if !scientific.MatchString(shown) && shown != value && shown != "" {
		return shown // a format of its own
	}
	mantissa, exponent, _ := strings.Cut(strings.ToUpper(value), "E")
	power, err := strconv.Atoi(exponent)
	if exponent == "" {
		power, err = 0, nil
	}
	sign := ""
	if strings.HasPrefix(mantissa, "-") {
		sign, mantissa = "-", mantissa[1:]
	}
	whole, part, _ := strings.Cut(mantissa, ".")
	point := len(whole) + power
	if err != nil || point > 400 || point < -400 || strings.Trim(whole+part, digits) != "" {
		return shown
	}
	all := whole + part
	if point <= 0 {
		all, point = strings.Repeat("0", 1-point)+all, 1
	}
	if point > len(all) {
		all += strings.Repeat("0", point-len(all))
	}
	text := strings.TrimRight(all[:point]+"."+all[point:], "0")
	if whole := strings.TrimLeft(text, "0"); whole != "" && whole[0] != '.' {
		text = whole
	}
	return sign + strings.TrimSuffix(text, ".")
}
