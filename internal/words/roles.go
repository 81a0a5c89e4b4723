package words

// roleTexts names the roles of parts as they stand on screens, and the other
// words that results carry: of the fork, of what was posted, of what was
// scanned.
var roleTexts = texts{
	"role.oil_seal":         {"oil seal", "Gabeldichtring"},
	"role.wiper":            {"dust seal (wiper)", "Staubkappe"},
	"role.tube_bushing":     {"bushing on the inner tube", "Gleitbuchse auf dem Innenrohr"},
	"role.lower_bushing":    {"bushing in the outer tube", "Gleitbuchse im Außenrohr"},
	"role.backup_washer":    {"backup washer", "Stützscheibe"},
	"role.clip":             {"circlip (stopper ring)", "Sprengring"},
	"role.bottom_bolt":      {"bottom bolt (from below, holds the damper)", "Bodenschraube (hält den Dämpfer)"},
	"role.bottom_washer":    {"bottom washer", "Dichtring der Bodenschraube"},
	"role.drain_screw":      {"drain screw (side)", "Ablassschraube (seitlich)"},
	"role.drain_washer":     {"drain washer", "Dichtring der Ablassschraube"},
	"role.cap_oring":        {"fork cap O-ring", "O-Ring der Verschlussschraube"},
	"role.oil_lock":         {"oil-lock piece", "Ölstopphülse"},
	"role.protector":        {"protector", "Schutzkappe"},
	"role.gaiter":           {"gaiter", "Faltenbalg"},
	"role.spring":           {"spring", "Gabelfeder"},
	"role.topout_spring":    {"top-out spring", "Ausfederanschlag"},
	"role.spacer":           {"spacer", "Vorspannhülse"},
	"role.piston_ring":      {"piston ring", "Kolbenring"},
	"role.cartridge_seal":   {"cartridge seal", "Kartuschendichtring"},
	"role.bladder":          {"bladder", "Blase"},
	"role.air_valve":        {"air valve", "Luftventil"},
	"role.base_valve_oring": {"base valve O-ring", "O-Ring des Bodenventils"},
	"role.oil":              {"fork oil", "Gabelöl"},
	"role.kit":              {"kit", "Satz"},
	"role.tool":             {"tool", "Werkzeug"},
	"role.consumable":       {"consumable", "Verbrauchsmittel"},
	"role.other":            {"other part", "anderes Teil"},

	"leg.both":  {"both legs", "beide Holme"},
	"leg.left":  {"left leg", "linker Holm"},
	"leg.right": {"right leg", "rechter Holm"},

	"layout.conventional": {"conventional", "konventionell"},
	"layout.upside-down":  {"upside-down", "Upside-down"},

	"cap_shape.hexagon":        {"hexagon", "Sechskant"},
	"cap_shape.hexagon_recess": {"hexagon recess", "Innensechskant"},
	"cap_shape.square_recess":  {"square recess", "Innenvierkant"},
	"cap_shape.round":          {"round, with notches or pins", "rund, mit Nuten oder Stiften"},

	"cap.plain":           {"nothing on it", "nichts darauf"},
	"cap.preload":         {"preload adjuster", "Vorspannungseinsteller"},
	"cap.damping":         {"damping adjuster", "Dämpfungseinsteller"},
	"cap.preload_damping": {"preload and damping adjusters", "Vorspannungs- und Dämpfungseinsteller"},
	"cap.air":             {"air valve", "Luftventil"},
	"cap.air_damping":     {"air valve and damping adjuster", "Luftventil und Dämpfungseinsteller"},

	"damping.damper_rod":       {"damper rod (fixed tube)", "Dämpferrohr"},
	"damping.open_cartridge":   {"open-bath cartridge", "offene Kartusche"},
	"damping.closed_cartridge": {"closed (twin-chamber) cartridge", "geschlossene Kartusche"},
	"damping.none":             {"no damping", "ohne Dämpfung"},

	"springing.coil":          {"coil spring", "Stahlfeder"},
	"springing.coil_with_air": {"coil spring with air", "Stahlfeder mit Luft"},
	"springing.air":           {"air spring", "Luftfeder"},
	"springing.none":          {"no spring", "ohne Feder"},

	"renew.always": {"always new", "immer neu"},
	"renew.opened": {"new once undone", "neu, sobald gelöst"},
	"renew.judge":  {"if worn, on inspection", "nach Befund"},
	"renew.damage": {"if damaged", "bei Beschädigung"},

	"fitted.yes":     {"fitted", "verbaut"},
	"fitted.no":      {"not on this fork", "nicht an dieser Gabel"},
	"fitted.unknown": {"not known whether fitted", "unbekannt, ob verbaut"},

	"verdict.fits": {"fits", "passt"},
	"verdict.near": {"NOT the same, measure", "NICHT gleich, nachmessen"},
	"verdict.no":   {"does not fit", "passt nicht"},

	"posting.receive": {"came in", "Zugang"},
	"posting.issue":   {"taken", "Entnahme"},
	"posting.return":  {"put back", "zurückgelegt"},
	"posting.scrap":   {"taken off stock", "ausgebucht"},
	"posting.move":    {"moved", "umgelagert"},
	"posting.found":   {"found, to be looked into", "gefunden, zu prüfen"},
	"posting.undo":    {"undone", "zurückgenommen"},
	"posting.opening": {"opening stock", "Anfangsbestand"},

	"scan.open":       {"read", "gelesen"},
	"scan.posted":     {"in stock", "eingebucht"},
	"scan.unknown":    {"waits: not known", "wartet: nicht zugeordnet"},
	"scan.to_confirm": {"waits: one pack or two?", "wartet: eine Packung oder zwei?"},
	"scan.same_pack":  {"same pack as another", "dieselbe Packung wie ein anderer"},
	"scan.undone":     {"undone since", "seither zurückgenommen"},
	"scan.ignored":    {"no part", "kein Teil"},
	"scan.repeated":   {"counted before", "schon gezählt"},
}
