package gs1

// CheckDigit gives the check digit that belongs behind body: weights 3, 1, 3
// ... from the right, filled up to the next ten. False where body is empty or
// holds anything but digits. Source: GS1 General Specifications 7.9.1.
func CheckDigit(body string) (digit byte, ok bool) {
	if !digits(body) {
		return 0, false
	}
	sum, weight := 0, 3
	for i := len(body) - 1; i >= 0; i-- {
		sum += weight * int(body[i]-'0')
		weight = 4 - weight
	}
	return byte('0' + (10-sum%10)%10), true
}

// Valid reports whether text is a GTIN-8, -12, -13 or -14 with a right check
// digit.
func Valid(text string) bool {
	switch len(text) {
	case 8, 12, 13, 14:
		return checked(text)
	}
	return false
}

// checked reports whether the last character is the check digit of the rest.
func checked(text string) bool {
	if len(text) < 2 {
		return false
	}
	last := len(text) - 1
	digit, ok := CheckDigit(text[:last])
	return ok && digit == text[last]
}

// ExpandUPCE gives the twelve digits of UPC-A that the eight of a UPC-E stand
// for: number system 0 or 1, six digits, check digit. Six or seven digits
// without number system are not taken, they could be anything.
// Source: BS EN 797:1996, rule 3 (a) to (d), as in GS1 General Specifications
// 5.2.2.4; a form that the rules never make (table 5, notes 1 to 3) is expanded
// all the same, since printers make it.
func ExpandUPCE(text string) (upca string, ok bool) {
	if len(text) != 8 || !digits(text) || text[0] > '1' {
		return "", false
	}
	system, d, check := text[:1], text[1:7], text[7:]
	var body string
	switch last := d[5]; last {
	case '0', '1', '2':
		body = d[:2] + d[5:] + "0000" + d[2:5]
	case '3':
		body = d[:3] + "00000" + d[3:5]
	case '4':
		body = d[:4] + "00000" + d[4:5]
	default:
		body = d[:5] + "0000" + d[5:]
	}
	upca = system + body + check
	return upca, Valid(upca)
}

// digits reports whether text is one or more ASCII digits.
func digits(text string) bool {
	for i := range len(text) {
		if text[i] < '0' || text[i] > '9' {
			return false
		}
	}
	return text != ""
}
