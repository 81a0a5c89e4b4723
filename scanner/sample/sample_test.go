package sample

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The worked examples of the standards, from memory: ISO/IEC 16022 annex O
// (123456 in a symbol of 10 by 10) and ISO/IEC 18004 annex I (01234567 in
// version 1 at error correction M).
func TestCorrection(t *testing.T) {
	dm := dmWords("123456", false)
	dm = append(dm, dmField.correction(dm, 5, 1)...)
	if want := []byte{142, 164, 186, 114, 25, 5, 88, 102}; !bytes.Equal(dm, want) {
		t.Errorf("Data Matrix 123456 = %v, want %v", dm, want)
	}
	b := qrBits("01234567", false)
	b.add(0, 4)
	words := b.words()
	for pad := byte(0xEC); len(words) < 16; pad ^= 0xEC ^ 0x11 {
		words = append(words, pad)
	}
	got := fmt.Sprintf("% X", woven(words, qrSizes[0]))
	const want = "10 20 0C 56 61 80 EC 11 EC 11 EC 11 EC 11 EC 11 A5 24 D4 C1 ED 36 C7 87 2C 55"
	if got != want {
		t.Errorf("QR 01234567 = %s, want %s", got, want)
	}
}

// Every character is as wide as the standards say: 11 modules in Code 128
// (stop 13), an even number of them dark; 7 in EAN; three wide of nine in Code
// 39; and no two are alike.
func TestTables(t *testing.T) {
	widths := func(s string) (all, dark int) {
		for i, c := range s {
			all += int(c - '0')
			if i%2 == 0 {
				dark += int(c - '0')
			}
		}
		return all, dark
	}
	alike := map[string]bool{}
	for i, c := range code128 {
		all, dark := widths(c)
		if want := 11 + i/stop*2; all != want || dark%2 != 0 && i != stop || alike[c] {
			t.Errorf("Code 128 value %d: %s is %d wide, %d dark", i, c, all, dark)
		}
		alike[c] = true
	}
	if len(code128) != stop+1 {
		t.Errorf("%d characters of Code 128, want %d", len(code128), stop+1)
	}
	for i, c := range setA {
		if all, dark := widths(c); all != 7 || (7-dark)%2 != 0 == (dark%2 != 0) {
			t.Errorf("EAN digit %d: %s is %d wide", i, c, all)
		}
	}
	for _, c := range []byte("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-. *$/+%") {
		p := code39(c)
		if len(p) != 9 || strings.Count(p, "1") != 3 || alike[p] {
			t.Errorf("Code 39 %c is %s", c, p)
		}
		alike[p] = true
	}
}

// Check digits: the GTIN of GS1 General Specifications 7.9.1, and two that zint
// 2.11 adds (testdata of this tree, and checks beside it).
func TestChecked(t *testing.T) {
	for in, want := range map[string]string{"629104150021": "6291041500213", "952012345678": "9520123456788"} {
		if got := checked(in); got != want {
			t.Errorf("check digit of %s: %s, want %s", in, got, want)
		}
	}
	if got := upce("012345"); got != "00123457" {
		t.Errorf("UPC-E 012345 = %s, want 00123457", got)
	}
}

// The same seed and number give the same picture, another seed another.
func TestSame(t *testing.T) {
	for i := range len(kinds) {
		i *= len(harms) + 1
		a, b, c := Made(5, i), Made(5, i), Made(6, i)
		if !bytes.Equal(a.Grey.Pix, b.Grey.Pix) || !slices.Equal(a.Want, b.Want) {
			t.Errorf("%s differs from itself", a.Name)
		}
		if bytes.Equal(a.Grey.Pix, c.Grey.Pix) {
			t.Errorf("%s is the same as %s", a.Name, c.Name)
		}
	}
	for i := range scenes {
		a, b, c := Bare(5, i), Bare(5, i), Bare(6, i)
		if !bytes.Equal(a.Grey.Pix, b.Grey.Pix) || bytes.Equal(a.Grey.Pix, c.Grey.Pix) {
			t.Errorf("%s: same %v, %s same %v", a.Name, bytes.Equal(a.Grey.Pix, b.Grey.Pix),
				c.Name, bytes.Equal(a.Grey.Pix, c.Grey.Pix))
		}
	}
}

// A set holds every kind with every harm, and every scene.
func TestSets(t *testing.T) {
	if testing.Short() {
		t.Skip("draws a whole set")
	}
	seen := map[string]int{}
	for i := range Rounds(1) {
		kind, harm := kinds[i%len(kinds)], harms[i/len(kinds)%len(harms)]
		seen[kind.name+" "+harm.name]++
	}
	if len(seen) != len(kinds)*len(harms) {
		t.Errorf("%d kinds and harms met, want %d", len(seen), len(kinds)*len(harms))
	}
	for _, s := range Slips() {
		if s.Symbols > 20 || s.Tilt > 15 || s.DPI < 150 {
			t.Errorf("%+v is not a slip of the trial", s)
		}
	}
}

// A slip of the trial is as large as an A4 page at its resolution.
func TestSlip(t *testing.T) {
	p := Slip{Symbols: 12, DPI: 150, Tilt: 0, Thou: 10}.Picture(3)
	if b := p.Grey.Bounds(); b.Dx() != 1240 || b.Dy() != 1753 || len(p.Want) != 12 {
		t.Errorf("%v with %d texts, want 1240 by 1753 with 12", b, len(p.Want))
	}
}
