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
	if dated(yymmdd, true) != "" {
		return "", false
	}
	year, month, d := century(number(yymmdd[:2]), now.Year()), number(yymmdd[2:4]), number(yymmdd[4:])
	last := daysIn(year, month)
	if d > last {
		return "", false
	}
	if d == 0 {
		d = last
	}
	return time.Date(year, time.Month(month), d, 0, 0, 0, 0, time.UTC).Format(time.DateOnly), true
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

// dated tells of a text that is not a day YYMMDD. Whether 1900, 2000 or 2100
// is meant matters only for 29 February: 2000 is the lenient one.
func dated(text string, day00 bool) string {
	if len(text) != 6 {
		return "gs1.why.date"
	}
	return fullDay("20"+text, day00)
}

// fullDay tells of a text that is not a day YYYYMMDD; day00 says that day 00
// may stand for the whole month.
func fullDay(text string, day00 bool) string {
	if len(text) != 8 {
		return "gs1.why.date"
	}
	if !digits(text) {
		return "gs1.why.digits"
	}
	year, month, day := number(text[:4]), number(text[4:6]), number(text[6:])
	switch {
	case month < 1 || month > 12:
		return "gs1.why.month"
	case day > daysIn(year, month) || day == 0 && !day00:
		return "gs1.why.day"
	}
	return ""
}

// daysIn gives how many days a month has.
func daysIn(year, month int) int {
	return time.Date(year, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
}

// number gives the value of a few digits.
func number(text string) int {
	n, _ := strconv.Atoi(text)
	return n
}
