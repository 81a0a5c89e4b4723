package measure

import (
	"bufio"
	"math/big"
	"os"
	"strings"
	"testing"

	"forkstock/internal/fault"
)

// rows reads a file of testdata, which has to hold exactly want rows below
// its comments and heading.
func rows(t *testing.T, name string, want int) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all [][]string
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if !strings.HasPrefix(lines.Text(), "#") {
			all = append(all, strings.Split(lines.Text(), "\t"))
		}
	}
	if len(all)-1 != want {
		t.Fatalf("%s: %d rows, want %d", name, len(all)-1, want)
	}
	return all[1:]
}

// isInvalid checks that err tells of bad input, and what to do.
func isInvalid(t *testing.T, text string, err error) {
	t.Helper()
	if got := fault.KindOf(err); got != fault.Invalid {
		t.Errorf("%q: kind %q, want %q", text, got, fault.Invalid)
	} else if e := fault.Of(err); e.Hint.IsZero() || !strings.HasPrefix(e.Message.ID, "measure.") {
		t.Errorf("%q: message %q, hint %q", text, e.Message.ID, e.Hint.ID)
	}
}

// The units by their legal definitions: 1959 yard and pound (0.9144 m,
// 0.45359237 kg), standard gravity of the 3rd CGPM (9.80665 m/s2), US gallon
// of 231 cubic inches, Imperial gallon of 4.54609 L.
func TestUnitsByDefinition(t *testing.T) {
	product := func(factors ...string) *big.Rat {
		r := big.NewRat(1, 1)
		for _, f := range factors {
			r.Mul(r, exact(f))
		}
		return r
	}
	for _, tt := range []struct {
		name      string
		got, want *big.Rat
	}{
		{"inch", micrometresPerInch, product("914400", "1/36")},
		{"US fl oz", volumeUnits["us fl oz"], product("231", "2.54", "2.54", "2.54", "1/128")},
		{"Imp fl oz", volumeUnits["imp fl oz"], product("4546.09", "1/160")},
		{"lbf ft", torqueUnits["lbfft"], product("0.45359237", "9.80665", "0.3048", "1000")},
		{"lbf in", torqueUnits["lbfin"], product("0.45359237", "9.80665", "0.0254", "1000")},
		{"kgf m", torqueUnits["kgfm"], product("9.80665", "1000")},
		{"kgf cm", torqueUnits["kgfcm"], product("9.80665", "10")},
	} {
		if tt.got.Cmp(tt.want) != 0 {
			t.Errorf("%s = %v, want %v", tt.name, tt.got.FloatString(20), tt.want.FloatString(20))
		}
	}
}

// Rounded half to even, a value is at most half a unit from the exact one,
// and even where it is just half a unit away.
func TestConversions(t *testing.T) {
	for _, row := range rows(t, "conversions.tsv", 23) {
		var got int64
		var err error
		switch text := row[0]; {
		case strings.HasSuffix(text, "in") && !strings.Contains(text, "lbf"):
			var v Length
			v, err = ParseLength(text)
			got = int64(v)
		case strings.Contains(text, "f "):
			var v Torque
			v, err = ParseTorque(text)
			got = int64(v)
		default:
			var v Volume
			v, err = ParseVolume(text)
			got = int64(v)
		}
		if err != nil {
			t.Errorf("%s: %v", row[0], err)
			continue
		}
		off := new(big.Rat).Sub(big.NewRat(got, 1), exact(row[1]))
		half := off.Abs(off).Cmp(big.NewRat(1, 2))
		if half > 0 || half == 0 && got%2 != 0 {
			t.Errorf("%s = %d, want %s rounded half to even", row[0], got, row[1])
		}
	}
}

func TestVolume(t *testing.T) {
	for text, want := range map[string]Volume{
		"480 mL": 480, "480ml": 480, "480cc": 480, "480 ccm": 480, "480 cm3": 480, "480 cm³": 480,
		"0.48 L": 480, "0,48 l": 480, "1 litre": 1000, "16.2 US fl. oz.": 479, "16,2 imp fl oz": 460,
		"2.5 mL": 2, "3.5 mL": 4, "0.6 mL": 1, "10000 L": mostVolume,
	} {
		got, err := ParseVolume(text)
		if err != nil || got != want {
			t.Errorf("ParseVolume(%q) = %d, %v, want %d", text, got, err, want)
		}
	}
	for _, text := range []string{
		"", "480", "mL", "-480 mL", "NaN mL", "1e3 mL", "0 mL", "0.5 mL", "10001 L", "16 fl oz", "16 oz", "1.234,5 mL", "480 kg",
		strings.Repeat("9", 60) + " L", strings.Repeat("9", 1000) + " L",
	} {
		_, err := ParseVolume(text)
		isInvalid(t, text, err)
	}
}

func TestTorque(t *testing.T) {
	for text, want := range map[string]Torque{
		"25 Nm": 25000, "25 N m": 25000, "25 N·m": 25000, "25N.m": 25000, "24,5 Nm": 24500, "0.0015 Nm": 2, "0.0025 Nm": 2,
		"18 lbf ft": 24405, "18 ft-lb": 24405, "18 lb-ft": 24405, "18 ft lbf": 24405, "88 lbf in": 9943, "88 in.lb": 9943,
		"2.5 kgf m": 24517, "2.5 kg-m": 24517, "2,5 mkp": 24517, "2.5 m·kg": 24517, "250 kgf cm": 24517,
	} {
		got, err := ParseTorque(text)
		if err != nil || got != want {
			t.Errorf("ParseTorque(%q) = %d, %v, want %d", text, got, err, want)
		}
	}
	for _, text := range []string{
		"", "25", "Nm", "-25 Nm", "0 Nm", "0.0001 Nm", "10001 Nm", "25 mN", "25 ft", "NaN Nm", "Inf Nm", "1.5.2 Nm",
	} {
		_, err := ParseTorque(text)
		isInvalid(t, text, err)
	}
	if got, want := Torque(24405).Screen(','), "24,405 N m"; got != want {
		t.Errorf("Screen = %q, want %q", got, want)
	}
	if got, want := Torque(25000).String(), "25 N m"; got != want {
		t.Errorf("String = %q, want %q", got, want)
	}
}

func messageID(err error) string {
	if err == nil {
		return ""
	}
	return fault.Of(err).Message.ID
}
