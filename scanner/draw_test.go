package scanner

import (
	"context"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

// drawn are texts that labels carry; GTINs with prefix 952 or 04.
var drawn = []struct{ symbology, text, want string }{
	{EAN13, "9520123456788", "9520123456788"},
	{EAN13, "952012345678", "9520123456788"},
	{Code128, "KB-39-52-11", "KB-39-52-11"},
	{Code128, "A-03-2", "A-03-2"},
	{Code128, "0400000000176", "0400000000176"},
	{DataMatrix, "0400000000176", "0400000000176"},
	{DataMatrix, "KB-39-52-11", "KB-39-52-11"},
	{QR, "KB-39-52-11;2;pair", "KB-39-52-11;2;pair"},
	{QR, "Dämpferöl 1 L", "Dämpferöl 1 L"},
}

// What is drawn is read again.
func TestDrawRead(t *testing.T) {
	for _, tt := range drawn {
		for _, width := range []int{1, 2, 5} {
			pic, err := Draw(tt.symbology, tt.text, width, 40)
			if err != nil {
				t.Errorf("%s %q: %v", tt.symbology, tt.text, err)
				continue
			}
			p, err := Read(context.Background(), pngOf(t, pic), Options{})
			if err != nil || len(p.Symbols) != 1 || p.Symbols[0].Symbology != tt.symbology || p.Symbols[0].Text != tt.want {
				t.Errorf("%s %q, %d pixels a module: read %+v, %v", tt.symbology, tt.text, width, p.Symbols, err)
			}
		}
	}
}

// A reader that we did not write says the same, where it is installed:
// zbarimg of zbar-tools.
func TestDrawElsewhere(t *testing.T) {
	zbarimg, err := exec.LookPath("zbarimg")
	if err != nil {
		t.Skip("zbarimg is not installed")
	}
	for _, tt := range drawn {
		if tt.symbology == DataMatrix {
			continue // zbar has no reader for it; its modules are those of zint, see below
		}
		pic, err := Draw(tt.symbology, tt.text, 3, 60)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "label.png")
		if err := os.WriteFile(file, pngOf(t, pic), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(zbarimg, "--quiet", "--raw", file).Output()
		if got := strings.TrimSpace(string(out)); err != nil || got != tt.want {
			t.Errorf("zbarimg reads %s %q as %q, %v", tt.symbology, tt.text, got, err)
		}
	}
}

// The modules are those that an encoder of other make draws: zint 2.11.1,
// `zint -b KIND -d 0400000000176 --dump`, which prints rows of hexadecimal
// digits.
func TestEncodeElsewhere(t *testing.T) {
	for _, tt := range []struct {
		symbology string
		quiet     int // modules around
		want      string
	}{
		{Code128, 10, "D3 92 33 66 6C CD 99 B3 27 35 EE CE 9D A3 1D 6"},                                        // -b 20
		{DataMatrix, 1, `AA A8|C8 24|89 60|A0 64|A5 18|92 A4|9C 98|D3 14|F7 00|A9 BC|BF D0|F7 1C|C8 28|FF FC`}, // -b 71 --square
		{QR, 4, `FE 13 F8|82 8A 08|BA 7A E8|BA 0A E8|BA DA E8|82 72 08|FE AB F8|00 00 00|AA 68 90|78 35 50|07 D7 20|AD BD D8|
			66 77 28|00 E3 50|FE 28 B8|82 23 48|BA 8A 28|BA 14 50|BA 97 A8|82 3D 40|FE F7 A8`}, // -b 58 --secure=2
	} {
		m, err := Encode(tt.symbology, "0400000000176")
		if err != nil {
			t.Fatal(err)
		}
		rows := strings.Split(tt.want, "|")
		for y, row := range rows {
			at := m[y]
			if len(rows) > 1 {
				at = m[y+tt.quiet]
			}
			if got, want := dark(at), bits(row, len(at)-2*tt.quiet); got != strings.Repeat("0", tt.quiet)+want+strings.Repeat("0", tt.quiet) {
				t.Errorf("%s, row %d: %s, zint %s", tt.symbology, y, got, want)
			}
		}
	}
}

// dark gives a row of modules as digits.
func dark(row []bool) string {
	var b strings.Builder
	for _, on := range row {
		b.WriteByte(map[bool]byte{true: '1', false: '0'}[on])
	}
	return b.String()
}

// bits gives the first n bits of hexadecimal digits.
func bits(hex string, n int) string {
	var b strings.Builder
	for _, digit := range strings.Join(strings.Fields(hex), "") {
		v, _ := strconv.ParseUint(string(digit), 16, 4)
		fmt.Fprintf(&b, "%04b", v)
	}
	return (b.String() + "000")[:n]
}

// EAN-13 is 95 modules wide with 11 and 7 of quiet zone (ISO/IEC 15420), the
// QR symbol of these texts 25 with 4 around (ISO/IEC 18004, version 2).
func TestDrawSize(t *testing.T) {
	for _, tt := range []struct {
		symbology, text string
		want            image.Point
	}{
		{EAN13, "9520123456788", image.Pt(3*113, 50)},
		{QR, "KB-39-52-11;2;pair", image.Pt(3*33, 3*33)},
	} {
		pic, err := Draw(tt.symbology, tt.text, 3, 50)
		if err != nil || pic.Bounds().Size() != tt.want {
			t.Errorf("%s is %v, %v, want %v", tt.symbology, pic.Bounds().Size(), err, tt.want)
		}
	}
}

func TestDrawRefuses(t *testing.T) {
	for _, tt := range []struct {
		symbology, text string
		width, height   int
	}{
		{EAN13, "9520123456789", 2, 40}, // wrong check digit
		{EAN13, "KB-39", 2, 40},
		{EAN13, "", 2, 40},
		{Code128, "", 2, 40},
		{Code128, "Dämpfer", 2, 40},
		{Code128, strings.Repeat("A", 81), 2, 40},
		{DataMatrix, "", 2, 40},
		{DataMatrix, "Dämpfer", 2, 40},
		{DataMatrix, strings.Repeat("A", 5000), 2, 40},
		{QR, "", 2, 40},
		{QR, strings.Repeat("A", 5000), 2, 40},
		{"morse", "SOS", 2, 40},
		{Code128, "KB-39", 0, 40},
		{Code128, "KB-39", 2, 0},
		{Code128, "KB-39", 1000, 40},
	} {
		pic, err := Draw(tt.symbology, tt.text, tt.width, tt.height)
		if e := fault.Of(err); e == nil || e.Kind != fault.Invalid || e.Hint.IsZero() {
			t.Errorf("Draw(%q, %.20q, %d, %d): picture %t, %v, want invalid with a hint", tt.symbology, tt.text, tt.width, tt.height, pic != nil, err)
		}
	}
}
