package wording

// A class says what a word of a description does beside naming a part.
type class uint64

const (
	aFork    class = 1 << iota // a fork or its leg
	onlyFork                   // what only a fork has
	foreign                    // of another part of the bike
	before                     // what follows is what the part is for: "for", "über"
	joining                    // what follows comes too: "and"
	along                      // with what follows
	small                      // articles and the like
	setWord
	pairWord
	oneWord
	pieceWord // pieces, Stück
	offWord   // pieces, with a number before it: 2 off
	packWord  // pack of, VPE
	contents  // parts of a kit
	yearWord
	fromWord
	toWord
	onWord // 2016 on
	mmWord
	otherUnit  // of a length
	volumeWord // n: millilitres
	gradeWord  // the W of 10W
	elastomerWord
	materialWord
	labelWord // of a size; n: the letter of the field
	numeral   // n
	numberFor // "No." and what else stands before a number of a part
	legWord   // what has a diameter of its own, the inner tube
	inside    // inner: which bushing
	outside
	slider
	ofCap // the fork cap
	ofValve
	ofBottom
	ofDrain
	screwWord
	denial   // what is named before it does not come: "not included"
	damper   // what has seals of its own in a fork
	noun     // what the part is, though not known: a Spreizring
	below    // at the lower end of a leg, where it is a bolt
	shaft    // what a clip on a shaft is named by
	clamping // a leg or an axle: its bolts are none of the fork's inside
	engine   // joints of an engine or a brake with washers like those of a fork
	holding  // what the name of a part before it only describes: a seal housing
)

// meaning is what one word says.
type meaning struct {
	is   class
	term *Term  // kinds of parts that it names
	n    int    // see class
	text string // an elastomer or material as the catalog writes it
}

// wordsOf lists the words of the classes, folded, as suppliers write them.
// Common practice, no source.
var wordsOf = map[class]string{
	aFork:     "fork forks gabel gabeln telegabel telegabeln vordergabel vorderradgabel teleskopgabel usd frontfork gabelholm gabelholme",
	onlyFork:  "standrohr standrohre stanchion stanchions tauchrohr tauchrohre gabelstopfen gabelverschluss gabelverschlussschraube gabeldeckel gabelboden",
	before:    "for fuer from von ueber unter under over against zum zur to by behind am auf dem upon at on zu without ohne",
	joining:   "and und plus sowie u with mit inkl incl including",
	along:     "with mit",
	small:     "the a an der die das den des dem new neue neuen your our ihre front vordere vorne of motorrad motorraeder motorcycle motorcycles motorbike",
	setWord:   "set sets satz saetze",
	pairWord:  "pair pairs pr prs paar paare paarweise doppelpack twin twinpack zweierpack zweierset paarpreis",
	oneWord:   "single sgl singly einzeln einzelstueck individually each ea stueckpreis",
	pieceWord: "st stk stck stueck pc pcs pce pieces piece units",
	offWord:   "off only",
	packWord:  "vpe verpackungseinheit stueckzahl ve pack packs pk pkg packet packung bag box carton tin jar lot beutel btl karton inhalt qty quantity menge er",
	contents:  "teilig tlg teile teilen parts",
	yearWord:  "year years bj baujahr baujahre my modelljahr modelljahre jahr model",
	fromWord:  "from ab since seit von",
	toWord:    "to until till bis",
	onWord:    "on onwards onward up later newer",
	mmWord:    "mm",
	otherUnit: "cm m inch inches zoll",
	gradeWord: "w wt sae",
	numberFor: "no nr art ref pn artikel item part number nummer teil best bestell code",
	legWord:   "leg legs tube tubes stanchion stanchions standrohr standrohre holm holme inner",
	inside:    "inner innen inside innenrohr standrohr standrohre stanchion stanchions",
	outside:   "outer aussen outside aussenrohr tauchrohr tauchrohre lower",
	slider:    "slider gleitrohr",
	ofCap:     "cap caps stopfen gabeldeckel gabelstopfen gabelverschluss verschluss gabelverschlussschraube verschlussschraube",
	ofValve:   "valve base bodenventil fussventil",
	ofBottom:  "bodenschraube daempferschraube",
	below:     "bottom unten gabelboden",
	shaft:     "shaft welle wellen external aussensicherungsring",
	clamping:  "pinch clamp clamps clamping yoke yokes triple tee axle klemmung klemmschraube gabelklemmung",
	engine:    "banjo oelablass hohlschraube crankcase",
	damper:    "daempferstange kolbenstange daempfer damper damping cartridge kartusche rod",
	denial:    "not nicht excluded separately",
	holding: "valve valves nipple clamp clamps strap straps adjuster adjusters gauge holder compressor bracket cleaner housing carrier retainer head " +
		"plate decal sticker spanner schelle schellen halter reiniger messbecher spanngurt",
	screwWord: "bolt bolts screw screws schraube schrauben zylinderschraube sechskantschraube",
	foreign: "bearing bearings wheel wheels rad raeder brake brakes caliper disc disk rotor chain chains sprocket sprockets crank crankshaft cam " +
		"camshaft gearbox transmission countershaft driveshaft cardan gear clutch filter engine shock shocks absorber swingarm " +
		"swing linkage steering headset spark pump carburettor carburetor carb tyre tire hose cable exhaust muffler " +
		"lamp bulb light battery mirror wrench schluessel coolant water radiator rear gasket truck output primary drive tensioner stator kick kickstart starter " +
		"alternator generator regulator ignition relay fuse switch horn speedometer tachometer handlebar handlebars clipon clipons grip grips " +
		"lever levers footrest fairing indicator mudguard fender stand rocker tappet timing throttle cylinder conrod hub spoke rim " +
		"fuel petrol tap thermostat float bowl seat tank sump shifter hinten kette nabe tacho griff griffe lenkergriffe hebel sitzbank verkleidung blinker " +
		"scheinwerfer zylinder kolben pleuel steuerkette antrieb kardan speiche felge achse schutzblech staender umlenkung " +
		"hupe schalter sicherung kuehler",
}

// names of two words that are no kinds of parts, and what they are: a valve
// stem is foreign, "ab Lager" no bearing.
var pairs = map[class]string{
	foreign: "valve stem, valve stems, valve spring, valve springs, valve cover, valve guide, valve guides, valve cap, valve caps, " +
		"valve seal, valve seals, shift fork, shift forks, clutch fork, fork truck, fork lift, spark plug",
	small: "ab Lager, auf Lager, am Lager",
}

// foreignStems begin German words for what is no part of a fork.
const foreignStems = "brems vorderrad hinterrad radlager radsimmer raddicht radnabe radachse kette antriebs kurbelwell nockenwell " +
	"getriebe kupplung ventilschaft ventilfeder ventilspiel ventildeckel lenkkopf lenkung lenker lenkschaft schwing " +
	"stossdaempf federbein motor vergaser auspuff zuend batterie oelfilter oelpump oelwanne luftfilter wasserpump benzin " +
	"schaltgabel schaltwelle schalthebel gabelschluessel gabelstapler gabelbruecke gabelkopf bowden reifen kuehl anlass " +
	"lichtmasch kickstart tacho zylinderkopf zylinderfuss kolbenbolzen pleuel kardan felgen speichen seitendeckel umlenk"

// nounEnds end German names of parts that may stand before what they belong to.
var nounEnds = []string{"ring", "scheibe", "huelse", "zange", "halter", "stopfen", "mutter", "werkzeug"}

// forkStems go before the name of a part in German compounds.
var forkStems = []string{"vorderradgabel", "teleskopgabel", "vordergabel", "telegabel", "gabel", "fork"}

// spelt are abbreviations and short words that lists are full of, and what
// they stand for.
var spelt = map[string]string{
	"frk": "fork", "fk": "fork", "gab": "gabel", "sl": "seal", "sls": "seals", "wdr": "wellendichtring",
	"ret": "retaining", "bush": "bushing", "bushes": "bushings", "brg": "bearing", "stosdaempfer": "stossdaempfer",
}

// quantities are the words with a number.
var quantities = map[class]map[string]int{
	numeral: {
		"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "ten": 10, "ein": 1, "eine": 1,
		"zwei": 2, "drei": 3, "vier": 4, "fuenf": 5, "sechs": 6, "zehn": 10,
	},
	volumeWord: {
		"ml": 1, "cc": 1, "ccm": 1, "cl": 10, "l": 1000, "lt": 1000, "ltr": 1000, "liter": 1000, "litre": 1000,
		"liters": 1000, "litres": 1000,
	},
	labelWord: {
		"id": 'i', "od": 'o', "bore": 'b', "bohrung": 'b', "nut": 'b', "wire": 'w', "draht": 'w', "lg": 'l', "long": 'l', "length": 'l',
		"lang": 'l', "laenge": 'l', "height": 'h', "hoehe": 'h', "hoch": 'h', "thick": 'h', "dick": 'h', "h": 'h', "d": 'd',
	},
}

// materials are the names of elastomers and metals, and what the catalog
// writes. The short names of rubber are those of ISO 1629 (from memory).
var materials = map[class]map[string]string{
	elastomerWord: {
		"nbr": "NBR", "nitrile": "NBR", "nitril": "NBR", "hnbr": "HNBR", "fkm": "FKM", "fpm": "FKM", "epdm": "EPDM",
		"vmq": "VMQ", "fvmq": "FVMQ", "acm": "ACM", "silicone": "VMQ", "silikon": "VMQ",
	},
	materialWord: {
		"copper": "copper", "kupfer": "copper", "cu": "copper", "aluminium": "aluminium", "aluminum": "aluminium", "alu": "aluminium",
		"al": "aluminium", "steel": "steel", "stahl": "steel", "brass": "brass", "messing": "brass", "bronze": "bronze",
		"kupferring": "copper", "kupferdichtring": "copper", "kupferscheibe": "copper", "kupferringe": "copper",
		"kupferdichtringe": "copper", "kupferscheiben": "copper",
	},
}
