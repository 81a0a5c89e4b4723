package table

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// A Field is something that a column can hold.
type Field struct {
	Name  string   // what the caller calls it
	Words []string // what a header may call it, in any language; case, blanks, punctuation and accents do not count
}

// Columns tell which column holds which field.
type Columns struct {
	At      map[string]int    // field name -> column, from 0
	Units   map[string]string // field name -> unit of its header as it stands: "EUR", "mm"; absent where none is
	Unknown []string          // headers that no field goes by
	Twice   map[string][]int  // fields that two or more columns go by; they are not in At
}

// Match finds the fields in a header. A word is held against the whole header
// first, then against what is left without its unit: "Preis (EUR)", "ID mm",
// "Inner Ø [mm]", "price in €". What stands in brackets and is no unit belongs
// to the name: "Preis (brutto)" is not "Preis".
func Match(header []string, fields []Field) Columns {
	byWord := map[string]string{}
	for _, f := range fields {
		for _, w := range f.Words {
			if _, taken := byWord[fold(w)]; !taken {
				byWord[fold(w)] = f.Name
			}
		}
	}
	c := Columns{At: map[string]int{}, Units: map[string]string{}, Twice: map[string][]int{}}
	for i, name := range header {
		field, found := byWord[fold(name)]
		unit := ""
		if !found {
			var base string
			base, unit = cutUnit(name)
			field, found = byWord[fold(base)]
		}
		switch first, again := c.At[field]; {
		case fold(name) == "" && strings.TrimSpace(name) == "":
		case !found:
			c.Unknown = append(c.Unknown, name)
		case c.Twice[field] != nil:
			c.Twice[field] = append(c.Twice[field], i)
		case again:
			c.Twice[field] = []int{first, i}
			delete(c.At, field)
			delete(c.Units, field)
		default:
			c.At[field] = i
			if unit != "" {
				c.Units[field] = unit
			}
		}
	}
	return c
}

// fold gives the letters and digits of a name in lower case: accents away, ß
// as ss, ae, oe and ue as ä, ö and ü are folded, Ø and ⌀ alike.
func fold(name string) string {
	var b strings.Builder
	for _, c := range norm.NFKD.String(strings.ToLower(name)) {
		switch {
		case c == 'ß':
			b.WriteString("ss")
		case c == '⌀':
			b.WriteRune('ø')
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			b.WriteRune(c)
		}
	}
	return umlauts.Replace(b.String())
}

// umlauts are written with an e behind where a keyboard has none.
var umlauts = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")

var bracketed = regexp.MustCompile(`^(.+?)\s*[(\[{]\s*([^()\[\]{}]+?)\s*[)\]}]\s*$`)

// units that a header may state, folded but for the signs.
var units = strings.Fields(`mm cm m µm um in inch inches zoll " ″ ml l cc ccm cm3 cm³ floz g kg nm n·m lbft lbin kgm
	% eur euro € usd $ gbp £ chf sek nok dkk pln czk huf jpy aud cad nzd
	pc pcs piece pieces stk stck stück st pack pk ve tage tag days day d`)

// cutUnit takes the unit off a header; unit is "" where it states none.
func cutUnit(name string) (base, unit string) {
	if m := bracketed.FindStringSubmatch(name); m != nil {
		if unit = unitOf(m[2]); unit != "" {
			return m[1], unit
		}
	}
	for i, c := range name {
		if i > 0 && strings.ContainsRune(" _/,:;.-", c) {
			if unit = unitOf(name[i+1:]); unit != "" {
				return name[:i], unit
			}
		}
	}
	return name, ""
}

// unitOf gives a unit, or units with a stroke (EUR/Stk), without what leads to
// it or ends it; "" where text is none.
func unitOf(text string) string {
	text = strings.Trim(text, " .")
	if first, rest, ok := strings.Cut(text, " "); ok && strings.EqualFold(first, "in") {
		text = strings.TrimSpace(rest)
	}
	for part := range strings.SplitSeq(strings.ToLower(text), "/") {
		if !slices.Contains(units, strings.ReplaceAll(strings.Trim(part, " ."), " ", "")) {
			return ""
		}
	}
	return text
}
