package words

import (
	"fmt"
	"strings"
)

// Money is an amount in minor units of a currency (ISO 4217 code), two minor
// digits: cents.
type Money struct {
	Minor    int64
	Currency string
}

// Screen gives "12.50 EUR", with mark between whole and part.
func (m Money) Screen(mark rune) string {
	sign, minor := "", m.Minor
	if minor < 0 {
		sign, minor = "-", -minor
	}
	return strings.TrimSpace(fmt.Sprintf("%s%d%c%02d %s", sign, minor/100, mark, minor%100, m.Currency))
}
