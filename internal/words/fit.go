package words

// fitTexts are those of sizes compared: what a bolt or a bushing is like, and
// why a part fits a place or does not.
var fitTexts = texts{
	"field.seat":    {"seat", "Auflage"},
	"field.coated":  {"coated", "beschichtet"},
	"field.entered": {"size as entered", "eingegebenes Maß"},

	"seat.flat":        {"flat seat", "ebene Auflage"},
	"seat.flanged":     {"flanged head", "Flanschkopf"},
	"seat.countersunk": {"countersunk head", "Senkkopf"},
	"seat.sealed":      {"seal under the head", "Dichtung unter dem Kopf"},
	"coated.inside":    {"coated inside", "innen beschichtet"},
	"coated.outside":   {"coated outside", "außen beschichtet"},
	"coated.both":      {"coated inside and outside", "innen und außen beschichtet"},
	"shop.head":        {"head {0} mm high", "Kopf {0} mm hoch"},
	"shop.strength":    {"class {0}", "Festigkeitsklasse {0}"},
	"web.traits":       {"Make", "Ausführung"},

	"catalog.bad_head":          {"{0} mm is no height of a bolt's head: up to {1} mm", "{0} mm ist keine Kopfhöhe einer Schraube: bis {1} mm"},
	"catalog.no_bolt":           {"head, seat and strength are those of a bolt, and this is: {0}", "Kopf, Auflage und Festigkeit hat eine Schraube, und das ist: {0}"},
	"catalog.no_bolt.hint":      {"nothing was changed; leave --head, --seat and --strength out", "nichts wurde geändert; --head, --seat und --strength weglassen"},
	"catalog.no_bushing":        {"a coated face is that of a bushing, and this is: {0}", "eine beschichtete Seite hat eine Gleitbuchse, und das ist: {0}"},
	"catalog.no_bushing.hint":   {"nothing was changed; leave --coated out", "nichts wurde geändert; --coated weglassen"},
	"catalog.bad_strength":      {"{0} is no strength class of a bolt", "{0} ist keine Festigkeitsklasse einer Schraube"},
	"catalog.bad_strength.hint": {"as it stands on the head: {0}, or A2-70 of a stainless one", "wie auf dem Kopf: {0}, oder A2-70 bei rostfreiem Stahl"},

	"catalog.torque_low":  {"{0} is little for this joint, mostly {1} to {2}: is that the unit and the line of the manual?", "{0} ist wenig für diese Verschraubung, meist {1} bis {2}: stimmen Einheit und Zeile im Handbuch?"},
	"catalog.torque_high": {"{0} is a lot for this joint, mostly {1} to {2}: is that the unit and the line of the manual?", "{0} ist viel für diese Verschraubung, meist {1} bis {2}: stimmen Einheit und Zeile im Handbuch?"},

	"cli.flag.head":     {"height of a bolt's head, mm", "Kopfhöhe einer Schraube, mm"},
	"cli.flag.seat":     {"what a bolt's head sits on: flat, flanged, countersunk or sealed", "Auflage des Schraubenkopfs: flat, flanged, countersunk oder sealed"},
	"cli.flag.strength": {"strength class of a bolt: 8.8, 10.9, A2-70", "Festigkeitsklasse einer Schraube: 8.8, 10.9, A2-70"},
	"cli.flag.coated":   {"coated face of a bushing: inside, outside or both", "beschichtete Seite einer Gleitbuchse: inside, outside oder both"},
}
