package exchange

import "forkstock/catalog"

// forks tells one place of a fork in a row, and the fork's own facts in each.
// A place with several named parts has a row for each; a row without a place
// may tell how much oil a leg takes.
func forks() *Kind {
	k := &Kind{Name: "forks", Columns: join(
		[]Column{
			{Name: "fork", Needed: true, Words: forkWords},
			{Name: "layout", Form: Word, Mark: true, Words: "layout, Bauart", Choices: catalog.Layouts},
			{Name: "leg_mm", Form: Length, Mark: true, Words: "leg, leg diameter, tube diameter, Standrohrdurchmesser, Durchmesser, Ø Standrohr, Standrohr-Ø"},
			{Name: "left_damping", Form: Word, Words: "damping, Dämpfung", Choices: catalog.Dampings},
			{Name: "left_springing", Form: Word, Words: "springing, Federung", Choices: catalog.Springings},
			{Name: "right_damping", Form: Word, Choices: catalog.Dampings},
			{Name: "right_springing", Form: Word, Choices: catalog.Springings},
			{Name: "fork_note", Words: noteWords},
			{Name: "fork_source", Words: sourceWords},
			{Name: "place", Form: Whole, Words: "place, position, Pos., Stelle"},
			{Name: "role", Words: roleWords},
			{Name: "side", Form: Word, Words: "side, which leg, Seite, Holm", Choices: catalog.Sides},
			{Name: "per_leg", Form: Whole, Words: "per leg, pieces per leg, je Holm"},
			{Name: "renew", Form: Word, Words: "renew, Erneuern", Choices: catalog.Renewals},
			{Name: "fitted", Form: Word, Words: "fitted, verbaut", Choices: catalog.Fitteds},
		},
		sizes(), traits(),
		[]Column{
			{Name: "place_note"},
			{Name: "part_number", Form: Number, Words: numberWords},
			{Name: "part_maker", Words: makerWords},
			{Name: "part_source"},
		},
	)}
	return k.facts([]string{"fork"}, "layout", "fork_source").facts([]string{"fork", "place"}, "role", "place_note")
}

func fitments() *Kind {
	k := &Kind{Name: "fitments", Columns: []Column{
		{Name: "make", Needed: true, Mark: true, Words: "make, bike make, Motorradmarke, Marke, Hersteller"},
		{Name: "model", Needed: true, Mark: true, Words: "model, bike, Modell, Typ"},
		{Name: "year_from", Form: Whole, Words: "from, year, first year, model year, von, Baujahr, Bj., Baujahr von, ab"},
		{Name: "year_to", Form: Whole, Words: "to, until, last year, bis, Baujahr bis"},
		{Name: "fork", Needed: true, Words: forkWords},
		{Name: "source", Words: sourceWords},
	}}
	return k.facts([]string{"make", "model", "year_from", "fork"}, "year_to", "source")
}

func kits() *Kind {
	k := &Kind{Name: "kits", Columns: []Column{
		{Name: "kit", Form: Number, Needed: true, Mark: true, Words: "kit, kit number, Satz, Satznummer, Set"},
		{Name: "kit_maker", Words: "kit maker, Hersteller des Satzes"},
		{Name: "line", Form: Whole, Words: "line, pos, position, Pos., Zeile"},
		{Name: "number", Form: Number, Words: numberWords},
		{Name: "maker", Words: makerWords},
		{Name: "pieces", Form: Whole, Needed: true, Words: amountWords},
	}}
	return k.facts([]string{"kit", "kit_maker", "line"}, "number", "pieces")
}

func replacements() *Kind {
	k := &Kind{Name: "replacements", Columns: []Column{
		{Name: "number", Form: Number, Needed: true, Words: "old number, old part number, superseded, alte Nummer, " + numberWords},
		{Name: "maker", Needed: true, Words: makerWords},
		{Name: "by_number", Form: Number, Needed: true, Mark: true, Words: "new number, replaced by, superseded by, new part number, successor, neue Nummer, ersetzt durch, Nachfolger"},
		{Name: "by_maker", Words: "new maker, neuer Hersteller"},
		{Name: "both_ways", Form: YesNo, Words: "both ways, beide Richtungen, wechselseitig"},
		{Name: "since", Form: Day, Words: "since, date, seit, Datum, ab"},
		{Name: "reason", Words: "reason, Grund"},
		{Name: "source", Words: sourceWords},
	}}
	return k.facts([]string{"number", "maker", "by_number", "by_maker"}, "both_ways", "source")
}
