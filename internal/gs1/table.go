package gs1

import (
	"strconv"
	"strings"
	"time"
)

// list is one line for each AI or range of AIs: the parts of its value in the
// notation of the General Specifications (N digits, X any of the 82
// characters, Y of the 39, Z of base64url; N6 exactly six, X..20 one to
// twenty, brackets: may be missing), each with what is checked beyond that:
// c check digit, p check pair, d date whose day may be 00, D date.
//
// Source: GS1 General Specifications 21.0.1, clause 3.2, brought up to July
// 2026 with the list in GS1's Barcode Syntax Dictionary. Not checked: country,
// currency and bank codes, times, coupons and percent encoding.
const list = `
00 N18c
01-03 N14c
10 X..20
11-13 N6d
15-17 N6d
20 N2
21-22 X..20
235 X..28
240-241 X..30
242 N..6
243 X..20
250-251 X..30
253 N13c [X..17]
254 X..20
255 N13c [N..12]
30 N..8
3100-3105 N6
3110-3115 N6
3120-3125 N6
3130-3135 N6
3140-3145 N6
3150-3155 N6
3160-3165 N6
3200-3205 N6
3210-3215 N6
3220-3225 N6
3230-3235 N6
3240-3245 N6
3250-3255 N6
3260-3265 N6
3270-3275 N6
3280-3285 N6
3290-3295 N6
3300-3305 N6
3310-3315 N6
3320-3325 N6
3330-3335 N6
3340-3345 N6
3350-3355 N6
3360-3365 N6
3370-3375 N6
3400-3405 N6
3410-3415 N6
3420-3425 N6
3430-3435 N6
3440-3445 N6
3450-3455 N6
3460-3465 N6
3470-3475 N6
3480-3485 N6
3490-3495 N6
3500-3505 N6
3510-3515 N6
3520-3525 N6
3530-3535 N6
3540-3545 N6
3550-3555 N6
3560-3565 N6
3570-3575 N6
3600-3605 N6
3610-3615 N6
3620-3625 N6
3630-3635 N6
3640-3645 N6
3650-3655 N6
3660-3665 N6
3670-3675 N6
3680-3685 N6
3690-3695 N6
37 N..8
3900-3909 N..15
3910-3919 N3 N..15
3920-3929 N..15
3930-3939 N3 N..15
3940-3943 N4
3950-3955 N6
400 X..30
401 X..30
402 N17c
403 X..30
410-417 N13c
420 X..20
421 N3 X..9
422 N3
423 N3 [N3] [N3] [N3] [N3]
424 N3
425 N3 [N3] [N3] [N3] [N3]
426 N3
427 X..3
4300-4301 X..35
4302-4306 X..70
4307 X2
4308 X..30
4309 N20
4310-4311 X..35
4312-4316 X..70
4317 X2
4318 X..20
4319 X..30
4320 X..35
4321-4323 N1
4324-4325 N6d N4
4326 N6D
4330-4333 N6 [X1]
7001 N13
7002 X..30
7003 N6D N4
7004 N..4
7005 X..12
7006 N6D
7007 N6D [N6D]
7008 X..3
7009 X..10
7010 X..2
7011 N6D [N4]
7020-7022 X..20
7023 X..30
7030-7039 N3 X..27
7040 N1 X3
7041 X..4
710-717 X..20
7230-7239 X2 X..28
7240 X..20
7241 N2
7242 X..25
7250 N8
7251 N12
7252 N1
7253-7254 X..40
7255 X..10
7256 X..90
7257 X..70
7258 X3
7259 X..40
8001 N14
8002 X..20
8003 N14c [X..16]
8004 X..30
8005 N6
8006 N14c N4
8007 X..34
8008 N6D N2 [N2] [N2]
8009 X..50
8010 Y..30
8011 N..12
8012 X..20
8013-8014 X..25p
8017-8018 N18c
8019 N..10
8020 X..25
8026 N14c N4
8030 Z..90
8040-8041 N15
8042 N32
8043 N18 [N..2]
8110 X..70
8111 N4
8112 X..70
8200 X..70
90 X..30
91-99 X..90`

// predefined is the whole length, AI included, of the element strings that
// need no FNC1 behind them, by the first two digits of the AI. The length
// holds for AIs that are not given out yet, too. Source: General
// Specifications, figure 7.8.4-2.
var predefined = map[string]int{
	"00": 20, "01": 16, "02": 16, "03": 16, "04": 18,
	"11": 8, "12": 8, "13": 8, "14": 8, "15": 8, "16": 8, "17": 8, "18": 8, "19": 8, "20": 4,
	"31": 10, "32": 10, "33": 10, "34": 10, "35": 10, "36": 10, "41": 16,
}

// alphabets are the characters of each class: digits, then tables 7.11-1 and
// 7.11-2 of the General Specifications, then RFC 4648, section 5, with padding.
var alphabets = map[byte]string{
	'N': "0123456789",
	'X': "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz",
	'Y': "#-/0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ",
	'Z': "-0123456789=ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz",
}

// A part is one piece of a value.
type part struct {
	class    byte // N, X, Y or Z
	min, max int
	optional bool
	check    byte // c, p, d, D, or 0
}

// A format is the parts of an AI's value, in order.
type format []part

// formats is list, one entry an AI.
var formats = expand(list)

func expand(list string) map[string]format {
	all := map[string]format{}
	for line := range strings.Lines(strings.TrimSpace(list)) {
		words := strings.Fields(line)
		var f format
		for _, w := range words[1:] {
			f = append(f, parsePart(w))
		}
		first, last, ranged := strings.Cut(words[0], "-")
		if !ranged {
			last = first
		}
		from, _ := strconv.Atoi(first)
		to, _ := strconv.Atoi(last)
		for n := from; n <= to; n++ {
			ai := strconv.Itoa(n)
			all[strings.Repeat("0", len(first)-len(ai))+ai] = f
		}
	}
	return all
}

// parsePart reads N14c, X..20 or [N3].
func parsePart(w string) part {
	bare := strings.Trim(w, "[]")
	p := part{optional: bare != w, class: bare[0]}
	size := bare[1:]
	if last := size[len(size)-1]; last > '9' {
		p.check, size = last, size[:len(size)-1]
	}
	upTo, variable := strings.CutPrefix(size, "..")
	p.max, _ = strconv.Atoi(upTo)
	p.min = p.max
	if variable {
		p.min = 1
	}
	return p
}

// lookup finds the AI at the front of text; no AI is the beginning of another.
func lookup(text string) (ai string, f format, ok bool) {
	for n := 2; n <= 4 && n <= len(text); n++ {
		if f, ok = formats[text[:n]]; ok {
			return text[:n], f, true
		}
	}
	return "", nil, false
}

// accepts reports whether value is made of the parts of f, nothing left over.
func (f format) accepts(value string) bool {
	for _, p := range f {
		if value == "" && p.optional {
			return true
		}
		n := min(len(value), p.max)
		if n < p.min || !p.accepts(value[:n]) {
			return false
		}
		value = value[n:]
	}
	return value == ""
}

func (p part) accepts(text string) bool {
	for i := range len(text) {
		if strings.IndexByte(alphabets[p.class], text[i]) < 0 {
			return false
		}
	}
	switch p.check {
	case 'c':
		return checked(text)
	case 'p':
		return pairChecked(text)
	case 'd', 'D':
		return dated(text, p.check == 'd')
	}
	return true
}

// dated reports whether text is a day YYMMDD. Whether 1900, 2000 or 2100 is
// meant matters only for 29 February: 2000 is the lenient one.
func dated(text string, day00 bool) bool {
	_, ok := Date(text, time.Date(2000+int(text[0]-'0')*10+int(text[1]-'0'), 1, 1, 0, 0, 0, 0, time.UTC))
	return ok && (day00 || text[4:] != "00")
}
