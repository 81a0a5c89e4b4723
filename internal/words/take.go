package words

// takeTexts are those of taking parts, of what is kept for jobs, and of the
// story of the stock.
var takeTexts = texts{
	"merge.take":      {"{0} {0|scan|scans} of taking", "{0} {0|Scan|Scans} vom Entnehmen"},
	"lot.made":        {"made {0}", "hergestellt {0}"},
	"lot.best_before": {"best before {0}", "mindestens haltbar bis {0}"},
	"lot.use_by":      {"use by {0}", "verwendbar bis {0}"},
	"lot.sell_by":     {"sell by {0}", "verkaufen bis {0}"},

	"web.days":        {"Dates", "Daten"},
	"inventory.take_absent":      {"there is no scan {0} of taking", "es gibt keinen Entnahme-Scan {0}"},
	"inventory.take_absent.hint": {"look at the list again: somebody may have settled it", "die Liste neu ansehen: jemand hat ihn vielleicht erledigt"},
	"shop.take_one":              {"one scan at a time", "immer nur ein Scan"},
	"shop.take_one.hint":         {"scan one code, or type one part number", "einen Code scannen oder eine Teilenummer eintippen"},
	"shop.take_does":             {"{0} cannot be said of a scan: {1}", "{0} lässt sich von einem Scan nicht sagen: {1}"},
	"shop.take_empty":            {"the bin is empty", "das Fach ist leer"},

	"take.taken":    {"taken", "entnommen"},
	"take.undone":   {"taken back", "zurückgenommen"},
	"take.noted":    {"not counted: its bag is empty, it is on the week's list", "nicht gezählt: der Beutel ist leer, es steht auf der Wochenliste"},
	"take.unknown":  {"not known", "nicht bekannt"},
	"take.how_much": {"how many mL?", "wie viele mL?"},
	"take.short":    {"the book has too little", "im Buch ist zu wenig"},
	"take.kept":     {"set aside for another job", "für einen anderen Auftrag zurückgelegt"},
	"take.kept_for": {"set aside for {0}", "zurückgelegt für {0}"},
	"take.dropped":  {"left out", "weggelassen"},
	"take.lost":     {"the book had {0} more there: posted as a difference, for review", "im Buch waren dort noch {0}: als Differenz gebucht, zur Prüfung"},

	"cli.take":             {"take parts by scanning: every line is one out", "Teile durch Scannen entnehmen: jede Zeile ist eins heraus"},
	"cli.take.none":        {"nothing waits", "nichts wartet"},
	"cli.take.line":        {"{0}  {1}:  {2}", "{0}  {1}:  {2}"},
	"cli.take.refused":     {"line {0}: {1}", "Zeile {0}: {1}"},
	"cli.take.aged":        {"  ! {0}", "  ! {0}"},
	"cli.take.unknown":     {"   what is it? forkstock take {0} is PART   (or: forkstock take {0} drop)", "   was ist es? forkstock take {0} is TEIL   (oder: forkstock take {0} drop)"},
	"cli.take.how_much":    {"   forkstock take {0} much --pieces 500", "   forkstock take {0} much --pieces 500"},
	"cli.take.short":       {"   it is in your hand: forkstock take {0} found   (it is not: forkstock take {0} empty)", "   es ist in der Hand: forkstock take {0} found   (ist es nicht: forkstock take {0} empty)"},
	"cli.take.kept":        {"   take it anyway: forkstock take {0} kept   (or: forkstock take {0} drop)", "   trotzdem nehmen: forkstock take {0} kept   (oder: forkstock take {0} drop)"},
	"cli.take.does":        {"what of scan {0}?", "was ist mit Scan {0}?"},
	"cli.take.does.hint":   {"forkstock take {0} found, or: less, kept, is PART, much, empty, drop; lines on standard input: forkstock take -", "forkstock take {0} found, oder: less, kept, is TEIL, much, empty, drop; Zeilen von der Standardeingabe: forkstock take -"},
	"cli.take.scan":        {"{0} is no number of a scan", "{0} ist keine Nummer eines Scans"},
	"cli.take.scan.hint":   {"it stands on the left: forkstock take", "sie steht links: forkstock take"},
	"cli.flag.take_pieces": {"how much of it, in its unit (of a drum of oil mL)", "wie viel davon, in seiner Einheit (von Öl mL)"},
	"cli.flag.take_learn":  {"its code stands for that part from now on", "der Code steht ab jetzt für dieses Teil"},

	"web.of_it_aside": {"{0} set aside", "{0} zurückgelegt"},
	"cli.stock.aside": {" ({0} free, {1} set aside)", " ({0} frei, {1} zurückgelegt)"},
}
