package wording

import "forkstock/catalog"

// A Term is what kinds of parts are called, English and German. Where its
// words name several kinds, the likelier stands first: a "drain bolt" is the
// bottom bolt before it is the drain screw.
type Term struct {
	Words string // as they are written; several part at ", "
	Roles []catalog.Role
	Use   Use
}

// A Use says how far the words of a Term go without others.
type Use int

// The uses of words.
const (
	OfAny    Use = iota // of any machine, unless a fork is named too: "Simmerring"
	OfFork              // of a fork by themselves: "Gabelsimmerring"
	Doubtful            // not used alike by all: the "slider" of an upside-down leg is its inner tube
)

func roles(r ...catalog.Role) []catalog.Role { return r }

// Roles that the catalog gives no name to.
const (
	baseValveORing catalog.Role = "base_valve_oring"
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
	{"fork seal, fork oil seal, Gabeldichtring, Gabelsimmerring, Gabeldichtung", roles(catalog.OilSeal), OfFork},
	{
		"oil seal, seal, shaft seal, sealing ring, Simmerring, Dichtring, Wellendichtring, Radialwellendichtring, Öldichtring, Dichtung",
		roles(catalog.OilSeal), OfAny,
	},
	{
		"dust seal, dust seal wiper, wiper, wiper seal, fork wiper, dust cover, dust cap, dust boot, Staubkappe, Staubring, Staubmanschette, Staubdichtung, Staubdichtring, Staubschutz, Staubschutzkappe",
		roles(catalog.Wiper), OfFork,
	},
	{"scraper, Abstreifer", roles(catalog.Wiper), OfAny},
	{
		"bushing on the inner tube, tube bushing, inner tube bushing, Gleitbuchse auf dem Innenrohr, Gleitbuchse Innenrohr",
		roles(catalog.TubeBushing), OfFork,
	},
	{"Standrohrbuchse, Innenrohrbuchse", roles(catalog.TubeBushing), OfFork},
	{"inner bushing", roles(catalog.TubeBushing), OfAny},
	{"Führungsbuchse", roles(catalog.TubeBushing), Doubtful},
	{
		"bushing in the outer tube, outer tube bushing, Gleitbuchse im Außenrohr, Gleitbuchse Außenrohr",
		roles(catalog.LowerBushing), OfFork,
	},
	{"lower bushing, outer bushing, Tauchrohrbuchse, Außenrohrbuchse", roles(catalog.LowerBushing), OfAny},
	{"slider bushing", roles(catalog.LowerBushing), Doubtful},
	{"bushing, bush, fork bushing, Gleitbuchse, Buchse, Gabelbuchse", roles(catalog.TubeBushing, catalog.LowerBushing), OfAny},
	{
		"backup washer, back-up washer, backup ring, seal washer, seal spacer, spacer washer, Stützscheibe, Stützring, Distanzscheibe",
		roles(catalog.BackupWasher), OfAny,
	},
	{
		"circlip, stopper ring, circlip stopper ring, retaining clip, retaining ring, snap ring, clip, seal clip, Sprengring, Sicherungsring",
		roles(catalog.Clip), OfAny,
	},
	{
		"bottom bolt, damper rod bolt, damper bolt, Bodenschraube, Dämpferschraube",
		roles(catalog.BottomBolt), OfFork,
	},
	{"Zentralschraube", roles(catalog.BottomBolt), OfAny},
	{"drain bolt, bolt", roles(catalog.BottomBolt, catalog.DrainScrew), OfAny},
	{"drain screw, Ablassschraube, Ablaßschraube, Ölablassschraube", roles(catalog.DrainScrew), OfAny},
	{"screw, Schraube", roles(catalog.BottomBolt, catalog.DrainScrew), OfAny},
	{
		"bottom washer, bottom bolt washer, damper bolt washer, Dichtring der Bodenschraube, Dichtring Bodenschraube",
		roles(catalog.BottomWasher), OfFork,
	},
	{
		"crush washer, copper washer, copper ring, Cu-Ring, aluminium washer, sealing washer, bonded seal, bonded washer, drain bolt washer, Kupferring, Kupferdichtring, Kupferscheibe, Aluminiumring, Aluminiumscheibe",
		roles(catalog.BottomWasher, catalog.DrainWasher), OfAny,
	},
	{
		"drain washer, drain screw washer, Dichtring der Ablassschraube, Dichtring Ablassschraube",
		roles(catalog.DrainWasher), OfAny,
	},
	{"washer, Scheibe", roles(catalog.BottomWasher, catalog.DrainWasher, catalog.BackupWasher), OfAny},
	{
		"fork cap o-ring, cap o-ring, O-Ring der Verschlussschraube, O-Ring Verschlussschraube",
		roles(catalog.CapORing), OfAny,
	},
	{"base valve o-ring, O-Ring des Bodenventils, O-Ring Bodenventil", roles(baseValveORing), OfAny},
	{"o-ring", roles(catalog.CapORing, baseValveORing), OfAny},
	{"oil lock, oil-lock piece, oil lock valve, Ölstopphülse", roles("oil_lock"), OfFork},
	{"protector, Schutzkappe, Protektor", roles("protector"), OfAny},
	{"cover", roles("protector"), Doubtful},
	{"fork protector, fork guard", roles("protector"), OfFork},
	{"gaiter, fork gaiter, fork boot", roles("gaiter"), OfFork},
	{"boot, Faltenbalg, Faltenbälge", roles("gaiter"), OfAny},
	{"fork spring, Gabelfeder", roles(spring), OfFork},
	{"spring, Feder", roles(spring), OfAny},
	{"top-out spring, rebound spring, Ausfederanschlag", roles(topoutSpring), OfAny},
	{"spacer, preload spacer, Vorspannhülse, Distanzhülse", roles(spacer), OfAny},
	{"piston ring, Kolbenring", roles("piston_ring"), OfAny},
	{"cartridge seal, Kartuschendichtring, Kartuschendichtung", roles("cartridge_seal"), OfAny},
	{"bladder, Blase", roles("bladder"), OfAny},
	{"air valve, Luftventil", roles("air_valve"), OfAny},
	{"fork oil, Gabelöl", roles(catalog.Oil), OfFork},
	{"oil, suspension fluid, suspension oil, fork fluid, Dämpferöl, Öl", roles(catalog.Oil), OfAny},
	{"fork seal kit, Gabeldichtsatz", roles(catalog.Kit), OfFork},
	{"kit, seal kit, Dichtsatz, Dichtringsatz, Dichtungssatz, Reparatursatz, Überholsatz, Überholset", roles(catalog.Kit), OfAny},
	{"set, seal set, Satz, Sätze", roles(catalog.Kit), OfAny},
	{"seal driver, seal puller, seal installer, Eintreiber", roles(tool), OfFork},
	{
		"tool, driver, puller, installer, remover, Werkzeug, Treiber, Auszieher, Montagehülse, Einschlaghülse, Montagewerkzeug, Einschlagwerkzeug, Einpresswerkzeug",
		roles(tool), OfAny,
	},
	{"seal grease, fork grease, assembly grease, Montagefett", roles(consumable), OfFork},
	{"consumable, Verbrauchsmittel", roles(consumable), OfAny},
}
