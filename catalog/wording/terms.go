package wording

import "forkstock/catalog"

// A Term is what kinds of parts are called, English and German. Where its
// words name several kinds, the likelier stands first: a "drain bolt" is the
// bottom bolt before it is the drain screw.
type Term struct {
	Words string // as they are written; several part at ", "
	Roles []catalog.Role
	Use   Use
	Alone bool // they say something, if nothing certain, with no fork and no size beside them
}

// A Use says how far the words of a Term go without others.
type Use int

// The uses of words.
const (
	OfAny    Use = iota // of any machine, unless a fork is named too: "Simmerring"
	OfFork              // of a fork by themselves: "Gabelsimmerring"
	Doubtful            // not used alike by all: the "slider" of an upside-down leg is its inner tube
)

func roles(r ...catalog.Role) []catalog.Role {
	return r
}

// Roles that the catalog gives no name to.
const (
	baseValveORing catalog.Role = "base_valve_oring"
	pistonRing     catalog.Role = "piston_ring"
	spring         catalog.Role = "spring"
	topoutSpring   catalog.Role = "topout_spring"
	spacer         catalog.Role = "spacer"
	tool           catalog.Role = "tool"
	consumable     catalog.Role = "consumable"
)

// Terms are the words for the kinds of parts, the same for who searches and
// for what a supplier's list says. Words of the trade; common practice, no
// source.
var Terms = []Term{
	{"fork seal, fork oil seal, Gabeldichtring, Gabelsimmerring, Gabeldichtung, Standrohrdichtring, Tauchrohrdichtring", roles(catalog.OilSeal), OfFork, false},
	{
		"oil seal, seal, shaft seal, sealing ring, Simmerring, Dichtring, Wellendichtring, Radialwellendichtring, Öldichtring, Dichtung",
		roles(catalog.OilSeal), OfAny, false,
	},
	{
		"dust seal, dust seal wiper, wiper, wiper seal, fork wiper, dust cover, dust cap, dust boot, dust excluder, dust scraper, dust wiper, Staubkappe, Staubring, Staubabstreifer, Staubschutzring, Staubmanschette, Staubdichtung, Staubdichtring, Staubschutz, Staubschutzkappe",
		roles(catalog.Wiper), OfFork, false,
	},
	{"scraper, scraper ring, Abstreifer, Abstreifring, Schmutzabstreifer", roles(catalog.Wiper), OfAny, false},
	{
		"bushing on the inner tube, tube bushing, inner tube bushing, Gleitbuchse auf dem Innenrohr, Gleitbuchse Innenrohr",
		roles(catalog.TubeBushing), OfFork, false,
	},
	{"Standrohrbuchse, Innenrohrbuchse, Standrohrgleitbuchse, Innenrohrgleitbuchse", roles(catalog.TubeBushing), OfFork, false},
	{"inner bushing", roles(catalog.TubeBushing), OfAny, false},
	{"Führungsbuchse", roles(catalog.TubeBushing), Doubtful, false},
	{
		"bushing in the outer tube, outer tube bushing, Tauchrohrbuchse, Außenrohrbuchse, Tauchrohrgleitbuchse, Außenrohrgleitbuchse, Gleitbuchse im Außenrohr, Gleitbuchse Außenrohr",
		roles(catalog.LowerBushing), OfFork, false,
	},
	{"lower bushing, outer bushing", roles(catalog.LowerBushing), OfAny, false},
	{"slider bushing, slider bush", roles(catalog.LowerBushing), Doubtful, true},
	{"bushing, bush, fork bushing, Gleitbuchse, Gleitlager, Buchse, Gabelbuchse", roles(catalog.TubeBushing, catalog.LowerBushing), OfAny, false},
	{
		"backup washer, back-up washer, backup ring, seal washer, oil seal washer, seal spacer, spacer washer, Stützscheibe, Stützring, Distanzscheibe",
		roles(catalog.BackupWasher), OfAny, false,
	},
	{
		"circlip, stopper ring, circlip stopper ring, stop ring, retaining clip, retaining ring, retainer ring, snap ring, seal clip, seal retaining clip, seal retainer ring, wire clip, Sprengring, Drahtsprengring, Sicherungsring, Haltering",
		roles(catalog.Clip), OfAny, true,
	},
	{"clip", roles(catalog.Clip), OfAny, false},
	{
		"bottom bolt, damper rod bolt, damper bolt, Bodenschraube, Dämpferschraube, Dämpferrohrschraube",
		roles(catalog.BottomBolt), OfFork, false,
	},
	{"Zentralschraube", roles(catalog.BottomBolt), OfAny, false},
	{"drain bolt, bolt", roles(catalog.BottomBolt, catalog.DrainScrew), OfAny, false},
	{"drain screw, Ablassschraube, Ablaßschraube, Ölablassschraube, Ablaufschraube", roles(catalog.DrainScrew), OfAny, false},
	{"drain plug", roles(catalog.DrainScrew), Doubtful, false},
	{"screw, Schraube, Innensechskantschraube", roles(catalog.BottomBolt, catalog.DrainScrew), OfAny, false},
	{
		"bottom washer, bottom bolt washer, damper bolt washer, Dichtring der Bodenschraube, Dichtring Bodenschraube",
		roles(catalog.BottomWasher), OfFork, false,
	},
	{
		"crush washer, copper washer, copper ring, Cu-Ring, aluminium washer, sealing washer, bonded seal, bonded washer, drain bolt washer, Kupferring, Kupferdichtring, Kupferscheibe, Kupferdichtscheibe, Kupferdichtung, Aluminiumring, Aluminiumscheibe, Aludichtring",
		roles(catalog.BottomWasher, catalog.DrainWasher), OfAny, true,
	},
	{
		"drain washer, drain screw washer, drain plug washer, Dichtring der Ablassschraube, Dichtring Ablassschraube, Dichtring Ölablassschraube",
		roles(catalog.DrainWasher), OfAny, false,
	},
	{"washer, Scheibe", roles(catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher), OfAny, false},
	{
		"fork cap o-ring, o-ring fork cap, cap o-ring, top bolt o-ring, o-ring top bolt, o-ring fork top bolt, O-Ring der Verschlussschraube, O-Ring Verschlussschraube",
		roles(catalog.CapORing), OfFork, false,
	},
	{"base valve o-ring, foot valve o-ring, O-Ring Fußventil, O-Ring des Bodenventils, O-Ring Bodenventil", roles(baseValveORing), OfAny, false},
	{"o-ring", roles(catalog.CapORing, baseValveORing), OfAny, false},
	{"oil lock, oil-lock piece, oil lock valve, Ölstopphülse, Ölstoppstück", roles("oil_lock"), OfFork, false},
	{"protector, Schutzkappe, Protektor", roles("protector"), OfAny, false},
	{"cover", roles("protector"), Doubtful, false},
	{"fork protector, fork guard, fork leg guard, fork leg protector, Gabelschutz, Gabelschützer, Standrohrschutz, Tauchrohrschutz", roles("protector"), OfFork, false},
	{"gaiter, fork gaiter, fork gator, fork boot, fork bellows, Gabelbalg, Gabelmanschette", roles("gaiter"), OfFork, false},
	{"boot", roles("gaiter"), OfAny, false},
	{"Faltenbalg, Faltenbälge", roles("gaiter"), OfAny, true},
	{"fork spring, Gabelfeder", roles(spring), OfFork, false},
	{"spring, Feder", roles(spring), OfAny, false},
	{"top-out spring, rebound spring, Ausfederanschlag, Zuganschlagfeder", roles(topoutSpring), OfAny, false},
	{"spacer, preload spacer, preload tube, spring spacer, Vorspannhülse, Vorspannrohr, Distanzhülse", roles(spacer), OfAny, false},
	{"piston ring, Kolbenring", roles(pistonRing), OfAny, false},
	{"cartridge seal, Kartuschendichtring, Kartuschendichtung", roles("cartridge_seal"), OfAny, false},
	{"bladder, Blase, Ausgleichsblase", roles("bladder"), OfAny, false},
	{"air valve, Luftventil, Füllventil", roles("air_valve"), OfAny, false},
	{"fork oil, Gabelöl", roles(catalog.Oil), OfFork, false},
	{"oil, suspension fluid, suspension oil, fork fluid, Dämpferöl, Öl", roles(catalog.Oil), OfAny, false},
	{"fork seal kit, Gabeldichtsatz", roles(catalog.Kit), OfFork, false},
	{"kit, seal kit, Dichtsatz, Dichtringsatz, Dichtungssatz, Reparatursatz, Überholsatz, Überholset, Revisionssatz, Servicesatz", roles(catalog.Kit), OfAny, false},
	{"set, seal set, Satz, Sätze", roles(catalog.Kit), OfAny, false},
	{"seal driver, seal puller, seal installer, Eintreiber", roles(tool), OfFork, false},
	{
		"tool, driver, puller, installer, remover, Werkzeug, Treiber, Auszieher, Simmerringtreiber, Eintreibwerkzeug, Montagehülse, Einschlaghülse, Montagewerkzeug, Einschlagwerkzeug, Einpresswerkzeug",
		roles(tool), OfAny, false,
	},
	{"seal grease, fork grease, assembly grease, Montagefett, Dichtungsfett", roles(consumable), OfFork, false},
	{"consumable, Verbrauchsmittel", roles(consumable), OfAny, false},
}
