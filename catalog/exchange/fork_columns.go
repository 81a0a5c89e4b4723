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
			{Name: "cap_shape", Form: Word, Words: "cap shape, Verschlussschraube", Choices: catalog.CapShapes},
			{Name: "cap_flats_mm", Form: Length, Words: "cap key, across flats, cap across flats, Schlüsselweite"},
			{Name: "cap_thread", Form: Thread, Words: "cap thread, Gewinde der Verschlussschraube"},
			{Name: "axle_mm", Form: Length, Words: "axle, axle diameter, Achse, Achsdurchmesser"},
			{Name: "centres_mm", Form: Length, Words: "centres, leg centres, Holmabstand"},
			{Name: "left_cap", Form: Word, Choices: catalog.Caps},
			{Name: "right_cap", Form: Word, Choices: catalog.Caps},
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
		oil(),
	)}
	return k.facts([]string{"fork"}, "layout", "fork_source").facts([]string{"fork", "place"}, "role", "place_note").where("place")
}

// oil are the columns of how much oil a leg takes.
func oil() []Column {
	return []Column{
		{Name: "oil_leg", Form: Word, Choices: catalog.Sides},
		{Name: "oil_chamber", Form: Word, Words: "chamber, Kammer", Choices: catalog.Chambers},
		{Name: "oil_dry_ml", Form: Whole, Words: "oil, oil dry, Ölmenge, Öl trocken"},
		{Name: "oil_refill_ml", Form: Whole, Words: "oil refill, Öl bei Wechsel"},
		{Name: "oil_gap_mm", Form: Length, Words: "air gap, oil level, Luftpolster"},
		{Name: "oil_gap_how", Words: "air gap how, Luftpolster gemessen"},
		{Name: "oil_grade", Words: "oil grade, grade, Ölsorte, SAE"},
		{Name: "oil_cst", Words: "cst, viscosity, Viskosität"},
		{Name: "oil_index", Form: Whole, Words: "viscosity index, VI, Viskositätsindex"},
		{Name: "oil_source"},
	}
}

// fitments tells some bikes and their fork in a row. Bikes that take oil of
// their own have a further row for each further amount.
func fitments() *Kind {
	k := &Kind{Name: "fitments", Columns: join(
		[]Column{
			{Name: "make", Needed: true, Mark: true, Words: "bike make, Motorradmarke, Marke, Hersteller"},
			{Name: "model", Needed: true, Mark: true, Words: "bike, Modell, Typ"},
			{Name: "variant", Words: "Variante, Ausführung"},
			{Name: "code", Words: "model code, type code, Typschlüssel, Modellcode"},
			{Name: "year_from", Form: Whole, Words: "from, year, year from, start year, first year, model year, von, Baujahr, Bj., Baujahr von, ab"},
			{Name: "year_to", Form: Whole, Words: "to, until, year to, end year, last year, bis, Baujahr bis"},
			{Name: "frame_from", Words: "frame from, vin from, Fahrgestellnummer von, Rahmennummer von"},
			{Name: "frame_to", Words: "frame to, vin to, Fahrgestellnummer bis, Rahmennummer bis"},
			{Name: "fork", Needed: true, Words: forkWords},
			{Name: "source", Words: sourceWords},
			{Name: "oil_year_from", Form: Whole},
			{Name: "oil_year_to", Form: Whole},
		},
		oil(),
	)}
	return k.facts([]string{"make", "model", "variant", "code", "year_from", "frame_from", "frame_to", "fork"}, "year_to", "year_to")
}

// kits tells one thing that a kit brings in a row: a part, or where its maker
// names no number, a role with its size.
func kits() *Kind {
	k := &Kind{Name: "kits", Either: []string{"number", "role", "legs"}, Columns: join(
		[]Column{
			{Name: "kit", Form: Number, Needed: true, Mark: true, Words: "kit number, Satz, Satznummer, Set"},
			{Name: "kit_maker", Words: "Hersteller des Satzes"},
			{Name: "legs", Form: Whole, Words: "for legs, Holme"},
			{Name: "line", Form: Whole, Words: "pos, position, Pos., Zeile"},
			{Name: "number", Form: Number, Words: numberWords},
			{Name: "maker", Words: makerWords},
			{Name: "role", Words: roleWords},
		},
		sizes(),
		[]Column{{Name: "pieces", Form: Whole, Words: amountWords}},
	)}
	return k.facts([]string{"kit", "kit_maker", "line"}, "number", "pieces").where("line").
		facts([]string{"kit", "kit_maker", "number", "maker", "role", "inner_mm", "outer_mm", "height_mm", "overall_mm", "thread"}, "pieces", "pieces").
		facts([]string{"kit", "kit_maker"}, "legs", "legs")
}

func replacements() *Kind {
	k := &Kind{Name: "replacements", Columns: []Column{
		{Name: "number", Form: Number, Needed: true, Words: "old number, old part number, superseded, alte Nummer, " + numberWords},
		{Name: "maker", Needed: true, Words: makerWords},
		{Name: "by_number", Form: Number, Needed: true, Mark: true, Words: "new number, replaced by, superseded by, new part number, successor, neue Nummer, ersetzt durch, Nachfolger"},
		{Name: "by_maker", Words: "new maker, neuer Hersteller"},
		{Name: "both_ways", Form: YesNo, Words: "both ways, beide Richtungen, wechselseitig"},
		{Name: "since", Words: "date, seit, Datum, ab"},
		{Name: "reason", Words: "reason, Grund"},
		{Name: "source", Words: sourceWords},
	}}
	return k.facts([]string{"number", "maker", "by_number", "by_maker"}, "both_ways", "source")
}
