package gs1

import "fmt"

// ownPrefix begins every number that a company may give inside itself: GS1
// prefixes 040 to 049, restricted circulation numbers within a company. Those of
// 020 to 029 and 200 to 299 are given by country, for weighed goods above all,
// and are left alone. Source: GS1 General Specifications, table of GS1 prefixes.
const ownPrefix = "04"

// MostOwn is the largest number that Own takes.
const MostOwn = 9_999_999_999

// Own gives the GTIN-14 of the nth number that a company gives inside itself,
// n from 1 to MostOwn: prefix, ten digits, check digit. It is false outside of
// that.
func Own(n int64) (string, bool) {
	if n < 1 || n > MostOwn {
		return "", false
	}
	body := fmt.Sprintf("0%s%010d", ownPrefix, n)
	check, ok := CheckDigit(body)
	return body + string(check), ok
}

// IsOwn reports whether a GTIN-14 is of the range for use inside a company.
func IsOwn(gtin string) bool {
	return len(gtin) == 14 && Valid(gtin) && gtin[:1+len(ownPrefix)] == "0"+ownPrefix
}
