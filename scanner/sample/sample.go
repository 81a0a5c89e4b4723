// Package sample makes the pictures that the reader of barcodes is proved on:
// symbols put on paper by an encoder of its own and then photographed badly,
// packing slips, and scenes without any symbol. The tests of scanner use it;
// nothing of the program does.
//
// The encoder knows nothing of scanner or of the library behind it: its tables
// and rules are written from the standards that each file names, so that an
// error on one side does not hide one on the other. What spoils a picture is
// not what the bench material beside the project does to its own.
//
// The same seed and number give the same picture. Texts are invented: GTINs
// have the GS1 demonstration prefix 952, UPC-A the number system 4 of a
// shop's own numbers; only UPC-E and EAN-8, which have none, are drawn by lot.
//
// Non-goals: symbols for real labels (scanner.Encode), beauty, speed.
//
// Coordinates are modules (the width of the narrowest bar) on paper and pixels
// in a picture, x to the right, y down; shades run from 0, black, to 1, white.
package sample

import (
	"fmt"
	"image"
	"math/rand/v2"
)

// A Picture is a grey picture and what is in it.
type Picture struct {
	Name string   // says seed, number, kind and harm
	Kind string   // of the symbol, by the names of scanner; "slip" or "bare"
	Harm string   // what was done to it, or what a bare scene shows
	Want []string // the texts of its symbols; GS (0x1D) between GS1 elements
	Grey *image.Gray
}

// dice gives the random numbers of one picture.
func dice(seed uint64, what string, i int) *rand.Rand {
	for _, c := range what {
		seed = seed*31 + uint64(c)
	}
	return rand.New(rand.NewPCG(seed, uint64(i)))
}

// between gives a number from lo to hi.
func between(r *rand.Rand, lo, hi float64) float64 { return lo + r.Float64()*(hi-lo) }

// Made gives picture i of one symbol: every kind meets every harm before one
// comes twice.
func Made(seed uint64, i int) Picture {
	kind := kinds[i%len(kinds)]
	harm := harms[i/len(kinds)%len(harms)]
	r := dice(seed, "made", i)
	text := kind.text(r)
	s := kind.draw(r, text)
	return Picture{
		Name: fmt.Sprintf("%d-%04d-%s-%s", seed, i, kind.name, harm.name),
		Kind: kind.name, Harm: harm.name, Want: []string{text},
		Grey: harm.shoot(r, s.framed(between(r, 6, 16))),
	}
}

// Rounds gives how many pictures of Made are n rounds of every kind with every
// harm.
func Rounds(n int) int { return n * len(kinds) * len(harms) }

// A kind is a symbology: how a text of it comes about, and how it is drawn.
type kind struct {
	name string
	text func(*rand.Rand) string
	draw func(*rand.Rand, string) symbol
}

var kinds = []kind{
	{"ean13", func(r *rand.Rand) string { return checked("952" + digits(r, 9)) }, drawEAN13},
	{"upca", func(r *rand.Rand) string { return checked("4" + digits(r, 10)) }, drawUPCA},
	{"upce", func(r *rand.Rand) string { return upce(digits(r, 6)) }, drawUPCE},
	{"ean8", func(r *rand.Rand) string { return checked(digits(r, 7)) }, drawEAN8},
	{"code128", number, drawCode128},
	{"gs1_128", elements, drawGS1128},
	{"code39", func(r *rand.Rand) string { return letters(r, 3) + "-" + digits(r, 4) + pick(r, "", ".B", "-2", " X") }, drawCode39},
	{"itf", func(r *rand.Rand) string { return checked(pick(r, "1", "2", "5") + "952" + digits(r, 9)) }, drawITF},
	{"qr", link, func(r *rand.Rand, s string) symbol { return drawQR(s, false) }},
	{"datamatrix", number, func(r *rand.Rand, s string) symbol { return drawDataMatrix(s, false, r.IntN(4) == 0) }},
	{"gs1_qr", elements, func(r *rand.Rand, s string) symbol { return drawQR(s, true) }},
	{"gs1_datamatrix", elements, func(r *rand.Rand, s string) symbol { return drawDataMatrix(s, true, r.IntN(4) == 0) }},
}

func pick(r *rand.Rand, from ...string) string { return from[r.IntN(len(from))] }

func some(r *rand.Rand, n int, from string) string {
	b := make([]byte, n)
	for i := range b {
		b[i] = from[r.IntN(len(from))]
	}
	return string(b)
}

func digits(r *rand.Rand, n int) string  { return some(r, n, "0123456789") }
func letters(r *rand.Rand, n int) string { return some(r, n, "ABCDEFGHJKLMNPQRSTUVWXYZ") }

// number is a part number as suppliers write them.
func number(r *rand.Rand) string {
	switch r.IntN(4) {
	case 0:
		return letters(r, 2) + "-" + digits(r, 2) + "-" + digits(r, 2) + "-" + digits(r, 2)
	case 1:
		return digits(r, 4) + "." + digits(r, 3) + letters(r, 1)
	case 2:
		return "Seal " + digits(r, 2) + "x" + digits(r, 2) + "x" + digits(r, 2) + "." + digits(r, 1)
	}
	return digits(r, 12)
}

// link is what a QR code on a pack says.
func link(r *rand.Rand) string {
	switch r.IntN(3) {
	case 0:
		return "https://parts.example/p/" + some(r, 8, "abcdefghjkmnpqrstuvwxyz0123456789")
	case 1:
		return "PN:" + letters(r, 3) + digits(r, 5) + ";QTY:" + digits(r, 2)
	}
	return digits(r, 20)
}

// elements is a GS1 element string: GTIN, batch, day of expiry, count.
func elements(r *rand.Rand) string {
	return "01" + checked(pick(r, "0", "1")+"952"+digits(r, 9)) + "10" + letters(r, 2) + digits(r, 2+r.IntN(4)) + gs +
		"17" + fmt.Sprintf("%02d%02d%02d", 27+r.IntN(9), 1+r.IntN(12), 1+r.IntN(28)) + "30" + fmt.Sprint(1+r.IntN(99))
}

// gs stands for FNC1 between elements.
const gs = "\x1d"

// checked adds the check digit of a GTIN (GS1 General Specifications 7.9).
func checked(s string) string {
	sum := 0
	for i := range len(s) {
		sum += int(s[len(s)-1-i]-'0') * (3 - i%2*2)
	}
	return s + string(byte('0'+(10-sum%10)%10))
}

// upce gives the eight digits of a UPC-E of six: number system 0 in front, the
// check digit of the twelve digits it is short for behind (GS1 General
// Specifications 5.2.2.4).
func upce(six string) string {
	long := ""
	switch last := six[5:]; last {
	case "0", "1", "2":
		long = six[:2] + last + "0000" + six[2:5]
	case "3":
		long = six[:3] + "00000" + six[3:5]
	case "4":
		long = six[:4] + "00000" + six[4:5]
	default:
		long = six[:5] + "0000" + last
	}
	return "0" + six + checked("0" + long)[11:]
}
