package words

// xrefTexts are those of cross-references: further numbers, replacements, look-
// alikes, merging two records of one part.
var xrefTexts = texts{
	"field.reason": {"reason", "Grund"},

	"catalog.since":                    {" since {0}", " seit {0}"},
	"catalog.reason":                   {" ({0})", " ({0})"},
	"catalog.since_reason":             {" since {0} ({1})", " seit {0} ({1})"},
	"catalog.bad_since":                {"{0} is no date", "{0} ist kein Datum"},
	"catalog.bad_since.hint":           {"write the year, month or day: 2019, 2019-05 or 2019-05-14", "Jahr, Monat oder Tag schreiben: 2019, 2019-05 oder 2019-05-14"},
	"catalog.number_twice":             {"{0} is a number of {1} already", "{0} ist schon eine Nummer von {1}"},
	"catalog.number_twice.hint":        {"two records of one part? see: forkstock merge; else look at {0}", "zwei Einträge eines Teils? siehe: forkstock merge; sonst {0} ansehen"},
	"catalog.number_in_chain":          {"{0} stands in the part's own chain: {1}", "{0} steht in der Kette des Teils selbst: {1}"},
	"catalog.see_chain.hint":           {"nothing was changed; see the chain: forkstock xref {0}", "nichts wurde geändert; die Kette ansehen: forkstock xref {0}"},
	"catalog.replaces_itself":          {"{0} and {1} are numbers of one part", "{0} und {1} sind Nummern eines Teils"},
	"catalog.replaces_itself.hint":     {"nothing was changed; a part cannot replace itself", "nichts wurde geändert; ein Teil kann sich nicht selbst ersetzen"},
	"catalog.replaced_already":         {"{0} was replaced by {1} already{2}", "{0} ist schon durch {1} ersetzt{2}"},
	"catalog.replaced_already.hint":    {"nothing was changed; a newer number goes at the end: forkstock add replacement {1} NEW; to correct it: forkstock change replacement {0} {1} --help", "nichts wurde geändert; eine neuere Nummer gehört ans Ende: forkstock add replacement {1} NEU; um es zu berichtigen: forkstock change replacement {0} {1} --help"},
	"catalog.cycle":                    {"that would go round in a circle: {0}", "das liefe im Kreis: {0}"},
	"catalog.replacement_absent":       {"{0} is not known to be replaced by {1}", "dass {0} durch {1} ersetzt ist, ist nicht bekannt"},
	"catalog.other_number_of":          {"{0} is another number of {1}", "{0} ist eine andere Nummer von {1}"},
	"catalog.was_replaced":             {"{0} was replaced by {1}{2}", "{0} wurde durch {1} ersetzt{2}"},
	"catalog.replaced_absent":          {"{0} was replaced by {1}{2}, which is no part of this shop", "{0} wurde durch {1} ersetzt{2}, und das ist kein Teil dieses Betriebs"},
	"catalog.replaced_absent.hint":     {"to keep it: forkstock add part {0} --role ROLE", "um es zu führen: forkstock add part {0} --role ART"},
	"catalog.look_alike.hint":          {"O and 0, I and 1 look alike: name the one that is meant, if it is one of these", "O und 0, I und 1 sehen sich ähnlich: die gemeinte nennen, falls es eine von diesen ist"},
	"catalog.old_version":              {"old version, do not fit: replaced by {0}{1}", "alte Ausführung, nicht einbauen: ersetzt durch {0}{1}"},
	"catalog.still_usable":             {"old version of {0}, may still be fitted to this fork: {1}", "alte Ausführung von {0}, darf in diese Gabel noch eingebaut werden: {1}"},
	"catalog.still_does":               {"old number of {0}, either may be fitted{1}", "alte Nummer von {0}, beide dürfen eingebaut werden{1}"},
	"catalog.replaces":                 {"replaces {0}{1}", "ersetzt {0}{1}"},
	"web.catalog.look_alike.hint":      {"O and 0, I and 1 look alike: perhaps one of these is meant", "O und 0, I und 1 sehen sich ähnlich: vielleicht ist eine von diesen gemeint"},
	"web.catalog.see_chain.hint":       {"nothing was changed", "nichts wurde geändert"},
	"web.catalog.replaced_absent.hint": {"look for the new number in the box above", "oben im Feld nach der neuen Nummer suchen"},
}
