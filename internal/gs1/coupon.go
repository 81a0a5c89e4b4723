package gs1

// A coupon is read by its fields. They are none of a workshop's business, yet
// an element string can hold them. Sources: North American Coupon Application
// Guideline (AI 8110) and AI (8112) Coupon Data Specification, by way of GS1's
// Barcode Syntax Dictionary ff2eb4b.

// fields takes a digit string apart from the front and keeps the first fault.
type fields struct {
	rest string
	why  string
}

// take gives the next n digits.
func (f *fields) take(n int) string {
	if f.why != "" || len(f.rest) < n {
		f.fail("gs1.why.coupon_cut")
		return ""
	}
	text := f.rest[:n]
	f.rest = f.rest[n:]
	return text
}

// code takes one digit, one of set.
func (f *fields) code(set string) byte {
	d := f.take(1)
	if d == "" || !oneOf(d, set) {
		f.fail("gs1.why.coupon_code")
		return '0'
	}
	return d[0]
}

// sized takes a length digit, one of set, and as many digits as it says, and
// more.
func (f *fields) sized(set string, more int) string {
	d := f.take(1)
	if d == "" || !oneOf(d, set) {
		f.fail("gs1.why.coupon_length")
		return ""
	}
	return f.take(int(d[0]-'0') + more)
}

func (f *fields) fail(why string) {
	if f.why == "" {
		f.why = why
	}
}

// option reports whether the optional field n comes next, and takes its digit.
func (f *fields) option(n byte) bool {
	if f.why != "" || f.rest == "" || f.rest[0] != n {
		return false
	}
	f.rest = f.rest[1:]
	return true
}

// end gives the fault, or that of digits left over.
func (f *fields) end() string {
	if f.rest != "" {
		f.fail("gs1.why.coupon_excess")
	}
	return f.why
}

// purchase takes what has to be bought: how much, by which measure, of which
// family.
func (f *fields) purchase() {
	f.sized("12345", 0)
	f.code("012349")
	f.take(3)
}

// of takes the maker of what has to be bought; 9 says the same one.
func (f *fields) of() {
	if !f.option('9') {
		f.sized("0123456", 6)
	}
}

// day takes a date.
func (f *fields) day() string {
	text := f.take(6)
	if f.why == "" && dated(text, false) != "" {
		f.fail("gs1.why.coupon_date")
	}
	return text
}

// coupon checks AI 8110.
func coupon(text string) string {
	if !digits(text) {
		return unless(text == "", "gs1.why.digits") + unless(text != "", "gs1.why.coupon_cut")
	}
	f := &fields{rest: text}
	f.sized("0123456", 6) // company
	f.take(6)             // offer
	f.sized("12345", 0)   // value
	f.purchase()
	if f.option('1') {
		f.code("0123")
		f.purchase()
		f.of()
	}
	if f.option('2') {
		f.purchase()
		f.of()
	}
	until := ""
	if f.option('3') {
		until = f.day()
	}
	if f.option('4') {
		if from := f.day(); until != "" && from > until {
			f.fail("gs1.why.coupon_date")
		}
	}
	if f.option('5') {
		f.sized("0123456789", 6) // serial number
	}
	if f.option('6') {
		f.sized("1234567", 6) // shop
	}
	if f.option('9') {
		f.code("01256")
		f.code("012")
		f.take(1)
		f.code("01")
	}
	return f.end()
}

// offer checks AI 8112.
func offer(text string) string {
	if !digits(text) {
		return unless(text == "", "gs1.why.digits") + unless(text != "", "gs1.why.coupon_cut")
	}
	f := &fields{rest: text}
	f.code("01")
	f.sized("0123456", 6)    // who pays
	f.take(6)                // offer
	f.sized("0123456789", 6) // serial number
	return f.end()
}
