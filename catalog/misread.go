package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// Misread gives the known codes that digits with a wrong check digit may have
// been meant as: one digit typed wrong, or two neighbours swapped. A camera and
// a hand scanner refuse such digits, so somebody typed them.
func Misread(ctx context.Context, tx *store.Tx, code, supplier string) (all []Meaning, err error) {
	for _, near := range slipsOf(code) {
		key, _ := gs1.Key("", near)
		link, known, err := LinkFrom(ctx, tx, key, supplier)
		if err != nil {
			return nil, err
		}
		if known && link.Part != "" {
			all = append(all, Meaning{Code: code, Part: link.Part, Pieces: link.Pieces, Why: fault.Say("meaning.misread", gs1.Printed(key))})
		}
	}
	return all, nil
}

// slipsOf gives the texts with a right check digit that a slip of one digit or a
// swap of two neighbours makes such digits from.
func slipsOf(code string) (all []string) {
	if gs1.Valid(code) || !slices.Contains([]int{8, 12, 13, 14}, len(code)) {
		return nil
	}
	try := func(digits []byte) {
		if near := string(digits); gs1.Valid(near) && !slices.Contains(all, near) {
			all = append(all, near)
		}
	}
	for i := range len(code) {
		digits := []byte(code)
		for d := byte('0'); d <= '9'; d++ {
			digits[i] = d
			try(digits)
		}
		if digits = []byte(code); i > 0 {
			digits[i-1], digits[i] = digits[i], digits[i-1]
			try(digits)
		}
	}
	return all
}
