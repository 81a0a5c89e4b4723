package table

import (
	"math"
	"regexp"
	"strings"

	"forkstock/internal/fault"
)

// A number is a cell that holds a number, taken apart without floats.
type number struct {
	negative bool
	whole    string // digits before the mark, no thousands marks
	part     string // digits behind the mark
	mark     rune   // of decimals: . or ,; 0 where the number has none
	sure     bool   // false: mark may as well stand between thousands, as in 1.250
	currency string // EUR for €, GBP for £, else as it is written
}

// sums of money carry one of these; others are no numbers (common practice, no
// source; the codes are of ISO 4217).
const currencies = `\p{Sc}|(?i:EUR|EURO|USD|GBP|CHF|SEK|NOK|DKK|PLN|CZK|HUF|JPY|AUD|CAD|NZD|SFr\.?|Fr\.?|kr\.?|zł|Kč)`

// amountForm is a number with a currency before or behind, a minus before or
// behind or brackets instead, and ",-" or ".--" for even amounts.
var amountForm = regexp.MustCompile(`^(\()?([-+−–])? ?(` + currencies + `)? ?([-+−–])? ?` +
	`([0-9.,' ]*[0-9])([.,][-–—]{1,2})? ?([-−–])? ?(` + currencies + `)?(\))?$`)

// alike are the marks and blanks that stand for another one.
var alike = strings.NewReplacer("\u00a0", " ", "\u202f", " ", "\u2009", " ", "’", "'", "`", "'", "´", "'", "\t", " ")

const digits = "0123456789"

// parseNumber takes a number apart; not ok: it is none.
func parseNumber(text string) (n number, ok bool) {
	if !strings.ContainsAny(text, digits) || len(text) > 60 {
		return n, false
	}
	m := amountForm.FindStringSubmatch(strings.TrimSpace(alike.Replace(text)))
	if m == nil || (m[1] == "") != (m[9] == "") || m[3] != "" && m[8] != "" {
		return n, false
	}
	minus := 0
	for _, sign := range []string{m[1], m[2], m[4], m[7]} {
		if sign != "" && sign != "+" {
			minus++
		}
	}
	n.negative, n.currency = minus == 1, currency(m[3]+m[8])
	if minus > 1 || !n.digits(m[5]) {
		return n, false
	}
	return n, m[6] == "" || n.even(rune(m[6][0]))
}

// even takes in the mark of an even amount: 12,- or 1.250,-; false: there was
// such a mark before.
func (n *number) even(mark rune) bool {
	if n.mark == mark || n.mark != 0 && n.sure {
		return false
	}
	n.whole, n.part, n.mark, n.sure = n.whole+n.part, "", mark, true
	return true
}

// currency gives the ISO 4217 code of what stands beside an amount, where it
// is clear.
func currency(text string) string {
	switch text {
	case "€":
		return "EUR"
	case "£":
		return "GBP"
	}
	return strings.ToUpper(text)
}

// digits takes the digits and their marks apart; false: their order makes no
// number.
func (n *number) digits(text string) (ok bool) {
	n.sure = true
	last := strings.LastIndexAny(text, ".,")
	if last < 0 {
		n.whole, ok = ungroup(text)
		return ok
	}
	before, part, mark := text[:last], text[last+1:], rune(text[last])
	if strings.ContainsRune(before, mark) { // 1.234.567: the other one is that of decimals
		n.mark = '.' + ',' - mark
		n.whole, ok = ungroup(text)
		return ok
	}
	n.mark, n.part = mark, part
	n.whole, ok = ungroup(before)
	plain := before != "" && before[0] != '0' && len(before) <= 3 && n.whole == before
	n.sure = !plain || len(part) != 3
	return ok && strings.Trim(part, digits) == ""
}

// ungroup takes the thousands marks out of a whole number; false: they do not
// stand between groups of three, or are not all the same.
func ungroup(text string) (string, bool) {
	i := strings.IndexAny(text, ".,' ")
	if i < 0 {
		return text, true
	}
	groups := strings.Split(text, text[i:i+1])
	for n, g := range groups {
		if strings.Trim(g, digits) != "" || n > 0 && len(g) != 3 || n == 0 && (g == "" || len(g) > 3) {
			return "", false
		}
	}
	return strings.Join(groups, ""), true
}

// settle decides a number like 1.250 by the column's mark of decimals; false:
// that is not known.
func (n *number) settle(decimal rune) bool {
	if n.sure || n.mark == 0 {
		return true
	}
	if decimal == 0 {
		return false
	}
	if n.mark != decimal {
		n.whole, n.part, n.mark = n.whole+n.part, "", 0
	}
	n.sure = true
	return true
}

// Money reads a cell as an amount in minor units of a currency with two of
// them (cents), without floats: 12.50, 12,5, 1.250,00 €, CHF 1'250.-, (3.00).
// What 1.250 is, the column's mark of decimals decides. The currency is that
// beside the amount, as its ISO 4217 code for € and £, else as written; ""
// where there is none. Error: Invalid, also for an empty cell.
func Money(c Cell) (minor int64, currency string, err error) {
	n, err := readNumber(c)
	if err != nil {
		return 0, "", err
	}
	part := strings.TrimRight(n.part, "0")
	if len(part) > 2 {
		return 0, "", fault.New(fault.Invalid, "table.fine_money", c.Text).WithHint("table.fine_money.hint")
	}
	minor, ok := toInt(n.whole+(part + "00")[:2], n.negative)
	if !ok {
		return 0, "", fault.New(fault.Invalid, "table.large", c.Text).WithHint("table.large.hint")
	}
	return minor, n.currency, nil
}

// Integer reads a cell as a whole number: 2, 2,00, 1.000 where the column's
// mark is a comma. Error: Invalid, also for an empty cell and for 2,5.
func Integer(c Cell) (int64, error) {
	n, err := readNumber(c)
	if err != nil {
		return 0, err
	}
	if strings.Trim(n.part, "0") != "" || n.currency != "" {
		return 0, fault.New(fault.Invalid, "table.no_integer", c.Text).WithHint("table.no_integer.hint")
	}
	i, ok := toInt(n.whole, n.negative)
	if !ok {
		return 0, fault.New(fault.Invalid, "table.large", c.Text).WithHint("table.large.hint")
	}
	return i, nil
}

func readNumber(c Cell) (number, error) {
	n, ok := parseNumber(c.Text)
	if !ok || c.Kind == Date {
		return n, fault.New(fault.Invalid, "table.no_number", c.Text).WithHint("table.no_number.hint")
	}
	if !n.settle(c.Decimal) {
		return n, fault.New(fault.Invalid, "table.which_mark", c.Text).WithHint("table.which_mark.hint")
	}
	return n, nil
}

// toInt gives digits as a number; false: there are too many.
func toInt(digits string, negative bool) (i int64, ok bool) {
	for _, c := range digits {
		d := int64(c - '0')
		if i > (math.MaxInt64-d)/10 {
			return 0, false
		}
		i = 10*i + d
	}
	if negative {
		i = -i
	}
	return i, true
}
