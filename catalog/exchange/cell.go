package exchange

import (
	"regexp"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/measure"
	"forkstock/internal/table"
)

// mostText is how many characters a cell may have.
const mostText = 500

// read gives the canonical text of a cell of column c that is not blank. unit
// is what the header says, "" where it says none.
func (c *Column) read(cell table.Cell, unit, currency string) (string, error) {
	text := strings.TrimSpace(cell.Text)
	if utf8.RuneCountInString(text) > mostText {
		return "", fault.New(fault.Invalid, "exchange.long", mostText)
	}
	if strings.Contains(text, divider) {
		return "", fault.New(fault.Invalid, "exchange.unprintable").WithHint("exchange.unprintable.hint")
	}
	switch c.Form {
	case Number:
		return readNumber(cell, text)
	case Code:
		if err := damage(cell); err != nil {
			return "", err
		}
		key, _ := gs1.Key("", text)
		return key, nil
	case GTIN:
		return readGTIN(cell, text)
	case Whole:
		if plain(text) {
			return strings.TrimLeft(text[:len(text)-1], "0") + text[len(text)-1:], nil
		}
		n, err := table.Integer(cell)
		if err == nil && n < 0 {
			err = fault.New(fault.Invalid, "exchange.negative", text).WithHint("exchange.negative.hint")
		}
		return strconv.FormatInt(n, 10), err
	case Pieces:
		return readPieces(cell, text)
	case Money:
		return readMoney(cell, unit, currency)
	case Percent:
		return readPercent(cell)
	case Length:
		return readLength(cell, text, unit)
	case Sized:
		return readSize(cell, text, unit)
	case Thread:
		t, err := measure.ParseThread(text)
		if err == nil && ownThread.MatchString(text) {
			return text, nil // M6x1.0 stays as it was entered
		}
		return t.String(), err
	case Day:
		return readDay(text)
	case YesNo, Word:
		return c.choose(text)
	case Lines:
		return printable(text, true)
	}
	return printable(strings.Join(strings.Fields(text), " "), false)
}

// printable refuses what no screen shows.
func printable(text string, lines bool) (string, error) {
	for _, r := range text {
		if !unicode.IsGraphic(r) && !(lines && r == '\n') || r == utf8.RuneError {
			return "", fault.New(fault.Invalid, "exchange.unprintable").WithHint("exchange.unprintable.hint")
		}
	}
	return text, nil
}

// damage refuses what a spreadsheet made of a number.
func damage(cell table.Cell) error {
	if why := table.Damage(cell); !why.IsZero() {
		return &fault.Error{Kind: fault.Invalid, Message: why, Hint: fault.Say("exchange.damaged.hint")}
	}
	return nil
}

func readNumber(cell table.Cell, text string) (string, error) {
	if err := damage(cell); err != nil {
		return "", err
	}
	if catalog.Normal(text) == "" {
		return "", fault.New(fault.Invalid, "exchange.no_number", text)
	}
	return printable(text, false)
}

func readGTIN(cell table.Cell, text string) (string, error) {
	if err := damage(cell); err != nil {
		return "", err
	}
	digits := strings.NewReplacer(" ", "", "-", "").Replace(text)
	if !gs1.Valid(digits) {
		return "", fault.New(fault.Invalid, "exchange.bad_gtin", text).WithHint("exchange.bad_gtin.hint")
	}
	key, _ := gs1.Key("", digits)
	return key, nil
}

// plain reports whether text is a number of a few digits and no more: such are
// most of a long list.
func plain(text string) bool {
	return len(text) <= 9 && strings.Trim(text, "0123456789") == ""
}

// readPieces reads how many pieces a pack has.
func readPieces(cell table.Cell, text string) (string, error) {
	n, err := int64(0), error(nil)
	if plain(text) {
		n, err = strconv.ParseInt(text, 10, 64)
	} else {
		n, err = table.Integer(cell)
	}
	if err == nil && n > 0 {
		return strconv.FormatInt(n, 10), nil
	}
	return "", fault.New(fault.Invalid, "exchange.bad_pieces", clipped(text)).WithHint("exchange.bad_pieces.hint").WithCause(err)
}

// cents gives the minor units of an amount with two decimals, such as 12.50 or
// 12,50.
func cents(text string) (minor string, ok bool) {
	n := len(text) - 3
	if n < 1 || text[n] != '.' && text[n] != ',' || !plain(text[:n]) || !plain(text[n+1:]) {
		return "", false
	}
	minor = strings.TrimLeft(text[:n]+text[n+1:], "0")
	if minor == "" {
		minor = "0"
	}
	return minor, true
}

func readMoney(cell table.Cell, unit, currency string) (string, error) {
	if minor, ok := cents(strings.TrimSpace(cell.Text)); ok && unit == "" {
		return minor, nil
	}
	minor, told, err := table.Money(cell)
	if err != nil {
		return "", err
	}
	if minor < 0 {
		return "", fault.New(fault.Invalid, "exchange.negative", strings.TrimSpace(cell.Text)).WithHint("exchange.negative.hint")
	}
	if told == "" {
		told = currencyOf(unit)
	}
	if told != "" && told != currency {
		return "", fault.New(fault.Invalid, "exchange.currency", told, currency)
	}
	return strconv.FormatInt(minor, 10), nil
}

var currencyCode = regexp.MustCompile(`(?i)^(?:in )?(€|£|\$|euro|[a-z]{3})(?: ?/.*)?$`)

// currencyOf gives the currency that a header states, "" where it states none.
func currencyOf(unit string) string {
	m := currencyCode.FindStringSubmatch(strings.TrimSpace(unit))
	if m == nil {
		return ""
	}
	switch code := strings.ToUpper(m[1]); code {
	case "€", "EURO":
		return "EUR"
	case "£":
		return "GBP"
	case "PCS", "STK":
		return ""
	default:
		return code
	}
}

func readPercent(cell table.Cell) (string, error) {
	cell.Text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(cell.Text), "%"))
	hundredths, currency, err := table.Money(cell)
	if err == nil && (hundredths < 0 || hundredths > 100_00 || currency != "") {
		err = fault.New(fault.Invalid, "exchange.bad_percent", cell.Text).WithHint("exchange.bad_percent.hint")
	}
	return strconv.FormatInt(hundredths, 10), err
}

// ownThread is a metric thread as the shop itself writes it.
var ownThread = regexp.MustCompile(`^M\d+(?:x[\d.]+)?$`)

// readSize reads the size of a ring or a thread.
func readSize(cell table.Cell, text, unit string) (string, error) {
	if err := damage(cell); err != nil {
		return "", err
	}
	if t, err := measure.ParseThread(text); err == nil {
		return t.String(), nil
	}
	if inches[strings.ToLower(unit)] {
		return "", fault.New(fault.Invalid, "exchange.size_in_inches", text).WithHint("exchange.size_in_inches.hint")
	}
	s, err := measure.ParseSize(text)
	return s.String(), err
}

// inches are the units of a header that mean inches.
var inches = map[string]bool{"in": true, "inch": true, "inches": true, "zoll": true, `"`: true, "″": true}

func readLength(cell table.Cell, text, unit string) (string, error) {
	if err := damage(cell); err != nil {
		return "", err
	}
	if inches[strings.ToLower(unit)] && strings.Trim(text, "0123456789.,/ -") == "" {
		text += " in"
	}
	l, err := measure.ParseLength(text)
	return l.String(), err
}

var dayForms = []string{time.DateOnly, "2.1.2006", "2006-01-02T15:04:05"}

// readDay reads a day as ISO 8601 has it, or as German files write it. A day
// with strokes is refused: 3/4 is in March or in April.
func readDay(text string) (string, error) {
	for _, form := range dayForms {
		if t, err := time.Parse(form, text); err == nil && t.Year() >= 1980 && t.Year() < 2200 {
			return t.Format(time.DateOnly), nil
		}
	}
	return "", fault.New(fault.Invalid, "exchange.bad_day", text).WithHint("exchange.bad_day.hint")
}

// yes and no, as people fill them in.
var yesNo = map[string]string{
	"yes": "yes", "y": "yes", "x": "yes", "1": "yes", "true": "yes", "ja": "yes", "j": "yes",
	"no": "no", "n": "no", "0": "no", "false": "no", "nein": "no", "-": "no",
}

// words of columns beside the choices themselves, German ones too.
var choiceWords = map[string]string{
	"stück": "piece", "stk": "piece", "pcs": "piece", "pc": "piece", "pieces": "piece", "st": "piece", "milliliter": "mL",
	"links": "left", "rechts": "right", "beide": "both", "konventionell": "conventional", "upsidedown": "upside-down", "usd": "upside-down",
	"ja": "yes", "nein": "no", "unbekannt": "unknown", "immer": "always", "regal": "shelf",
}

// choose reads one of the column's choices.
func (c *Column) choose(text string) (string, error) {
	low := strings.ToLower(text)
	if c.Form == YesNo {
		if v := yesNo[low]; v != "" {
			return v, nil
		}
		return "", fault.New(fault.Invalid, "exchange.bad_yes_no", text)
	}
	for _, choice := range c.Choices {
		if catalog.Normal(choice) == catalog.Normal(text) || choiceWords[low] == choice {
			return choice, nil
		}
	}
	return "", fault.New(fault.Invalid, "exchange.bad_word", text, strings.Join(c.Choices, ", "))
}
