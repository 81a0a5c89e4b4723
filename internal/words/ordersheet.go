package words

// orderSheetTexts are those of an order as it goes to the supplier.
var orderSheetTexts = texts{
	"order.sheet.title":   {"Order {0}", "Bestellung {0}"},
	"order.sheet.number":  {"your number", "Ihre Nummer"},
	"order.sheet.packs":   {"packs", "Pack."},
	"order.sheet.pack":    {"in a pack", "je Packung"},
	"order.sheet.part":    {"part", "Teil"},
	"order.sheet.price":   {"price, net", "Preis, netto"},
	"order.text.head":     {"Order {0} to {1}", "Bestellung {0} an {1}"},
	"order.text.from":     {"from {0}, {1}", "von {0}, {1}"},
	"order.text.line":     {"{0} × {1} (packs of {2}): {3}, {4} {5}", "{0} × {1} (Packung zu {2}): {3}, {4} {5}"},
	"order.text.expected": {"expected {0}", "erwartet {0}"},
	"order.text.code":     {"Please put {0} on the delivery note.", "Bitte {0} auf dem Lieferschein angeben."},
	"shop.bad_form":       {"an order cannot be written as {0}", "eine Bestellung lässt sich nicht als {0} schreiben"},
	"shop.bad_form.hint":  {"give a file that ends in .pdf, .csv or .txt", "eine Datei angeben, die auf .pdf, .csv oder .txt endet"},
	"cli.order.sheet":     {"write an order for the supplier: PDF, CSV, text, or lines to paste", "eine Bestellung für den Lieferanten schreiben: PDF, CSV, Text oder Zeilen zum Einfügen"},
	"cli.flag.sheet_file": {"file, by its ending .pdf, .csv or .txt; else text on standard output", "Datei, nach ihrer Endung .pdf, .csv oder .txt; sonst Text auf der Standardausgabe"},
	"cli.flag.paste":      {"lines of number;packs, for the supplier's own page", "Zeilen Nummer;Packungen, für die Seite des Lieferanten"},
	"cli.flag.sender":     {"who orders, as it is to stand on it", "wer bestellt, wie es darauf stehen soll"},
	"cli.order.written":   {"order {0} written to {1}", "Bestellung {0} nach {1} geschrieben"},
}
