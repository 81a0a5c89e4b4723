package words

// auditTexts: what check finds in the catalog, and what mends it.
var auditTexts = texts{
	"audit.unfilled":              {"fork {0}: no part is known to fit: {1}, {2}", "Gabel {0}: kein Teil passt bekanntermaßen: {1}, {2}"},
	"audit.unfilled.hint":         {"name a part: forkstock change place {0} {1} --part PART; or it is not there: forkstock change place {0} {1} --fitted no", "ein Teil nennen: forkstock change place {0} {1} --part TEIL; oder es ist nicht verbaut: forkstock change place {0} {1} --fitted no"},
	"audit.same_years":            {"{0} has {1}, {2} has {3}: nothing tells the two forks apart", "{0} hat {1}, {2} hat {3}: nichts unterscheidet die beiden Gabeln"},
	"audit.same_years.hint":       {"say how to tell them apart: forkstock change fork {0} --note \"cap with a 30 mm hexagon\"", "sagen, woran man sie erkennt: forkstock change fork {0} --note \"Verschluss mit Sechskant 30\""},
	"audit.kit_empty":             {"kit {0}: what it brings is not known", "Satz {0}: was er enthält, ist nicht bekannt"},
	"audit.kit_empty.hint":        {"tell it: forkstock add content {0} PART --pieces 2", "angeben: forkstock add content {0} TEIL --pieces 2"},
	"audit.kit_legs":              {"kit {0}: for how many legs it is, is not known", "Satz {0}: für wie viele Holme er ist, ist nicht bekannt"},
	"audit.kit_legs.hint":         {"tell it: forkstock change kit {0} --legs 2", "angeben: forkstock change kit {0} --legs 2"},
	"audit.check_digit":           {"code {0} ({1}: {2}): the check digit is wrong", "Code {0} ({1}: {2}): die Prüfziffer stimmt nicht"},
	"audit.check_digit.hint":      {"scan the pack again; the wrong code is no part: forkstock link {0} --no-part --instead", "die Packung noch einmal scannen; der falsche Code ist kein Teil: forkstock link {0} --no-part --instead"},
	"audit.check_digit_list":      {"code {0} ({1}: {2}): the check digit is wrong", "Code {0} ({1}: {2}): die Prüfziffer stimmt nicht"},
	"audit.check_digit_list.hint": {"the list is wrong: take it in again with the right code (forkstock import FILE), or leave {0} out of it", "die Liste ist falsch: mit dem richtigen Code noch einmal einlesen (forkstock import DATEI), oder {0} darin weglassen"},
	"audit.code_twice":            {"code {0} stands for {1} ({2}) and for {3} ({4})", "Code {0} steht für {1} ({2}) und für {3} ({4})"},
	"audit.code_twice.hint":       {"look at a pack; if it is the second: forkstock link {0} {1} --instead; if it is the first, the list is wrong: take it in again without the code", "eine Packung ansehen; ist es das zweite: forkstock link {0} {1} --instead; ist es das erste, ist die Liste falsch: ohne den Code noch einmal einlesen"},
	"audit.code_forms":            {"codes {0} and {1} are one GTIN in two forms ({2})", "die Codes {0} und {1} sind eine GTIN in zwei Formen ({2})"},
	"audit.code_forms.hint":       {"only one is found by a scan; link it anew: forkstock link {0} {1}", "nur einen findet ein Scan; neu zuordnen: forkstock link {0} {1}"},
	"audit.number_twice":          {"number {0} is that of {1} ({2}) and of {3} ({4})", "Nummer {0} haben {1} ({2}) und {3} ({4})"},
	"audit.number_twice.hint":     {"measure both; the wrong one: forkstock change part {0} --size 39x52x11", "beide messen; das falsche: forkstock change part {0} --size 39x52x11"},
	"audit.elastomer":             {"{0} ({1}): the elastomer is not known {2}", "{0} ({1}): das Elastomer ist nicht bekannt {2}"},
	"audit.elastomer.hint":        {"it is printed on the bag or in the list: forkstock change part {0} --elastomer NBR", "es steht auf dem Beutel oder in der Liste: forkstock change part {0} --elastomer NBR"},
	"audit.linked":                {"linked", "zugeordnet"},
	"audit.listed":                {"{0}, {1}", "{0}, {1}"},
	"shop.damaged.hint":           {"keep the folder as it is, make a copy of it, and go back to the last good one", "den Ordner lassen, wie er ist, eine Kopie machen und auf die letzte gute zurückgehen"},
}
