package measure

import (
	"strconv"
	"testing"
)

func TestThread(t *testing.T) {
	m10 := Thread{"M", "10", 1250, 0}
	unf := Thread{"UNF", "5/16", 0, 24}
	for text, want := range map[string]Thread{
		"M10x1.25": m10, "M10 x 1,25": m10, "M10 P1.25": m10, "M10 P 1.25": m10, "m10×1.25": m10, "M10*1.25": m10, "M10-1.25": m10,
		"M 10 x 1.25 mm": m10, "M10": {"M", "10", 0, 0}, "M2,5x0,45": {"M", "2.5", 450, 0}, "M40x1.5": {"M", "40", 1500, 0}, "M8x2": {"M", "8", 2000, 0},
		"5/16-24 UNF": unf, "5/16 - 24 UNF": unf, "5/16 x 24 UNF": unf, `5/16"-24 unf`: unf, "5/16-24UNF": unf, "UNF 5/16-24": unf,
		"5/16 UNF 24": unf, "5/16 - 24 tpi UNF": unf, "10/32-24 UNF": unf, "5/16 UNF": {"UNF", "5/16", 0, 0},
		"#10-32 UNF": {"UNF", "#10", 0, 32}, "1-12 UNF": {"UNF", "1", 0, 12}, "1 1/8-12 UNF": {"UNF", "1 1/8", 0, 12},
		"1-1/8-12 UNF": {"UNF", "1 1/8", 0, 12}, `1/4" BSW`: {"BSW", "1/4", 0, 0}, "5/16 x 26 BSC": {"BSC", "5/16", 0, 26},
	} {
		got, err := ParseThread(text)
		if err != nil || got != want {
			t.Errorf("ParseThread(%q) = %+v, %v, want %+v", text, got, err, want)
		}
	}
}

func TestThreadRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"": "bad_thread", "M": "bad_thread", "10x1.25": "bad_thread", "M0": "bad_thread", "M-10": "bad_thread", "M101": "bad_thread",
		"M10x0": "bad_thread", "M10x1.25x40": "bad_thread", "M10x1.25.5": "bad_thread", "5/16-24": "bad_thread", "5/16": "bad_thread",
		"UNF 5/16-24 UNF": "bad_thread", "5/16-24 UNF-24": "bad_thread", "5/0-24 UNF": "bad_thread", "0/16-24 UNF": "bad_thread",
		"#13-24 UNF": "bad_thread", "5/16-2 UNF": "bad_thread", "9-12 UNF": "bad_thread", "MNaN": "bad_thread",
		"M10x40": "bad_pitch", "M6x6": "bad_pitch", "M8 x 20": "bad_pitch", "M8x2.001": "bad_pitch",
	} {
		_, err := ParseThread(text)
		isInvalid(t, text, err)
		if got := messageID(err); got != "measure."+want {
			t.Errorf("ParseThread(%q): message %q, want measure.%s", text, got, want)
		}
	}
}

// The rows of the standards read as they stand, write themselves the same
// way, and the hint of a thread without a pitch is the coarse one.
func TestThreadStandards(t *testing.T) {
	for _, row := range rows(t, "threads.tsv", 20) {
		thread, err := ParseThread(row[0])
		if err != nil || thread.String() != row[0] {
			t.Errorf("ParseThread(%q) = %v, %v", row[0], thread, err)
		}
		got := ""
		switch row[2] {
		case "coarse":
			got = thread.CoarseHint().String()
		case "stated":
			got = thread.Pitch.String()
		case "inch":
			got = strconv.Itoa(thread.PerInch)
		}
		if got != row[1] {
			t.Errorf("%s: pitch %s, want %s (%s)", row[0], got, row[1], row[3])
		}
		if hint := thread.CoarseHint(); row[2] != "coarse" && hint != 0 {
			t.Errorf("%s: hint %v though its pitch is stated", row[0], hint)
		}
	}
}

func TestSame(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want bool
	}{
		{"M10x1.25", "M10 P1,25", true},
		{"M10x1.25", "M10x1", false},
		{"M10", "M10", false},
		{"M10", "M10x1.5", false},
		{"M8x1.25", "M10x1.25", false},
		{"5/16-24 UNF", "5/16 x 24 UNF", true},
		{"5/16 UNF", "5/16 UNF", false},
		{"5/16-24 UNF", "5/16-24 UNS", false},
	} {
		a, errA := ParseThread(tt.a)
		b, errB := ParseThread(tt.b)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if a.Same(b) != tt.want || b.Same(a) != tt.want {
			t.Errorf("%s same as %s: %v, want %v", tt.a, tt.b, a.Same(b), tt.want)
		}
	}
	if (Thread{}).Same(Thread{}) {
		t.Error("two unknown threads are the same")
	}
}

func TestDiameter(t *testing.T) {
	for text, want := range map[string]Length{
		"M10x1.25": 10000, "M2.5": 2500, "5/16-24 UNF": 7938, "1 1/8-12 UNF": 28575, "1-12 UNF": 25400,
		"#10-32 UNF": 4826, "#0-80 UNF": 1524, // 0.190 and 0.060 in, ASME B1.1, from memory
	} {
		thread, err := ParseThread(text)
		if got := thread.Diameter(); err != nil || got != want {
			t.Errorf("%s: diameter %d, %v, want %d", text, got, err, want)
		}
	}
	if got := (Thread{}).Diameter(); got != 0 {
		t.Errorf("diameter of no thread %v", got)
	}
}

func TestThreadScreen(t *testing.T) {
	if got, want := (Thread{"M", "2.5", 450, 0}).Screen(','), "M2,5×0,45"; got != want {
		t.Errorf("Screen = %q, want %q", got, want)
	}
	if got, want := (Thread{"UNF", "5/16", 0, 24}).Screen(','), "5/16-24 UNF"; got != want {
		t.Errorf("Screen = %q, want %q", got, want)
	}
}
