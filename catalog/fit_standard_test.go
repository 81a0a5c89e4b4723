package catalog

import (
	"os"
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// table gives the rows of a file of test data below its head, which says where
// they come from.
func table(t *testing.T, file string, want int) (rows [][]string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimRight(line, "\n"); !strings.HasPrefix(line, "#") {
			rows = append(rows, strings.Split(line, "\t"))
		}
	}
	if len(rows)-1 != want {
		t.Fatalf("%s: %d rows, want %d", file, len(rows)-1, want)
	}
	return rows[1:]
}

func length(t *testing.T, text string) measure.Length {
	t.Helper()
	l, err := measure.ParseLength(text)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// ids gives what reasons say, without their arguments.
func ids(reasons []fault.Message) string {
	var all []string
	for _, r := range reasons {
		all = append(all, strings.TrimPrefix(r.ID, "catalog."))
	}
	return strings.Join(all, " ")
}

// A ring by its AS568 number is the one that a list prints in millimetres, and
// none of the others. Rows: SAE AS568, as two public tables agree.
func TestFitORings(t *testing.T) {
	rows := table(t, "../internal/measure/testdata/as568.tsv", 47)
	ring := func(inner, section measure.Length) measure.Size {
		return measure.Size{Inner: inner, Outer: inner + 2*section, Height: section}
	}
	for _, want := range rows {
		printed := Wanted{Role: CapORing, Size: ring(length(t, want[1]), length(t, want[2]))}
		for _, got := range rows {
			o, err := measure.ParseORing("AS568-" + got[0])
			if err != nil {
				t.Fatal(err)
			}
			verdict, why := Fit(printed, Part{Role: CapORing, Size: ring(o.Inner, o.Section)})
			if (verdict == Fits) != (want[0] == got[0]) {
				t.Errorf("%s×%s for AS568-%s: %s %v", want[1], want[2], got[0], verdict, why)
			}
		}
	}
	// Common practice, from memory: 2.4 for 2.62 is no.
	if verdict, _ := Fit(Wanted{Role: CapORing, Size: ring(34000, 2620)}, Part{Role: CapORing, Size: ring(34000, 2400)}); verdict != No {
		t.Errorf("2.4 for 2.62: %s", verdict)
	}
	old := Wanted{Role: CapORing, Size: measure.Size{Inner: 34000, Height: 2620}, Measured: Measured{Worn: true}}
	if verdict, _ := Fit(old, Part{Role: CapORing, Size: ring(34000, 2400)}); verdict != No {
		t.Errorf("2.4 for a worn 2.62: %s", verdict)
	}
}

// Heads, keys and coarse pitches of the standards; a low head for a full one
// has another key, and a full one for a low one stands out.
func TestFitHeads(t *testing.T) {
	full := map[string]measure.Length{}
	for _, row := range table(t, "testdata/heads.tsv", 11) {
		standard, thread, height, socket := row[0], row[1], length(t, row[3]), length(t, row[4])
		th, err := measure.ParseThread(thread)
		if err != nil || th.CoarseHint() != length(t, row[2]) {
			t.Errorf("%s: coarse %v, want %s (%s)", thread, th.CoarseHint(), row[2], row[5])
		}
		if standard == "ISO 10642" {
			want := Wanted{Role: BottomBolt, Thread: row[1] + "x" + row[2], Traits: Traits{Seat: "flat"}}
			if v, why := Fit(want, Part{Role: BottomBolt, Thread: want.Thread, Traits: Traits{Seat: "countersunk"}}); v != No {
				t.Errorf("countersunk for flat: %s %v", v, why)
			}
			continue
		}
		m := headLike(thread, height)
		if len(m.Args) != 3 || m.Args[1] != standard {
			t.Fatalf("%s %v: like %v, want %s (%s)", thread, height, m, standard, row[5])
		}
		if key := m.Args[2].(measure.Length); socket < key || socket > key+70 {
			t.Errorf("%s %s: key %v, socket %v (%s)", standard, thread, key, socket, row[5])
		}
		if standard == "ISO 4762" {
			full[thread] = height
			continue
		}
		bolt := func(head measure.Length) (Wanted, Part) {
			th := thread + "x" + row[2]
			return Wanted{Role: BottomBolt, Thread: th, Traits: Traits{Head: head}}, Part{Role: BottomBolt, Thread: th, Traits: Traits{Head: head}}
		}
		wantFull, isFull := bolt(full[thread])
		wantLow, isLow := bolt(height)
		for _, tt := range []struct {
			want    Wanted
			part    Part
			verdict Verdict
			why     string
		}{
			{wantFull, isFull, Fits, ""},
			{wantLow, isLow, Fits, ""},
			{wantFull, isLow, Near, "head_lower"},
			{wantLow, isFull, No, "head_taller"},
		} {
			if v, why := Fit(tt.want, tt.part); v != tt.verdict || ids(why) != tt.why {
				t.Errorf("%s, head %v for %v: %s %v", thread, tt.part.Head, tt.want.Head, v, why)
			}
		}
	}
}

// A thread without a pitch is never a match; the coarse one is a hint.
func TestFitPitches(t *testing.T) {
	for _, row := range table(t, "testdata/pitches.tsv", 4) {
		bare, coarse := row[0], row[0]+"x"+row[1]
		for _, pitch := range row[1:] {
			if pitch == "" {
				continue
			}
			got := Part{Role: BottomBolt, Thread: row[0] + "x" + pitch}
			v, why := Fit(Wanted{Role: BottomBolt, Thread: bare}, got)
			if v != Near || ids(why) != "no_pitch_coarse" || why[0].Args[2] != length(t, row[1]) {
				t.Errorf("%s for %s: %s %v", got.Thread, bare, v, why)
			}
			want := No
			if pitch == row[1] {
				want = Fits
			}
			if v, why := Fit(Wanted{Role: BottomBolt, Thread: coarse}, got); v != want {
				t.Errorf("%s for %s: %s %v", got.Thread, coarse, v, why)
			}
		}
	}
}

// Sealing washers go by hole and outside. DIN 7603, from memory; a plain
// washer of ISO 7089 has a wider hole and is none of them.
func TestFitWashers(t *testing.T) {
	plain := map[string][]string{}
	for _, row := range table(t, "testdata/washers.tsv", 3) {
		plain[row[0]] = row
	}
	for hole, outsides := range map[string][]string{"8": {"11.5", "12", "14"}, "10": {"13.5", "14", "16"}} {
		for i, seat := range outsides {
			want := Wanted{Role: BottomWasher, Size: measure.Size{Inner: length(t, hole)}, Measured: Measured{Bore: length(t, seat)}}
			for j, outside := range outsides {
				got := Part{Role: BottomWasher, Size: measure.Size{Inner: length(t, hole), Outer: length(t, outside), Height: 1000}}
				v, why := Fit(want, got)
				if ok := v == Fits; ok != (i == j) || j > i && v != No {
					t.Errorf("%s×%s in a seat of %s: %s %v", hole, outside, seat, v, why)
				}
			}
			row := plain["M"+hole]
			got := Part{Role: BottomWasher, Size: measure.Size{Inner: length(t, row[1]), Outer: length(t, row[2])}}
			if v, _ := Fit(want, got); v != No {
				t.Errorf("plain washer %v in a seat of %s: %s", got.Size, seat, v)
			}
		}
	}
}

// Rings for bores are sold by the bore. Neither the diameter of the groove nor
// the free outside of an old ring is the size to ask for, and from an old ring
// its size comes near at best.
func TestFitClips(t *testing.T) {
	for _, row := range table(t, "testdata/clips.tsv", 16) {
		bore, wire, free, groove := length(t, row[0]), length(t, row[1]), length(t, row[2]), length(t, row[3])
		ring := Part{Role: Clip, Size: measure.Size{Outer: bore, Height: wire}}
		for _, tt := range []struct {
			what    string
			want    Wanted
			verdict Verdict
		}{
			{"its bore", Wanted{Measured: Measured{Bore: bore}}, Fits},
			{"its bore and thickness", Wanted{Size: measure.Size{Height: wire}, Measured: Measured{Bore: bore}}, Fits},
			{"another thickness", Wanted{Size: measure.Size{Height: wire - 150}, Measured: Measured{Bore: bore}}, No},
			{"1 mm less, as beside the groove", Wanted{Measured: Measured{Bore: bore - 1000}}, Near},
			{"1 mm more", Wanted{Measured: Measured{Bore: bore + 1000}}, No},
			{"its groove taken for the bore", Wanted{Measured: Measured{Bore: groove}}, No},
			{"its free outside taken for the size", Wanted{Size: measure.Size{Outer: free}}, No},
			{"an old one", Wanted{Size: measure.Size{Outer: free}, Measured: Measured{Worn: true}}, Near},
			{"an old one, 1 mm larger than it stands", Wanted{Size: measure.Size{Outer: free + 1100}, Measured: Measured{Worn: true}}, No},
		} {
			tt.want.Role = Clip
			if tt.what == "an old one, 1 mm larger than it stands" && free-bore < 4200 {
				continue
			}
			if v, why := Fit(tt.want, ring); v != tt.verdict {
				t.Errorf("ring for %s, %s: %s %v, want %s", row[0], tt.what, v, why, tt.verdict)
			}
		}
	}
}

// Tolerances of ISO 286-1, from memory, micrometres: of each range its largest
// nominal size, and the first of the next.
func TestGrades(t *testing.T) {
	for _, tt := range []struct {
		nominal              string
		h8, h9, it14h, it15h measure.Length
	}{
		{"6", 18, 30, 300, 480},
		{"6.001", 22, 36, 360, 580},
		{"10", 22, 36, 360, 580},
		{"18", 27, 43, 430, 700},
		{"30", 33, 52, 520, 840},
		{"30.001", 39, 62, 620, 1000},
		{"41", 39, 62, 620, 1000},
		{"50", 39, 62, 620, 1000},
		{"54", 46, 74, 740, 1200},
		{"80", 46, 74, 740, 1200},
		{"100", 54, 87, 870, 1400},
	} {
		l := length(t, tt.nominal)
		if a, b, c, d := it8.of(l), it9.of(l), it14.of(l), it15.of(l); a != tt.h8 || b != tt.h9 || c != tt.it14h || d != tt.it15h {
			t.Errorf("%s mm: %d %d %d %d", tt.nominal, a, b, c, d)
		}
	}
}
