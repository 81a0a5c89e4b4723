package wording

import (
	"slices"
	"strings"
)

// lexicon holds all words that Read knows.
type lexicon struct {
	words  map[string]meaning  // folded, without what parts them: "forkseal"
	begins map[string]bool     // words that a name of several begins with
	stems  map[string][]string // foreignStems by their first four letters
	slips  map[string][]string // a word with one letter left out -> such words
	most   int                 // words in a name
}

var lex = newLexicon()

func newLexicon() *lexicon {
	l := &lexicon{
		words: map[string]meaning{}, begins: map[string]bool{}, stems: map[string][]string{}, slips: map[string][]string{},
	}
	for is, list := range wordsOf {
		for _, w := range strings.Fields(list) {
			l.add(w, meaning{is: is})
		}
	}
	for is, list := range quantities {
		for w, n := range list {
			l.add(w, meaning{is: is, n: n})
		}
	}
	for is, list := range materials {
		for w, text := range list {
			l.add(w, meaning{is: is, text: text})
		}
	}
	for is, list := range pairs {
		for w := range strings.SplitSeq(Fold(list), ", ") {
			first, _, _ := strings.Cut(w, " ")
			l.begins[first] = true
			l.add(strings.ReplaceAll(w, " ", ""), meaning{is: is})
		}
	}
	for i := range Terms {
		for w := range strings.SplitSeq(Terms[i].Words, ", ") {
			l.addTerm(w, &Terms[i])
		}
	}
	for stem := range strings.FieldsSeq(foreignStems) {
		l.stems[stem[:4]] = append(l.stems[stem[:4]], stem)
	}
	for w, m := range l.words {
		if m.term != nil && len(w) >= leastSlip {
			for i := range w {
				l.slips[w[:i]+w[i+1:]] = append(l.slips[w[:i]+w[i+1:]], w)
			}
		}
	}
	for _, list := range l.slips {
		slices.Sort(list)
	}
	return l
}

// add joins what a word says to what else it says.
func (l *lexicon) add(w string, m meaning) {
	old := l.words[w]
	m.is |= old.is
	m.n = max(m.n, old.n)
	m.text = max(m.text, old.text)
	if old.term != nil {
		m.term = old.term
	}
	l.words[w] = m
}

// addTerm puts in words that name a kind of part, one and many.
func (l *lexicon) addTerm(words string, t *Term) {
	parts := strings.FieldsFunc(Fold(words), func(r rune) bool { return r == ' ' || r == '-' })
	key := strings.Join(parts, "")
	var is class
	if slices.ContainsFunc(forkStems, func(stem string) bool { return strings.HasPrefix(key, stem) }) {
		is = aFork
	}
	for _, end := range []string{"", "s", "n", "e", "es", "en"} { // one and many, English and German
		l.add(key+end, meaning{is: is, term: t})
	}
	if len(parts) > 1 {
		l.begins[parts[0]] = true
		l.most = max(l.most, len(parts))
	}
}

// Letters that a word has at least where one of them may be wrong, and that the
// end of a compound has: no Zylinderkopfdichtung is a seal.
const leastSlip, leastHead = 7, 9

// meaningOf says what a folded word means, the zero meaning where it is not
// known. German compounds are taken apart: a Gabelstaubkappensatz is a set of
// Staubkappen of a fork.
func (l *lexicon) meaningOf(key []byte) (meaning, bool) {
	if m, ok := l.words[string(key)]; ok {
		return m, true
	}
	if len(key) < 4 {
		return meaning{}, false
	}
	for _, stem := range forkStems {
		if rest, ok := strings.CutPrefix(string(key), stem); ok && len(rest) > 1 {
			if m, ok := l.meaningOf([]byte(rest)); ok {
				m.is |= aFork
				return m, true
			}
		}
	}
	for _, stem := range l.stems[string(key[:4])] {
		if strings.HasPrefix(string(key), stem) {
			return meaning{is: foreign}, true
		}
	}
	if w := string(key); strings.HasSuffix(w, "lager") && w != "gleitlager" || strings.Contains(w, "brems") {
		return meaning{is: foreign}, true
	}
	for _, many := range []struct {
		end string
		is  class
	}{{"satz", setWord}, {"set", setWord}, {"paar", pairWord}} {
		if rest, ok := strings.CutSuffix(string(key), many.end); ok && len(rest) > 5 {
			if m, ok := l.meaningOf([]byte(rest)); ok && m.term != nil {
				m.is |= many.is
				return m, true
			}
		}
	}
	for i := 3; len(key)-i >= leastHead; i++ {
		if m, ok := l.words[string(key[i:])]; ok && m.term != nil {
			return m, true
		}
	}
	if m, ok := l.slipped(string(key)); ok {
		return m, true
	}
	for _, end := range nounEnds {
		if strings.HasSuffix(string(key), end) && len(key) > len(end)+3 {
			return meaning{is: noun}, true
		}
	}
	if strings.HasPrefix(string(key), "gabel") {
		return meaning{is: aFork}, true
	}
	return meaning{}, false
}

// slipped gives the meaning of the first word by alphabet that names a kind of
// part and is key but for one letter.
func (l *lexicon) slipped(key string) (meaning, bool) {
	if len(key) < leastSlip {
		return meaning{}, false
	}
	best := ""
	see := func(w string) {
		if (best == "" || w < best) && oneSlip(key, w) {
			best = w
		}
	}
	for _, w := range l.slips[key] {
		see(w)
	}
	for i := range key {
		less := key[:i] + key[i+1:]
		if m, ok := l.words[less]; ok && m.term != nil && len(less) >= leastSlip {
			see(less)
		}
		for _, w := range l.slips[less] {
			see(w)
		}
	}
	m, ok := l.words[best]
	return m, ok
}

// oneSlip reports whether one letter is wrong, missing or too many between a
// and b, or two neighbours are swapped.
func oneSlip(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch {
	case len(b)-len(a) > 1:
		return false
	case len(b) > len(a):
		return a[i:] == b[i+1:]
	case i >= len(a)-1 || a[i+1:] == b[i+1:]:
		return true
	}
	return a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}
