// Package gs1 knows the keys and element strings of the GS1 system: check
// digits, GTINs in one form, UPC-E expansion, and the application identifiers
// (AI) that GS1-128, GS1 DataMatrix and GS1 QR symbols carry.
//
// A GTIN is text of 14 digits everywhere in forkstock, shorter ones filled
// with zeros on the left. Values are the text of the symbol; a date is
// "YYYY-MM-DD".
//
// Non-goals: the lookup of company prefixes, and generating symbols or scan
// data.
//
// Sources: GS1 General Specifications 21.0.1, clauses 3 (AIs), 5.2 (UPC-E,
// after BS EN 797:1996), 7.8 (processing of element strings), 7.9 (check
// digits), 7.12 (dates); the AI list of GS1's Barcode Syntax Dictionary of
// July 2026.
package gs1

import "strings"

// UPCE is the name of the symbology UPC-E, the only one that changes how
// eight digits are read.
const UPCE = "upce"

// Key gives the text under which a shop files a scanned code. Text of 8, 12,
// 13 or 14 digits with a right check digit becomes a GTIN-14, whatever its
// symbology; UPC-E is expanded first. Anything else is its trimmed text, case
// kept, and gtin is false. Key of a key is the key.
func Key(symbology, text string) (key string, gtin bool) {
	text = strings.TrimSpace(text)
	if symbology == UPCE {
		if upca, ok := ExpandUPCE(text); ok {
			return GTIN14(upca)
		}
		return text, false
	}
	return GTIN14(text)
}

// GTIN14 fills a GTIN-8, -12, -13 or -14 with zeros on the left to 14 digits.
// Text that is none comes back unchanged with false.
func GTIN14(text string) (string, bool) {
	if !Valid(text) {
		return text, false
	}
	return "00000000000000"[len(text):] + text, true
}

// Printed gives a GTIN-14 the way packs print it: as the 13 digits of an
// EAN-13 or the 8 of an EAN-8 where only zeros stand before them. Other text
// comes back unchanged.
func Printed(key string) string {
	if len(key) != 14 || !Valid(key) {
		return key
	}
	if short := strings.TrimPrefix(key, "000000"); len(short) == 8 {
		return short
	}
	return strings.TrimPrefix(key, "0")
}

// Readings gives the GTINs that eight bare digits can mean when the symbology
// is not known: as EAN-8, and as UPC-E. 01234565 has two. Other text has none.
func Readings(text string) []string {
	text = strings.TrimSpace(text)
	if len(text) != 8 {
		return nil
	}
	var all []string
	if gtin, ok := GTIN14(text); ok {
		all = append(all, gtin)
	}
	if upca, ok := ExpandUPCE(text); ok {
		gtin, _ := GTIN14(upca)
		all = append(all, gtin)
	}
	return all
}
