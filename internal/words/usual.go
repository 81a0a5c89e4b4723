package words

// usualTexts: what is usual, whoever makes it.
var usualTexts = texts{
	"usual.for_leg":       {"{0}: usual for {1} mm: {2}, common practice, verify by measuring", "{0}: üblich für {1} mm: {2}, übliche Praxis, durch Messen prüfen"},
	"usual.practice":      {"common practice, verify by measuring", "übliche Praxis, durch Messen prüfen"},
	"usual.rubber":        {"rubber, years on the shelf + after inspection", "Gummi, Jahre im Regal + nach Prüfung"},
	"cli.usual":           {"what is usual for a leg or a screw, whoever makes it", "was für einen Holm oder eine Schraube üblich ist, von wem auch immer"},
	"cli.usual.none":      {"Nothing is known to be usual for that.", "Dafür ist nichts Übliches bekannt."},
	"cli.usual.leg":       {"leg {0} mm", "Standrohr {0} mm"},
	"cli.usual.key":       {"key {0} mm", "Schlüssel {0} mm"},
	"cli.usual.none.hint": {"What is usual is not in this shop yet: forkstock init --starter --shop {0}", "Was üblich ist, ist in diesem Betrieb noch nicht hinterlegt: forkstock init --starter --shop {0}"},
	"cli.usual.section":   {"section {0} mm", "Schnur {0} mm"},
	"cli.usual.advice":    {"To measure by, not to order by.", "Zum Messen, nicht zum Bestellen."},
	"cli.flag.starter":    {"lay in what is usual: seal sizes by leg, screws, O-rings; also in a shop that is there", "Übliches hinterlegen: Dichtringmaße je Standrohr, Schrauben, O-Ringe; auch in einem bestehenden Betrieb"},
	"cli.init.starter":    {"What is usual is laid in ({0} new): forkstock usual --leg 39", "Übliches ist hinterlegt ({0} neu): forkstock usual --leg 39"},
}
