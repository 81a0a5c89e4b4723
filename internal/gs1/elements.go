package gs1

import (
	"strconv"
	"time"
)

// An Element is one application identifier with its value, as printed:
// {"10", "L7-A/9"}.
type Element struct {
	AI    string `json:"ai"`
	Value string `json:"value"`
}

// Elements are the elements of one symbol, in its order.
type Elements []Element

// Get gives the value of the first of ais that is there, in the order asked
// for, and whether there was one.
func (es Elements) Get(ais ...string) (value string, ok bool) {
	for _, ai := range ais {
		for _, e := range es {
			if e.AI == ai {
				return e.Value, true
			}
		}
	}
	return "", false
}

// GTIN gives the GTIN-14 of the pack (AI 01), else of what is inside it
// (AI 02); "" where there is none.
func (es Elements) GTIN() string {
	gtin, _ := es.Get("01", "02")
	return gtin
}

// Batch gives the maker's batch (AI 10), "" where there is none.
func (es Elements) Batch() string {
	batch, _ := es.Get("10")
	return batch
}

// Count gives how many pieces the label says are inside (AI 30, else AI 37).
// It is what the label says; what counts as a pack is the shop's to know.
func (es Elements) Count() (pieces int, ok bool) {
	value, ok := es.Get("30", "37")
	if !ok {
		return 0, false
	}
	pieces, err := strconv.Atoi(value)
	return pieces, err == nil
}

// UseBy gives the day after which the piece should not be fitted, as
// "YYYY-MM-DD": AI 17, else that of a day and hour, AI 7003, else best before,
// AI 15; "" where there is none. The
// century is the one that now asks for.
func (es Elements) UseBy(now time.Time) string {
	return es.Day(now, "17", "7003", "15")
}

// Day gives the day of the first of ais that is there, "" where none is: AI 11
// production, 15 best before, 16 sell by, 17 expiry.
func (es Elements) Day(now time.Time, ais ...string) string {
	value, ok := es.Get(ais...)
	if !ok || len(value) < 6 {
		return ""
	}
	day, _ := Date(value[:6], now)
	return day
}

// Serial gives the number of the very piece (AI 21), "" where there is none.
func (es Elements) Serial() string {
	serial, _ := es.Get("21")
	return serial
}

// Map gives the elements as AI to value; of one that is there twice, the
// values are equal (Parse sees to that).
func (es Elements) Map() map[string]string {
	m := make(map[string]string, len(es))
	for _, e := range es {
		m[e.AI] = e.Value
	}
	return m
}
