package measure

import (
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// Thread is a screw thread, metric or of an inch series. The zero Thread is
// none. To ask whether two are the same, use Same rather than ==.
type Thread struct {
	Series  string // "M", or one of UNC UNF UNEF UN UNS BSW BSF BSC CEI
	Nominal string // as designated: "10" (mm), "5/16" or "1 1/8" (inches), "#10"
	Pitch   Length // of a metric thread; 0 where it is not stated
	PerInch int    // threads per inch; 0 where they are not stated
}

const series = `(UNC|UNF|UNEF|UNS|UN|BSW|BSF|BSC|CEI)`

// metricForm: 1 the diameter, 2 or 3 the pitch. inchForm: 1 or 4 the series, 2
// the nominal size, 3 or 5 the threads per inch.
var (
	metricForm = regexp.MustCompile(`(?i)^M ?(\d*[.,]?\d+)(?: ?[x×*-] ?(\d*[.,]?\d+)| ?P ?(\d*[.,]?\d+))?(?: ?mm)?$`)
	inchForm   = regexp.MustCompile(`(?i)^(?:` + series + ` )?(#\d{1,2}|(?:\d[ -])?\d{1,2}/\d{1,2}|\d)(?: ?"| in)?` +
		`(?: ?[x×*-] ?(\d{1,2}))?(?: ?tpi)?(?: ?` + series + `(?:[ -](\d{1,2}))?)?$`)
)

// ParseThread reads metric threads ("M10x1.25", "M10 x 1,25", "M10 P1.25",
// "M10" with the pitch not stated) and inch threads that name their series
// ("5/16-24 UNF", "5/16 x 24 UNF", "#10-32 UNF", "UNF 5/16-24", "5/16 BSF"
// with the threads per inch not stated). It returns an Invalid fault for any
// other text, for diameters outside 1 to 100 mm or 4 in, and for a pitch above
// a quarter of the diameter, which no ISO 261 thread has: there a bolt's
// length was written.
func ParseThread(text string) (Thread, error) {
	if s, ok := tidy(text); ok {
		if part := metricForm.FindStringSubmatch(s); part != nil {
			return metricThread(text, part[1], part[2]+part[3])
		}
		if part := inchForm.FindStringSubmatch(s); part != nil {
			if t, ok := inchThread(part); ok {
				return t, nil
			}
		}
	}
	return Thread{}, bad("bad_thread", "thread", text)
}

func metricThread(text, diameter, pitch string) (Thread, error) {
	d, err := ParseLength(diameter)
	if err != nil || d < 1*Millimetre || d > 100*Millimetre {
		return Thread{}, bad("bad_thread", "thread", text)
	}
	t := Thread{Series: "M", Nominal: d.String()}
	if pitch == "" {
		return t, nil
	}
	if t.Pitch, err = ParseLength(pitch); err != nil {
		return Thread{}, bad("bad_thread", "thread", text)
	}
	if t.Pitch*4 > d {
		return Thread{}, bad("bad_pitch", "pitch", text, t.Pitch)
	}
	return t, nil
}

// inchThread reads the parts that inchForm found.
func inchThread(part []string) (Thread, bool) {
	if (part[1] == "") == (part[4] == "") || part[3] != "" && part[5] != "" {
		return Thread{}, false
	}
	t := Thread{Series: strings.ToUpper(part[1] + part[4]), Nominal: part[2]}
	if perInch := part[3] + part[5]; perInch != "" {
		t.PerInch, _ = strconv.Atoi(perInch)
		if t.PerInch < 3 || t.PerInch > 80 {
			return Thread{}, false
		}
	}
	if number, ok := strings.CutPrefix(t.Nominal, "#"); ok {
		n, _ := strconv.Atoi(number)
		t.Nominal = "#" + strconv.Itoa(n)
		return t, n <= 12
	}
	whole, over, under := "", t.Nominal, "1"
	if a, b, ok := strings.Cut(t.Nominal, "/"); ok {
		over, under = a, b
		if i := strings.IndexAny(a, " -"); i >= 0 {
			whole, over = a[:i], a[i+1:]
		}
	}
	inches := fraction(whole, over, under)
	if inches == nil || inches.Sign() == 0 || inches.Cmp(big.NewRat(4, 1)) > 0 {
		return Thread{}, false
	}
	t.Nominal = mixed(inches)
	return t, true
}

// mixed writes r as "1", "5/16" or "1 1/8".
func mixed(r *big.Rat) string {
	whole, over := new(big.Int).QuoRem(r.Num(), r.Denom(), new(big.Int))
	part := over.String() + "/" + r.Denom().String()
	switch {
	case over.Sign() == 0:
		return whole.String()
	case whole.Sign() == 0:
		return part
	}
	return whole.String() + " " + part
}

// String gives "M10x1.25", "M10", "5/16-24 UNF" or "5/16 UNF"; "" for the
// zero Thread.
func (t Thread) String() string { return t.write("x", '.') }

// Screen gives t with that decimal mark and U+00D7 before a pitch.
func (t Thread) Screen(mark rune) string { return t.write("×", mark) }

func (t Thread) write(cross string, mark rune) string {
	switch {
	case t.Series == "":
		return ""
	case t.Series != "M" && t.PerInch != 0:
		return t.Nominal + "-" + strconv.Itoa(t.PerInch) + " " + t.Series
	case t.Series != "M":
		return t.Nominal + " " + t.Series
	}
	s := "M" + strings.Replace(t.Nominal, ".", string(mark), 1)
	if t.Pitch != 0 {
		s += cross + t.Pitch.Screen(mark)
	}
	return s
}

// Stated reports whether t says its pitch or its threads per inch.
func (t Thread) Stated() bool { return t.Pitch != 0 || t.PerInch != 0 }

// Same reports whether t and other are the same thread. It is false where
// either leaves its pitch out: M10x1.25 and M10x1 are both met.
func (t Thread) Same(other Thread) bool { return t == other && t.Stated() }

// Diameter gives the nominal outside diameter, that of inch threads rounded
// half to even; number sizes are 0.060 in + 0.013 in for each number (ASME
// B1.1, from memory). It is 0 for a Thread that ParseThread did not make.
func (t Thread) Diameter() Length {
	text := t.Nominal
	if number, ok := strings.CutPrefix(text, "#"); ok {
		n, _ := strconv.Atoi(number)
		text = "0." + strconv.Itoa(1060 + 13*n)[1:]
	}
	if t.Series != "M" {
		text += " in"
	}
	d, _ := ParseLength(text)
	return d
}

// coarse is ISO 262: M6 to M12 as trade tables print it (M5: ISO 4762), the
// others from memory.
var coarse = map[string]Length{
	"3": 500, "4": 700, "5": 800, "6": 1000, "8": 1250, "10": 1500, "12": 1750, "14": 2000, "16": 2000,
}

// CoarseHint gives the ISO 262 coarse pitch of a metric thread whose pitch is
// not stated, 0 where it is stated or there is none. It is a hint to show, no
// ground to call two threads the same.
func (t Thread) CoarseHint() Length {
	if t.Series != "M" || t.Stated() {
		return 0
	}
	return coarse[t.Nominal]
}
