package gs1

// Inner gives the GTIN-14 of what a carton holds: that of its own GTIN-14 with
// indicator digit 0 and the check digit that belongs to it. Not ok where the
// text is no GTIN-14 of a carton: indicator 0 is a pack itself, 9 one of a
// measure that varies. How many are in the carton, the numbers do not say.
// Source: GS1 General Specifications 21.0.1, 2.1.6.
func Inner(gtin string) (inner string, ok bool) {
	if len(gtin) != 14 || !Valid(gtin) || gtin[0] < '1' || gtin[0] > '8' {
		return "", false
	}
	body := "0" + gtin[1:13]
	check, _ := CheckDigit(body)
	return body + string(check), true
}
