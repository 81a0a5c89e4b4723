package gs1

import (
	"strconv"
	"time"
)

// Date reads the six digits YYMMDD of a date element as "YYYY-MM-DD". Day 00
// is the last day of the month. The century is the one that puts the year
// between 49 years before now and 50 after. Source: GS1 General
// Specifications 7.12 and 3.4.
func Date(yymmdd string, now time.Time) (day string, ok bool) {
	if len(yymmdd) != 6 || !digits(yymmdd) {
		return "", false
	}
	n, _ := strconv.Atoi(yymmdd)
	year, month, d := century(n/10000, now.Year()), time.Month(n/100%100), n%100
	if month < time.January || month > time.December {
		return "", false
	}
	last := time.Date(year, month+1, 0, 0, 0, 0, 0, time.UTC).Day()
	if d > last {
		return "", false
	}
	if d == 0 {
		d = last
	}
	return time.Date(year, month, d, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), true
}

// century gives the full year of yy nearest to this year: at most 49 years
// back and 50 ahead.
func century(yy, this int) int {
	year := this - this%100 + yy
	switch diff := year - this; {
	case diff >= 51:
		return year - 100
	case diff <= -50:
		return year + 100
	}
	return year
}
