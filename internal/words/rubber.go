package words

// rubberTexts: what rubber is made of, when it was cured, how long it keeps.
var rubberTexts = texts{
	"rubber.use_by":  {"use by {0} ({1}, group {2} of ISO 2230)", "zu verwenden bis {0} ({1}, Gruppe {2} nach ISO 2230)"},
	"rubber.inspect": {"past {0} ({1}, group {2} of ISO 2230): inspect before use, then good until {3}", "über {0} hinaus ({1}, Gruppe {2} nach ISO 2230): vor Gebrauch prüfen, dann gut bis {3}"},
	"rubber.old":     {"too old since {0} even after inspection ({1}, group {2} of ISO 2230)", "auch nach Prüfung zu alt seit {0} ({1}, Gruppe {2} nach ISO 2230)"},
	"rubber.unknown": {"cured {0}; how long it keeps is not known, elastomer: {1}", "vulkanisiert {0}; wie lange es hält, ist nicht bekannt, Elastomer: {1}"},
	"dates.quarter":  {"quarter and year", "Quartal und Jahr"},
	"dates.month":    {"month and year", "Monat und Jahr"},
	"field.dates":    {"the form of dates", "die Form der Datumsangaben"},

	"catalog.bad_maker":          {"{0} is no name of a maker", "{0} ist kein Name eines Herstellers"},
	"catalog.bad_cure":           {"{0} is no cure date", "{0} ist kein Vulkanisationsdatum"},
	"catalog.bad_cure.hint":      {"write it as printed: --cure 3/94, --cure 1Q95, or as a month: --cure 1995-03", "schreiben, wie es aufgedruckt ist: --cure 3/94, --cure 1Q95, oder als Monat: --cure 1995-03"},
	"catalog.cure_to_come":       {"{0} is still to come", "{0} kommt erst noch"},
	"catalog.cure_question":      {"{0}: does {1} print quarters or months?", "{0}: gibt {1} Quartale oder Monate an?"},
	"catalog.cure_question.hint": {"nothing was changed; say it once for the maker, then repeat", "nichts wurde geändert; einmal für den Hersteller angeben, dann wiederholen"},
	"catalog.cure_quarter":       {"quarter {0} of that year", "Quartal {0} jenes Jahres"},
	"catalog.cure_month":         {"month {0} of that year", "Monat {0} jenes Jahres"},
	"inventory.no_lot":           {"there is no lot {0}", "es gibt keine Charge {0}"},
	"inventory.no_lot.hint":      {"see the numbers of lots: forkstock stock", "die Nummern der Chargen ansehen: forkstock stock"},
	"inventory.same_lot":         {"lot {0} would be the same as lot {1}", "Charge {0} wäre dieselbe wie Charge {1}"},
	"inventory.same_lot.hint":    {"nothing was changed; that date stands for lot {0} already", "nichts wurde geändert; das Datum steht schon bei Charge {0}"},

	"cli.add.maker":   {"how a maker prints cure dates", "wie ein Hersteller das Vulkanisationsdatum angibt"},
	"cli.change.lot":  {"when the rubber of a lot was cured", "wann der Gummi einer Charge vulkanisiert ist"},
	"cli.flag.cure":   {"cure date as printed: 3/94, 1Q95, 1995-03; \"\" takes it back", "Vulkanisationsdatum wie aufgedruckt: 3/94, 1Q95, 1995-03; \"\" nimmt es zurück"},
	"cli.flag.dates":  {"what 3/94 means: quarter (July to September) or month (March)", "was 3/94 bedeutet: quarter (Juli bis September) oder month (März)"},
	"cli.bad_lot":     {"{0} is no number of a lot", "{0} ist keine Nummer einer Charge"},
	"cli.lot.done":    {"Lot {0} of {1}, on the shelf since {2}:", "Charge {0} von {1}, im Regal seit {2}:"},
	"cli.lot.cure":    {"  cured: {0}", "  vulkanisiert: {0}"},
	"cli.lot.unknown": {"not known", "nicht bekannt"},
	"cli.maker.done":  {"{0} prints cure dates as {1}.", "{0} gibt das Vulkanisationsdatum als {1} an."},
}
