package wording

import (
	"slices"
	"strings"

	"forkstock/catalog"
)

// A match is a name of a kind of part in the text, in tokens a to b.
type match struct {
	term  *Term
	a, b  int
	is    class // of a name of two words that is none of a part
	set   bool  // the word also says that it is a set of them
	with  bool  // it comes with the part: "with a spring"
	about bool  // it only says what the part is for or beside: "for fork seals"
}

// match finds the names of kinds of parts, the longest first from each place.
func (r *reader) match() {
	for i := 0; i < len(r.tokens); {
		t := &r.tokens[i]
		if t.kind != word {
			i++
			continue
		}
		m := match{a: i, b: i, term: t.term, set: t.is&setWord != 0}
		r.longer(&m)
		if m.b > i && t.is&aFork != 0 { // fork wiper seal
			if next := (match{a: i + 1, b: i + 1}); r.longer(&next) && next.b > m.b {
				m.b, m.term = next.b, next.term
			}
		}
		if m.term == nil && m.b > i { // valve stem
			for j := i; j <= m.b; j++ {
				r.tokens[j].is, r.tokens[j].term = m.is, nil
			}
		}
		r.turned(&m)
		if m.term != nil && (m.b+1 >= len(r.tokens) || r.tokens[m.b+1].is&holding == 0) {
			m.with = r.follows(i, along) || len(r.matches) > 0 && r.matches[len(r.matches)-1].with && r.follows(i, joining)
			m.about = r.follows(i, before) || i > 0 && r.tokens[i-1].is&noun != 0 || m.b+1 < len(r.tokens) && r.tokens[m.b+1].is&denial != 0
			r.matches = append(r.matches, m)
		}
		i = m.b + 1
	}
}

// key gives the folded words from token a to b as one.
func (r *reader) key(a, b int) string { return string(r.folded[r.tokens[a].keyFrom:r.tokens[b].keyTo]) }

// longer makes m the longest name that begins at its token. A word that means
// nothing is only tried with the next: "Staub kappen". It reports whether there
// is one of several words.
func (r *reader) longer(m *match) bool {
	most := 2
	switch {
	case lex.begins[string(r.folded[r.tokens[m.a].keyFrom:r.tokens[m.a].keyTo])]:
		most = lex.most
	case r.tokens[m.a].known:
		return false
	}
	words := 1
	for b := m.a + 1; b < len(r.tokens) && words < most; b++ {
		t := &r.tokens[b]
		if t.kind == mark && (t.sign == '-' || t.sign == '_') {
			continue
		}
		if t.kind != word {
			break
		}
		words++
		found, ok := lex.words[string(r.folded[r.tokens[m.a].keyFrom:t.keyTo])]
		if ok && (found.term != nil || words == 2 && found.is&(foreign|small) != 0) {
			m.term, m.b, m.is = found.term, b, found.is
		}
	}
	return m.b > m.a
}

// turned makes m the name that has its words turned round: "Seal, dust", "SEAL DUST".
func (r *reader) turned(m *match) {
	i := m.b + 1
	if i < len(r.tokens) && r.tokens[i].sign == ',' {
		i++
	}
	if m.term == nil || i >= len(r.tokens) || r.tokens[i].kind != word {
		return
	}
	last := len(r.folded)
	r.folded = append(r.folded, r.folded[r.tokens[i].keyFrom:r.tokens[i].keyTo]...)
	r.folded = append(r.folded, r.folded[r.tokens[m.a].keyFrom:r.tokens[m.b].keyTo]...)
	if found := lex.words[string(r.folded[last:])]; found.term != nil && found.term != r.tokens[i].term {
		m.term, m.b = found.term, i
	}
	r.folded = r.folded[:last]
}

// follows reports whether a word of a class stands before a token, with nothing
// but small words, forks and numbers between.
func (r *reader) follows(at int, is class) bool {
	for i := at - 1; i >= 0; i-- {
		t := &r.tokens[i]
		switch {
		case t.is&is != 0:
			return true
		case t.kind == number && (t.zero || t.digits > 3): // of a part
			return false
		case t.kind != number && t.sign != 'x' && t.sign != '-' && t.is&(mmWord|small|aFork|numeral|pairWord|elastomerWord|materialWord) == 0:
			return false
		}
	}
	return false
}

// fork gives the first token that names a fork, -1 where none does.
func (r *reader) fork() int {
	return slices.IndexFunc(r.tokens, func(t token) bool { return t.is&aFork != 0 })
}

// forked reports whether the text names a fork or a part of one.
func (r *reader) forked() bool {
	return r.fork() >= 0 || r.saying(onlyFork) || slices.ContainsFunc(r.matches, r.ofFork)
}

// foreign notes that the text names another part of the bike, unless it names
// a part of a fork by name and a fork.
func (r *reader) foreign() bool {
	at := slices.IndexFunc(r.tokens, func(t token) bool { return t.is&foreign != 0 })
	for at >= 0 && r.named(at) {
		next := slices.IndexFunc(r.tokens[at+1:], func(t token) bool { return t.is&foreign != 0 })
		if next < 0 {
			return false
		}
		at += 1 + next
	}
	if at < 0 {
		return false
	}
	if r.fork() >= 0 && slices.ContainsFunc(r.matches, r.ofFork) {
		return false
	}
	r.out = Reading{Foreign: propose(r, r.text[r.tokens[at].from:r.tokens[at].to], at, at, Certain)}
	return true
}

// named reports whether a token stands in the name of a kind of part.
func (r *reader) named(at int) bool {
	return slices.ContainsFunc(r.matches, func(m match) bool { return m.a <= at && at <= m.b && m.a < m.b })
}

// ofFork reports whether a match is a part of a fork by its own words.
func (r *reader) ofFork(m match) bool { return m.term.Use == OfFork || r.tokens[m.a].is&aFork != 0 }

// role proposes the kind of part.
func (r *reader) role() {
	var found []match
	set := -1
	metal := r.out.Material.Value == "copper" || r.out.Material.Value == "aluminium"
	for i, m := range r.matches {
		if metal && m.term.Use == OfAny && m.term.Roles[0] == catalog.OilSeal { // a washer, whatever they call it
			m.term = &washer
		}
		m = r.narrowed(m)
		switch {
		case m.set || isKit(m.term):
			if set < 0 || !weakSet(r, m) {
				set = i
			}
			if !isKit(m.term) {
				found = append(found, m)
			} else if seal := r.tokens[max(m.b-1, 0)].term; m.b > m.a && weakSet(r, m) && seal != nil { // seal set
				found = append(found, match{term: seal, a: m.a, b: m.b})
			}
		case !m.about:
			found = append(found, m)
		}
	}
	found = clearer(found)
	if tools := slices.IndexFunc(found, isTool); tools >= 0 && (set < 0 || found[tools].a < r.matches[set].a) {
		r.propose(found[tools], found[tools].term.Roles[0], true)
		return
	}
	kinds := distinct(found)
	one := slices.IndexFunc(found, func(m match) bool { return len(m.term.Roles) == 1 })
	switch {
	case set >= 0:
		r.kit(r.matches[set], found, kinds)
	case slices.ContainsFunc(found, func(m match) bool { return m.with }):
		r.together(found)
	case len(kinds) == 1 && kinds[0] == catalog.Oil && !r.grade && !r.out.Volume.Made():
		// a gauge or measuring cup, perhaps
	case len(kinds) == 1 && one >= 0:
		r.propose(found[one], kinds[0], true)
	case len(kinds) == 1 && kinds[0] == catalog.BottomWasher && found[0].term.Alone && !r.drains(found[0]) && !r.saying(engine):
		r.propose(found[0], kinds[0], false)
	case len(kinds) > 1:
		r.several(found, kinds)
	}
}

var lowerBushing = Term{Roles: roles(catalog.LowerBushing), Use: OfFork}

// washer is what a Dichtring of copper is.
var washer = Term{Roles: roles(catalog.BottomWasher, catalog.DrainWasher), Alone: true}

// clearer leaves out what is said by the way where another kind of part is
// named: verbs such as "covers", and oil that is to stay where it is.
func clearer(found []match) []match {
	if len(distinct(found)) < 2 {
		return found
	}
	return slices.DeleteFunc(found, func(m match) bool {
		vague := len(m.term.Roles) > 1 && slices.ContainsFunc(found, func(o match) bool {
			return len(o.term.Roles) == 1 && slices.Contains(m.term.Roles, o.term.Roles[0])
		})
		return vague || m.term.Use == Doubtful || m.term.Use == OfAny && m.term.Roles[0] == catalog.Oil
	})
}

func isKit(t *Term) bool { return t.Roles[0] == catalog.Kit }

func isTool(m match) bool { return m.term.Roles[0] == tool || m.term.Roles[0] == consumable }

// weakSet reports whether a match may be a set of one kind of part: "set" and
// not "kit".
func weakSet(r *reader, m match) bool { return r.tokens[m.b].is&setWord != 0 }

// distinct gives the first roles of matches, each once.
func distinct(all []match) (kinds []catalog.Role) {
	for _, m := range all {
		if !slices.Contains(kinds, m.term.Roles[0]) {
			kinds = append(kinds, m.term.Roles[0])
		}
	}
	return kinds
}

// propose proposes a role. It is certain where the words are of forks or a
// fork is named.
func (r *reader) propose(m match, role catalog.Role, sure bool) {
	bare := !r.out.Size.Made() && !r.out.Leg.Made() && !r.out.Thread.Made() && r.out.Models == nil
	metal := r.out.Material.Value == "copper" || r.out.Material.Value == "aluminium"
	switch {
	case !r.forked() && m.term.Use != OfFork && !m.term.Alone && (bare || m.term.Use == Doubtful): // a word alone says too little
		return
	case m.term.Use != OfFork && role == catalog.OilSeal && r.saying(damper|ofCap): // which have seals of their own
		return
	case role == catalog.TubeBushing && m.term.Use == Doubtful && r.saying(outside), role == catalog.LowerBushing && m.term.Use == Doubtful && r.saying(inside):
		return
	case isBolt(m.term) && (metal || r.saying(clamping)): // then its washer is meant, or one of the clamps
		return
	}
	trust := Uncertain
	if sure && m.term.Use != Doubtful && (r.ofFork(m) || r.forked()) {
		trust = Certain
	}
	r.out.Role = propose(r, role, m.a, m.b, trust)
}

// kit proposes a kit, or where the words speak of a set of one kind of part,
// that part.
func (r *reader) kit(set match, found []match, kinds []catalog.Role) {
	weak := weakSet(r, set)
	switch {
	case !weak && len(kinds) == 1 && kinds[0] != catalog.OilSeal && len(found[0].term.Roles) == 1:
		r.propose(set, catalog.Kit, false) // of two springs?
	case !weak && len(kinds) == 0 && r.out.Pieces.Value == 2:
		r.propose(set, catalog.Kit, false) // of two seals?
	case !weak || len(kinds) > 1:
		r.propose(set, catalog.Kit, true)
	case len(kinds) == 0:
		r.propose(set, catalog.Kit, false)
	case len(found[0].term.Roles) > 1 || kinds[0] == catalog.OilSeal && r.out.Pieces.Value != 2:
		r.propose(set, catalog.Kit, false)
	default:
		r.propose(found[0], kinds[0], true)
	}
}

// accessories are named by what they belong to: a "clip, fork seal" is a clip.
// The first of them that is named is the part.
var accessories = []catalog.Role{
	catalog.Clip, catalog.BackupWasher, catalog.BottomWasher, catalog.DrainWasher, catalog.CapORing, baseValveORing, spacer,
	topoutSpring,
}

// several proposes the role of a text that names several kinds of parts: all
// of them together, or the one that belongs to the other.
func (r *reader) several(found []match, kinds []catalog.Role) {
	first, last := found[0], found[len(found)-1]
	listed := slices.ContainsFunc(r.tokens[first.b:last.a], func(t token) bool { return t.sign == ',' })
	if joined := r.joined(found); joined || listed && len(kinds) > 2 {
		r.propose(match{term: first.term, a: first.a, b: last.b}, catalog.Kit, len(kinds) > 2)
		return
	}
	for _, role := range accessories {
		for _, m := range found {
			if m.term.Roles[0] == role && len(m.term.Roles) == 1 {
				r.propose(m, role, true)
				return
			}
		}
	}
}

// together proposes the part that others come with: a bolt with its washer may
// also be both. A spring belongs to the lip of a seal; a seal with a wiper is
// left alone, as is what comes with something that is not known.
func (r *reader) together(found []match) {
	var main, with []match
	for _, m := range found {
		if m.with {
			with = append(with, m)
		} else {
			main = append(main, m)
		}
	}
	kinds, others := distinct(main), distinct(with)
	if len(kinds) != 1 || len(main[0].term.Roles) > 1 || slices.Contains(others, catalog.Wiper) || slices.Contains(others, catalog.OilSeal) {
		return
	}
	r.propose(main[0], kinds[0], len(others) == 1 && others[0] == spring && kinds[0] == catalog.OilSeal)
}

// joined reports whether "and" stands between two of the matches, with nothing
// but numbers and small words around it.
func (r *reader) joined(found []match) bool {
	passes := func(i int) bool {
		t := &r.tokens[i]
		return t.kind != word && t.sign != '+' && t.sign != '&' || t.sign == 'x' || t.is&(mmWord|small|aFork|numeral|pairWord) != 0
	}
	for n := 1; n < len(found); n++ {
		a, b := found[n-1].b+1, found[n].a-1
		for a < b && passes(a) {
			a++
		}
		for b > a && passes(b) {
			b--
		}
		if t := &r.tokens[a]; a == b && (t.is&joining != 0 || t.sign == '+' || t.sign == '&') {
			return true
		}
	}
	return false
}

// before gives the classes of the adjectives before a match.
func (r *reader) before(m match) (said class) {
	for i := m.a - 1; i >= 0 && (r.tokens[i].is&(inside|outside|ofCap|ofValve|aFork) != 0 || i > 0 && r.tokens[i].sign == '-' && r.tokens[i].glued); i-- {
		said |= r.tokens[i].is
	}
	return said
}

// beside gives the classes of the words next to a match: adjectives before it,
// and behind it with "for the" and the like between.
func (r *reader) beside(m match) (said class) {
	const where = inside | outside | ofCap | ofValve
	said = r.before(m)
	for i := m.b + 1; i < len(r.tokens); i++ {
		t := &r.tokens[i]
		if t.is&(where|aFork|small|before|joining) == 0 && t.sign != ',' && t.kind != number && t.sign != 'x' &&
			t.is&(mmWord|elastomerWord|materialWord) == 0 {
			break
		}
		said |= t.is
	}
	return said
}

// narrowed gives m with the one role that other words of the text leave, where
// its words name several: an inner bushing, a washer of the bottom bolt. An
// "outer fork tube bushing" is none of the inner tube.
func (r *reader) narrowed(m match) match {
	if m.term.Roles[0] == catalog.TubeBushing && len(m.term.Roles) == 1 && r.tokens[m.a].is&inside == 0 && r.before(m)&outside != 0 {
		m.term = &lowerBushing
	}
	if len(m.term.Roles) < 2 {
		return m
	}
	said := r.beside(m)
	bolt := slices.ContainsFunc(r.matches, func(o match) bool { return o.term.Roles[0] == catalog.BottomBolt && len(o.term.Roles) == 1 })
	drain := slices.ContainsFunc(r.matches, func(o match) bool { return o.term.Roles[0] == catalog.DrainScrew })
	var left []catalog.Role
	for _, role := range m.term.Roles {
		switch role {
		case catalog.TubeBushing:
			if said&inside != 0 {
				left = append(left, role)
			}
		case catalog.LowerBushing:
			if said&outside != 0 {
				left = append(left, role)
			}
		case catalog.CapORing:
			if said&ofCap != 0 {
				left = append(left, role)
			}
		case baseValveORing:
			if said&ofValve != 0 {
				left = append(left, role)
			}
		case catalog.BottomBolt:
			if r.forked() && r.saying(below) && !r.drains(m) {
				left = append(left, role)
			}
		case catalog.BottomWasher:
			if bolt {
				left = append(left, role)
			}
		case catalog.DrainWasher:
			if drain {
				left = append(left, role)
			}
		}
	}
	if len(left) == 1 {
		m.term = &Term{Words: m.term.Words, Roles: left, Use: m.term.Use, Alone: m.term.Alone}
		switch {
		case bolt:
			m.term.Use = OfFork
		case left[0] == catalog.BottomBolt: // by its place alone
			m.term.Use = Doubtful
		}
	}
	return m
}

// drains reports whether the words of a match speak of draining: of which of
// two bolts is not known.
func (r *reader) drains(m match) bool { return strings.HasPrefix(r.key(m.a, m.b), "drain") }
