package search

import (
	"strings"

	"forkstock/catalog"
	"forkstock/catalog/wording"
)

// stockWords ask for what is on the shelf, outWords for what is not.
const (
	stockWords = "in stock, stocked, on hand, on the shelf, auf Lager, vorrätig, am Lager, im Lager, im Bestand, lagernd, vorhanden, verfügbar, available"
	outWords   = "out of stock, sold out, run out, unavailable, ausverkauft, vergriffen"
)

// layoutWords name the layout of a fork, legWords one of its legs.
var (
	layoutWords = map[string]string{
		"upside-down":  "upside-down, upside down, upsidedown, upside-down fork, USD, USD fork, inverted, inverted fork, Upside-down-Gabel, USD-Gabel, umgekehrt",
		"conventional": "conventional, conventional fork, right way up, RWU, standard fork, konventionell, konventionelle, konventionelle Gabel",
	}
	legWords = map[string]string{
		"left":  "left, left leg, links, linke, linker, linkes, linken",
		"right": "right, right leg, rechts, rechte, rechter, rechtes, rechten",
	}
)

// idle words say nothing in a search.
const idle = "fork, forks, gabel, Telegabel, Telegabeln, Teleskopgabel, telescopic fork, telescopic forks, that, are, is, sind, ist, motorcycle, bike, motorrad, for, für, of, the, a, an, and, und, with, mit, der, die, das, in, im, on, " +
	"leg, legs, fork leg, Holm, Holme, Holmen, Gabelholm, strength, strength class, Festigkeit, Festigkeitsklasse, thread, Gewinde, " +
	"diameter, Durchmesser, size, Größe, mm, part, parts, teil, teile, year, bj, baujahr, von, from, ab, to, bis, I need, ich brauche"

// tubeWords name the tubes themselves. Beside another kind of part they only
// say what the diameter is of: a "stanchion seal" is a seal.
// Which tube the slider is depends on the layout.
var tubeWords = map[string]string{
	"inner":  "stanchion, fork tube, inner tube, Standrohr, Standrohre, Standrohren, Innenrohr, Telegabelrohr, Gabelrohr, Gabelstandrohr, Tragrohr",
	"outer":  "outer tube, lower leg, fork lower, Tauchrohr, Tauchrohre, Außenrohr, Gabeltauchrohr, Gabelaußenrohr",
	"slider": "slider, fork slider, Gleitrohr",
}

// sliderWords are the bushings of the "slider": the outer tube of a
// conventional fork, and in some manuals the inner one of an upside-down fork.
const sliderWords = "slider bushing, slider bush, fork slider bushing, fork slider bush, Gleitrohrbuchse"

// shelfWords stand before a bin.
const shelfWords = "bin, shelf, drawer, Lagerfach, Fach, Regal, Lagerplatz"

// withoutWords are keys of words that turn the kind of part behind them away,
// or ask for what is not in stock; notWords turn away any other word as well.
// "No" may as well be a number.
var (
	withoutWords = []string{"no", "wo", "none"}
	notWords     = []string{"not", "without", "except", "isnt", "arent", "nicht", "ohne", "kein", "keine", "keinen", "keiner", "außer", "ausser"}
)

// moreTerms are words that are said and typed, but that no list writes, beside
// those of package wording. Words of the trade; common practice, no source.
var moreTerms = []wording.Term{
	{Words: "drain plug, oil drain plug, Ablassstopfen", Roles: []catalog.Role{catalog.DrainScrew}},
	{Words: "drain, Ablass", Roles: []catalog.Role{catalog.DrainScrew, catalog.DrainWasher}},
	{Words: "top cap o-ring, fork top o-ring, fork plug o-ring, O-Ring Gabelstopfen, Stopfen O-Ring", Roles: []catalog.Role{catalog.CapORing}},
	{Words: "stanchion bushing, stanchion bush, inner tube bush, inner bush, tube bush", Roles: []catalog.Role{catalog.TubeBushing}},
	{Words: "lower bush, outer bush, outer tube bush, lower leg bushing", Roles: []catalog.Role{catalog.LowerBushing}},
	{Words: "bellows, fork bellows, fork boots, gator, fork gator", Roles: []catalog.Role{"gaiter"}},
	{Words: "seal head, cartridge seal head", Roles: []catalog.Role{"cartridge_seal"}},
	{Words: "stanchion guard, stanchion protector, Gabelprotektor, Gabelschutz", Roles: []catalog.Role{"protector"}},
	{Words: "bottoming cone, oil lock piece, Ölstopp", Roles: []catalog.Role{"oil_lock"}},
	{Words: "allen bolt, damper screw, Imbusschraube Dämpfer, Dämpferstangenschraube", Roles: []catalog.Role{catalog.BottomBolt}},
	{Words: "seal set, gasket set, rebuild kit, repair kit, service kit, Revisionssatz, Servicesatz", Roles: []catalog.Role{catalog.Kit}},
	{Words: "aluminum washer, alu washer, alu ring, Alu-Ring, Aluscheibe", Roles: []catalog.Role{catalog.BottomWasher, catalog.DrainWasher}},
	{Words: "Seegerring, Federring, Nutensprengring, Sicherungsclip, Seegerringe", Roles: []catalog.Role{catalog.Clip}},
	{Words: "Nutring, WDR, Wellendichtung, Dichtmanschette", Roles: []catalog.Role{catalog.OilSeal}},
	{Words: "Staubdeckel, Schmutzabstreifring, Schmutzkappe, Abstreifkappe", Roles: []catalog.Role{catalog.Wiper}},
	{Words: "Unterlegscheibe, Unterlagscheibe, Beilagscheibe, U-Scheibe", Roles: []catalog.Role{catalog.BackupWasher, catalog.BottomWasher, catalog.DrainWasher}},
	{Words: "Inbusschraube, untere Schraube", Roles: []catalog.Role{catalog.BottomBolt, catalog.DrainScrew}},
	{Words: "Gleitring, Führungsring, Lagerbuchse, Gabelgleitbuchse, Teflonbuchse", Roles: []catalog.Role{catalog.TubeBushing, catalog.LowerBushing}},
	{Words: "Gummibalg, Gummimanschette, Gabelbälge", Roles: []catalog.Role{"gaiter"}},
	{Words: "Gabelreparatursatz, Gabelrevisionssatz, Gabelservicesatz, Gabeldichtungssatz, Gabelüberholsatz", Roles: []catalog.Role{catalog.Kit}},
	{Words: "Teleskopgabelöl, Telegabelöl", Roles: []catalog.Role{catalog.Oil}},
	{Words: "Telegabeldichtring, Telegabelsimmerring", Roles: []catalog.Role{catalog.OilSeal}},
	{Words: "Telegabelfeder", Roles: []catalog.Role{"spring"}},
	{Words: "schock oil, shock oil, fork fluid, damping oil, Stoßdämpferöl", Roles: []catalog.Role{catalog.Oil}},
}

// likewise are words that say the same, in any spelling of either language: a
// description that has one answers another. A word with a space answers as a
// whole; only words without one are looked up.
var likewise = []string{
	"fork, Gabel, Telegabel, Teleskopgabel",
	"aluminium, aluminum, alu",
	"copper, Kupfer",
	"steel, Stahl",
	"spring steel, Federstahl",
	"plastic, Kunststoff, Plastik",
	"rubber, Gummi",
	"neoprene, Neopren",
	"synthetic, synthetisch, vollsynthetisch",
	"mineral, mineralisch",
	"light, leicht",
	"grey, gray, grau",
	"black, schwarz",
	"green, grün",
	"blue, blau",
	"coloured, colored, farbig",
	"centre, center",
	"moulded, molded",
	"pair, Paar",
	"single, einzeln",
	"progressive, progressiv",
	"linear, lineare, lineares",
	"hollow, hohl",
	"drilled, gebohrt",
	"coated, beschichtet",
	"split, geteilt, geschlitzt",
	"economy, günstig",
	"low friction, reibungsarm, reibungsarme, reibungsarmer",
	"second lip, Doppellippe, zweilippig, double lip",
	"left, links",
	"right, rechts",
	"brake cleaner, Bremsenreiniger",
	"thread-locker, threadlocker, Schraubensicherung, Sicherungslack",
	"grease, Fett, Montagefett, Dichtungsfett",
	"assembly paste, Montagepaste",
	"polishing cloth, Poliertuch",
	"cleaning cloths, Putztücher, Putzlappen",
	"cable tie, Kabelbinder",
	"sticker, decal, Aufkleber",
	"pinch bolt, Klemmschraube",
	"damper holder, Dämpferhalter, Gegenhalter",
	"cap socket, Kappennuss, Stopfennuss",
	"spring compressor, Federspanner",
	"level gauge, Ölstandlehre, Ölstandmesser",
	"seal driver, Eintreiber",
	"sleeve, Hülse, Schutzhülse",
}

// other gives what says the same as a word, by key.
var other = func() map[string][]string {
	all := map[string][]string{}
	for _, line := range likewise {
		group := commas(line)
		for i, w := range group {
			if strings.Contains(w, " ") {
				continue
			}
			for j, o := range group {
				if i != j {
					all[key(w)] = append(all[key(w)], o)
				}
			}
		}
	}
	return all
}()

// metals are materials that a word for a washer names, with how the words for
// parts begin that do.
var metals = []struct{ begins, material string }{
	{"copper", "copper"},
	{"kupfer", "copper"},
	{"curing", "copper"},
	{"alu", "aluminium"},
	{"bonded", "bonded"},
}

// materials gives the materials that the name of a kind of part names.
func materials(name string) (all []string) {
	for _, m := range metals {
		if strings.HasPrefix(key(name), m.begins) {
			all = append(all, m.material)
		}
	}
	return all
}

// commas gives the parts of a list as the tables above write it.
func commas(list string) []string { return strings.Split(list, ", ") }

// endings are what German and English put behind a word for many of it.
var endings = []string{"s", "n", "e", "es", "en"}
