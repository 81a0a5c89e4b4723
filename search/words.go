package search

import (
	"strings"

	"forkstock/catalog"
)

// synonyms are the words for the kinds of parts, English and German, as they
// are typed; several in a row part at commas. Where words name several kinds,
// the likelier stands first: a "drain bolt" is the bottom bolt before it is
// the drain screw. Words of the trade; common practice, no source.
var synonyms = []struct {
	words string
	roles []catalog.Role
}{
	{
		"oil seal, fork seal, fork oil seal, seal, Gabeldichtring, Gabelsimmerring, Simmerring, Dichtring, Wellendichtring, Öldichtring, Gabeldichtung, Dichtung",
		[]catalog.Role{catalog.OilSeal},
	},
	{
		"dust seal, dust seal wiper, wiper, wiper seal, fork wiper, dust cover, dust cap, scraper, Staubkappe, Staubring, Staubmanschette, Staubdichtung, Staubdichtring, Abstreifer, Staubschutz",
		[]catalog.Role{catalog.Wiper},
	},
	{
		"bushing on the inner tube, tube bushing, inner tube bushing, inner bushing, Gleitbuchse auf dem Innenrohr, Gleitbuchse Innenrohr, Führungsbuchse",
		[]catalog.Role{catalog.TubeBushing},
	},
	{
		"bushing in the outer tube, lower bushing, slider bushing, outer tube bushing, outer bushing, Gleitbuchse im Außenrohr, Gleitbuchse Außenrohr",
		[]catalog.Role{catalog.LowerBushing},
	},
	{"bushing, bush, fork bushing, Gleitbuchse, Buchse, Gabelbuchse", []catalog.Role{catalog.TubeBushing, catalog.LowerBushing}},
	{
		"backup washer, back-up washer, backup ring, seal washer, seal spacer, Stützscheibe, Stützring, Distanzscheibe",
		[]catalog.Role{catalog.BackupWasher},
	},
	{
		"circlip, stopper ring, circlip stopper ring, retaining clip, retaining ring, snap ring, clip, seal clip, Sprengring, Sicherungsring",
		[]catalog.Role{catalog.Clip},
	},
	{
		"bottom bolt, damper rod bolt, damper bolt, Bodenschraube, Dämpferschraube, Zentralschraube",
		[]catalog.Role{catalog.BottomBolt},
	},
	{"drain bolt, bolt", []catalog.Role{catalog.BottomBolt, catalog.DrainScrew}},
	{"drain screw, Ablassschraube, Ablaßschraube, Ölablassschraube", []catalog.Role{catalog.DrainScrew}},
	{"screw, Schraube", []catalog.Role{catalog.BottomBolt, catalog.DrainScrew}},
	{
		"bottom washer, bottom bolt washer, damper bolt washer, Dichtring der Bodenschraube, Dichtring Bodenschraube",
		[]catalog.Role{catalog.BottomWasher},
	},
	{
		"crush washer, copper washer, sealing washer, drain bolt washer, Kupferring, Kupferdichtring, Kupferscheibe",
		[]catalog.Role{catalog.BottomWasher, catalog.DrainWasher},
	},
	{
		"drain washer, drain screw washer, Dichtring der Ablassschraube, Dichtring Ablassschraube",
		[]catalog.Role{catalog.DrainWasher},
	},
	{"washer, Scheibe", []catalog.Role{catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher}},
	{
		"fork cap o-ring, cap o-ring, O-Ring der Verschlussschraube, O-Ring Verschlussschraube",
		[]catalog.Role{catalog.CapORing},
	},
	{"base valve o-ring, O-Ring des Bodenventils, O-Ring Bodenventil", []catalog.Role{"base_valve_oring"}},
	{"o-ring", []catalog.Role{catalog.CapORing, "base_valve_oring"}},
	{"oil lock, oil-lock piece, oil lock valve, Ölstopphülse", []catalog.Role{"oil_lock"}},
	{"protector, cover, fork protector, Schutzkappe, Protektor", []catalog.Role{"protector"}},
	{"gaiter, fork gaiter, fork boot, boot, Faltenbalg, Faltenbälge", []catalog.Role{"gaiter"}},
	{"spring, fork spring, Gabelfeder, Feder", []catalog.Role{"spring"}},
	{"top-out spring, rebound spring, Ausfederanschlag", []catalog.Role{"topout_spring"}},
	{"spacer, preload spacer, Vorspannhülse, Distanzhülse", []catalog.Role{"spacer"}},
	{"piston ring, Kolbenring", []catalog.Role{"piston_ring"}},
	{"cartridge seal, Kartuschendichtring, Kartuschendichtung", []catalog.Role{"cartridge_seal"}},
	{"bladder, Blase", []catalog.Role{"bladder"}},
	{"air valve, Luftventil", []catalog.Role{"air_valve"}},
	{"fork oil, oil, Gabelöl, Öl", []catalog.Role{catalog.Oil}},
	{
		"kit, seal kit, fork seal kit, set, seal set, Satz, Sätze, Dichtsatz, Gabeldichtsatz, Dichtringsatz, Reparatursatz",
		[]catalog.Role{catalog.Kit},
	},
	{"tool, Werkzeug, seal driver, Eintreiber", []catalog.Role{"tool"}},
	{"consumable, Verbrauchsmittel", []catalog.Role{"consumable"}},
}

// stockWords ask for what is on the shelf.
const stockWords = "in stock, on hand, on the shelf, auf Lager, vorrätig, am Lager, lagernd, vorhanden, verfügbar, available"

// layoutWords name the layout of a fork, legWords one of its legs.
var (
	layoutWords = map[string]string{
		"upside-down":  "upside-down, upside-down fork, USD, USD fork, inverted, inverted fork, Upside-down-Gabel, USD-Gabel",
		"conventional": "conventional, right way up, konventionell, konventionelle",
	}
	legWords = map[string]string{
		"left":  "left, left leg, links, linke, linker, linkes, linken",
		"right": "right, right leg, rechts, rechte, rechter, rechtes, rechten",
	}
)

// idle words say nothing in a search.
const idle = "fork, forks, gabel, motorcycle, bike, motorrad, for, für, of, the, a, an, and, und, with, mit, der, die, das, " +
	"leg, legs, fork leg, stanchion, Holm, Holme, Holmen, Gabelholm, Standrohr, Standrohre, Standrohren, " +
	"diameter, Durchmesser, size, Größe, mm, part, parts, teil, teile, year, bj, baujahr, von, from, ab, to, bis"

// commas gives the parts of a list as the tables above write it.
func commas(list string) []string { return strings.Split(list, ", ") }

// endings are what German and English put behind a word for many of it.
var endings = []string{"s", "n", "e", "es", "en"}
