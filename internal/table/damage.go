package table

import (
	"regexp"
	"strings"

	"forkstock/internal/fault"
)

// The forms that a spreadsheet gives to a part number or a barcode which it
// took for a number or a date (common practice, no source). What people write
// as part numbers is not among them: 10-1234, 3-10, 3E5, 1E-05, 12.04.20,
// 39-52-11, MAR-10 and DEC-12 in capitals, 10/12.
var (
	// 4.00638E+12, 4,00638E+12, 3.00E+05, 1E+11, 3.00E-05: always with a sign,
	// and with a minus only where the digits have a mark.
	scientific = regexp.MustCompile(`^[-+]?\d{1,3}(?:[.,]\d+)?[Ee]\+\d{1,3}$|^[-+]?\d{1,3}[.,]\d+[Ee]-\d{1,3}$`)

	// 10-Mar, 3-Oct-25, 10. Mrz, 10. Mär 2025; Mar-10, Okt 05, Mär. 25.
	named = regexp.MustCompile(`^(?:0?[1-9]|[12]\d|3[01])(?:[-/ ]|\. ?)(` + months + `)\.?(?:[-/ ](?:\d\d|\d{4}))?$|` +
		`^(` + months + `)\.?[-/ ](?:\d\d|\d{4})$`)

	// 03.10.2025, 3/10/2025, 10-03-2025 and 2025-03-10, also with a time of day.
	dated = regexp.MustCompile(`^(?:` + day + `[-./]` + day + `[-./](?:19|20)\d\d|(?:19|20)\d\d[-./]` + day + `[-./]` + day + `)` +
		`(?:[ T]\d\d?:\d\d(?::\d\d(?:\.\d+)?)?Z?)?$`)

	// 4006381333931.0: a barcode that went through a floating-point number.
	floated = regexp.MustCompile(`^\d{8,}[.,]0+$`)
)

const (
	day = `(?:0?[1-9]|[12]\d|3[01])`

	// English and German months as spreadsheets shorten them, first letter large.
	months = `Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Sept|Oct|Nov|Dec|Mär|Mrz|Mai|Okt|Dez`
)

// failed are the values that spreadsheets show for what they cannot compute,
// in English and German.
var failed = strings.Fields("#N/A #REF! #VALUE! #NAME? #DIV/0! #NUM! #NULL! #SPILL! #NV #BEZUG! #WERT! #ZAHL! #ÜBERLAUF!")

// keptDigits is how many digits a spreadsheet keeps of a number: the rest are
// turned into zeros (IEEE 754 binary64 holds any 15 digits).
const keptDigits = 15

// Damage says why the text of a cell with a part number or a barcode is what a
// spreadsheet made of it, the zero Message where it looks whole. Not for
// columns that hold dates.
func Damage(c Cell) fault.Message {
	text := strings.TrimSpace(c.Text)
	switch {
	case c.Kind == Date, named.MatchString(text), isDate(text):
		return fault.Say("table.harm.date", text)
	case c.Kind == Formula:
		return fault.Say("table.harm.formula", text)
	case scientific.MatchString(text):
		return fault.Say("table.harm.scientific", text)
	case floated.MatchString(text):
		return fault.Say("table.harm.floated", text)
	case isFailed(text):
		return fault.Say("table.harm.failed", text)
	case c.Kind == Number && len(strings.Trim(text, "-")) > keptDigits && strings.Trim(text, digits) == "":
		return fault.Say("table.harm.digits", text, keptDigits)
	}
	return fault.Message{}
}

// isDate reports whether text is a whole date with a month that there is.
func isDate(text string) bool {
	if !dated.MatchString(text) {
		return false
	}
	parts := strings.FieldsFunc(text[:min(len(text), 10)], func(c rune) bool { return c < '0' || c > '9' })
	return isMonth(parts[1]) || len(parts[0]) < 4 && isMonth(parts[0])
}

// isMonth reports whether a day of the month, 1 to 31, is also a month.
func isMonth(day string) bool {
	return len(strings.TrimLeft(day, "0")) == 1 || "10" <= day && day <= "12"
}

func isFailed(text string) bool {
	if len(text) > 2 && strings.Trim(text, "#") == "" { // a column that was too narrow
		return true
	}
	for _, f := range failed {
		if strings.EqualFold(text, f) {
			return true
		}
	}
	return false
}

// unguard makes a Cell of a text and takes the guard off that keeps
// spreadsheets from changing it: ="0391", or an apostrophe before a digit, a
// formula or another apostrophe. Such a one WriteCSV writes itself.
func unguard(text string, kind Kind) Cell {
	if kind != Plain || len(text) < 2 || text[0] != '=' && text[0] != '\'' {
		return Cell{Text: text, Kind: kind}
	}
	if text[0] == '\'' {
		if c := text[1]; c >= '0' && c <= '9' || needsGuard(text[1:]) {
			return Cell{Text: text[1:], Kind: Guarded}
		}
		return Cell{Text: text}
	}
	if n := len(text) - 1; n > 2 && text[1] == '"' && text[n] == '"' {
		inner := strings.ReplaceAll(text[2:n], `""`, "\x00")
		if !strings.ContainsAny(inner, "\"\x00") {
			return Cell{Text: inner, Kind: Guarded}
		}
	}
	return Cell{Text: text}
}

// needsGuard reports whether a spreadsheet could take text for a formula, or
// reading it back would take an apostrophe off: OWASP ASVS 5.0, v5.0.0-1.2.10
// names = + - @, tab and NUL; CR and the apostrophe are ours.
func needsGuard(text string) bool {
	return text != "" && strings.IndexByte("=+-@\t\x00\r'", text[0]) >= 0
}

// totals begin a row that sums up others.
var totals = map[string]bool{
	"total": true, "totals": true, "grandtotal": true, "subtotal": true, "sum": true, "summe": true, "gesamt": true,
	"gesamtsumme": true, "zwischensumme": true, "endsumme": true, "nettosumme": true, "bruttosumme": true, "ubertrag": true,
}

// Total reports whether the row sums up others: its first text is "Total",
// "Summe" or the like, and what follows are numbers or blanks.
func (r Row) Total() bool {
	found := false
	for _, c := range r.Cells {
		text := strings.TrimSpace(c.Text)
		switch {
		case text == "":
		case !found && !totals[fold(text)]:
			return false
		case !found:
			found = true
		default:
			if _, isNumber := parseNumber(text); !isNumber {
				return false
			}
		}
	}
	return found
}
