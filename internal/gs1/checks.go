package gs1

import (
	"math/big"
	"strings"
)

// checks are what is checked of a piece beyond its characters, by the names of
// the table. Each gives the id of what is wrong, "" where nothing is.
// Source of each rule: GS1 General Specifications, clause 3, under the AIs that
// have it; the limits where that leaves room are those of GS1's Barcode Syntax
// Dictionary ff2eb4b.
var checks = map[string]func(text string) string{
	"sum":        func(text string) string { return unless(checked(text), "gs1.why.check_digit") },
	"pair":       func(text string) string { return unless(pairChecked(text), "gs1.why.check_pair") },
	"owner":      owner,
	"owner2":     func(text string) string { return owner(text[min(1, len(text)):]) },
	"month":      func(text string) string { return dated(text, true) },
	"day":        func(text string) string { return dated(text, false) },
	"fullday":    func(text string) string { return fullDay(text, false) },
	"clock":      clock,
	"hour":       func(text string) string { return unless(upTo(text, "23"), "gs1.why.time") },
	"minute":     func(text string) string { return unless(upTo(text, "59"), "gs1.why.time") },
	"country":    func(text string) string { return unless(codes["country"][text], "gs1.why.country") },
	"anycountry": func(text string) string { return unless(text == "999" || codes["country"][text], "gs1.why.country") },
	"country2":   func(text string) string { return unless(codes["country2"][text], "gs1.why.country") },
	"currency":   func(text string) string { return unless(codes["currency"][text], "gs1.why.currency") },
	"package":    func(text string) string { return unless(codes["package"][text], "gs1.why.package") },
	"iban":       func(text string) string { return unless(bankAccount(text), "gs1.why.iban") },
	"percent":    percent,
	"yesno":      func(text string) string { return unless(text == "0" || text == "1", "gs1.why.yesno") },
	"zero":       func(text string) string { return unless(only(text, "0"), "gs1.why.not_zero") },
	"nonzero":    nonzero,
	"nolead":     noLead,
	"winding":    func(text string) string { return unless(oneOf(text, "019"), "gs1.why.winding") },
	"piece":      pieceOfTotal,
	"turn":       turn,
	"index":      func(text string) string { return unless(oneOf(text, importers), "gs1.why.index") },
	"medium":     medium,
	"sex":        func(text string) string { return unless(oneOf(text, "0129"), "gs1.why.sex") },
	"minus":      func(text string) string { return unless(only(text, "-"), "gs1.why.minus") },
	"latitude":   func(text string) string { return unless(upTo(text, "1800000000"), "gs1.why.coordinate") },
	"longitude":  func(text string) string { return unless(upTo(text, "3600000000"), "gs1.why.coordinate") },
	"coupon":     coupon,
	"offer":      offer,
	"letter":     func(text string) string { return unless(!digits(text), "gs1.why.letter_missing") },
}

// hard are the checks that a value must pass to be taken: they find misread
// and mistyped ones, and what a shop files things under. What the others find
// is told as a warning.
var hard = map[string]bool{"sum": true, "pair": true, "month": true, "day": true, "fullday": true}

func unless(good bool, why string) string {
	if good {
		return ""
	}
	return why
}

// only reports whether text is one or more of one character.
func only(text, character string) bool { return text != "" && strings.Trim(text, character) == "" }

// oneOf reports whether text is a single one of the characters of set.
func oneOf(text, set string) bool { return len(text) == 1 && strings.Contains(set, text) }

// upTo reports whether text is a number of as many digits as most, and at most
// that.
func upTo(text, most string) bool { return digits(text) && len(text) == len(most) && text <= most }

// owner tells of a key that does not begin with a company prefix: those have
// four digits or more.
func owner(text string) string { return unless(len(text) >= 4 && digits(text[:4]), "gs1.why.owner") }

// clock tells of a time HHMM that no clock shows.
func clock(text string) string {
	return unless(len(text) == 4 && upTo(text[:2], "23") && upTo(text[2:], "59"), "gs1.why.time")
}

// bankAccount reports whether text is an IBAN: a country, then check digits
// that leave 1 modulo 97 once the first four characters are put behind, A
// being 10. Source: ISO 13616-1.
func bankAccount(text string) bool {
	if len(text) <= 10 || !codes["country2"][text[:2]] {
		return false
	}
	var number strings.Builder
	for _, c := range []byte(text[4:] + text[:4]) {
		switch {
		case c >= '0' && c <= '9':
			number.WriteByte(c)
		case c >= 'A' && c <= 'Z':
			number.WriteString([]string{"1", "2", "3"}[(c-'A')/10])
			number.WriteByte('0' + (c-'A')%10)
		default:
			return false
		}
	}
	n, _ := new(big.Int).SetString(number.String(), 10)
	return n.Mod(n, big.NewInt(97)).Int64() == 1
}

// percent tells of a % that two hexadecimal digits do not follow.
func percent(text string) string {
	_, ok := unescape(text)
	return unless(ok, "gs1.why.percent")
}

// unescape gives text with %XX as the byte that it stands for.
func unescape(text string) (plain string, ok bool) {
	const hex = "0123456789abcdef"
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if text[i] != '%' {
			b.WriteByte(text[i])
			continue
		}
		if i+2 >= len(text) {
			return "", false
		}
		pair := strings.ToLower(text[i+1 : i+3])
		high, low := strings.IndexByte(hex, pair[0]), strings.IndexByte(hex, pair[1])
		if high < 0 || low < 0 {
			return "", false
		}
		b.WriteByte(byte(high<<4 | low))
		i += 2
	}
	return b.String(), true
}

func nonzero(text string) string {
	if strings.Trim(text, alphabets['n']) != "" {
		return "gs1.why.digits"
	}
	return unless(strings.Trim(text, "0") != "", "gs1.why.zero")
}

// noLead tells of a number with a zero in front.
func noLead(text string) string {
	if strings.Trim(text, alphabets['n']) != "" {
		return "gs1.why.digits"
	}
	return unless(!strings.HasPrefix(text, "0"), "gs1.why.leading_zero")
}

// pieceOfTotal tells of a text that is not two numbers of one length, the
// first from 1 to the second: 0204 is the second of four.
func pieceOfTotal(text string) string {
	if strings.Trim(text, alphabets['n']) != "" {
		return "gs1.why.digits"
	}
	half := len(text) / 2
	nth, total := text[:half], text[half:]
	good := half > 0 && len(text)%2 == 0 && nonzero(nth) == "" && nonzero(total) == "" && nth <= total
	return unless(good, "gs1.why.piece")
}

// turn tells of a text that is not like 2/3, the second of three.
func turn(text string) string {
	nth, total, ok := strings.Cut(text, "/")
	if !ok || !digits(nth) || !digits(total) {
		return "gs1.why.turn"
	}
	if why := noLead(nth) + noLead(total); why != "" {
		return "gs1.why.leading_zero"
	}
	return unless(len(nth) < len(total) || len(nth) == len(total) && nth <= total, "gs1.why.turn")
}

const importers = "-0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"

// medium tells of a number that is none of the kinds of carrier that were
// given out: 01 to 10, and 80 to 99 for national use.
func medium(text string) string {
	good := upTo(text, "10") && text != "00" || upTo(text, "99") && text >= "80"
	return unless(good, "gs1.why.medium")
}

// padded tells of = that does not fill a base64 text up to a whole number of
// groups of three, as GS1 counts them; texts without any are good.
func padded(text string) string {
	fill := len(text) - len(strings.TrimRight(text, "="))
	if strings.Contains(text[:len(text)-fill], "=") {
		return "gs1.why.letters"
	}
	return unless(fill == 0 || fill <= 2 && len(text)%3 == 0, "gs1.why.padding")
}
