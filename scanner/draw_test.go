package scanner

import (
	"context"
	"image"
	"os"
	"os/exec"
	"path/filepath"
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
		{QR, "", 2, 40},
		{QR, strings.Repeat("A", 5000), 2, 40},
		{"morse", "SOS", 2, 40},
		{Code128, "KB-39", 0, 40},
		{Code128, "KB-39", 2, 0},
		{Code128, "KB-39", 1000, 40},
	} {
		pic, err := Draw(tt.symbology, tt.text, tt.width, tt.height)
		if e := fault.Of(err); e == nil || e.Kind != fault.Invalid || e.Hint.IsZero() {
			t.Errorf("Draw(%q, %.20q, %d, %d) = %v, %v, want invalid with a hint", tt.symbology, tt.text, tt.width, tt.height, pic, err)
		}
	}
}
