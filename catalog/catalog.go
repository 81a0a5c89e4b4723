// Package catalog knows what fits what: parts, forks and their positions, the
// bikes that carry them, kits, what barcodes stand for, and what suppliers
// offer.
//
// Lengths are measure.Length (micrometres), 0 meaning "not known"; amounts are
// whole numbers of the part's unit. Every size and every fit is a claim with a
// source. Sizes of one part are compared inside its role only: a shaft seal of
// the same three numbers is no fork seal.
//
// Functions take the transaction of their caller and never begin one.
//
// Non-goals: stock (package inventory), words and ranking (package search).
package catalog

import (
	"strings"
	"unicode"

	"forkstock/internal/measure"
)

// Normal gives the form in which two spellings of a number or a name are the
// same: letters and digits only, letters in upper case.
func Normal(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToUpper(r)
		}
		return -1
	}, s)
}

// A Role is what a part does in a fork. The values are those of the contract.
type Role string

// The roles that the code names; Roles lists them all.
const (
	OilSeal      Role = "oil_seal"
	Wiper        Role = "wiper"
	TubeBushing  Role = "tube_bushing"
	LowerBushing Role = "lower_bushing"
	BackupWasher Role = "backup_washer"
	Clip         Role = "clip"
	BottomBolt   Role = "bottom_bolt"
	BottomWasher Role = "bottom_washer"
	DrainScrew   Role = "drain_screw"
	DrainWasher  Role = "drain_washer"
	CapORing     Role = "cap_oring"
	Oil          Role = "oil"
	Kit          Role = "kit"
	Other        Role = "other"
)

// Roles lists every role, in the order in which a leg is thought of.
var Roles = []Role{
	OilSeal, Wiper, TubeBushing, LowerBushing, BackupWasher, Clip, BottomBolt, BottomWasher, DrainScrew, DrainWasher,
	CapORing, "oil_lock", "protector", "gaiter", "spring", "topout_spring", "spacer", "piston_ring", "cartridge_seal",
	"bladder", "air_valve", "base_valve_oring", Oil, Kit, "tool", "consumable", Other,
}

// Units of parts.
const (
	Piece      = "piece"
	Millilitre = "mL"
)

// null gives NULL for a length that is not known.
func null(l measure.Length) any {
	if l == 0 {
		return nil
	}
	return int64(l)
}

// textOrNull gives NULL for an empty reference.
func textOrNull(s string) any {
	if s == "" {
		return nil
	}
	return s
}
