package exchange

import (
	"slices"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/table"
)

// Header words that several kinds share. Words of the trade in English and
// German; common practice, no source.
const (
	numberWords = "part number, part no, part_no, partno, part, number, no, item number, item no, item_no, article number, " +
		"article no, article, art no, sku, Teilenummer, Teile-Nr., Teil, Artikelnummer, Artikel-Nr., Artikelnr, Art.-Nr., Artikel, " +
		"Nummer, Nr., Sachnummer, ET-Nr., Ersatzteilnummer"
	makerWords       = "maker, manufacturer, brand, make of part, Hersteller, Marke, Fabrikat"
	descriptionWords = "description, text, name, title, designation, item description, Bezeichnung, Beschreibung, Benennung, " +
		"Artikelbezeichnung, Artikeltext, Kurztext, part description, part name, article description, Artikelname, Teilebezeichnung, Warenbezeichnung"
	sourceWords = "source, Quelle, Herkunft"
	gtinWords   = "gtin, ean, ean13, ean-13, ean code, upc, EAN-Code, EAN-Nummer"
	amountWords = "amount, quantity, qty, pieces, pcs, count, Menge, Anzahl, Stück, Stk, Stückzahl"
	roleWords   = "role, kind of part, part type, type, Teileart, Art, Rolle, Funktion"
	binWords    = "bin, location, shelf, place, bin location, storage location, storage bin, shelf location, drawer, Lagerfach, Fach, Lagerplatz, Lagerort, Platz, Regal, Regalfach, Schublade, Stellplatz"
	noteWords   = "note, notes, remark, remarks, comment, Bemerkung, Bemerkungen, Hinweis, Notiz, Anmerkung"
	innerWords  = "inner, inner diameter, inside diameter, id, bore, d, Innen, Innendurchmesser, Innen-Ø, Ø innen, di"
	outerWords  = "outer, outer diameter, outside diameter, od, Außen, Außendurchmesser, Außen-Ø, Ø außen, da"
	heightWords = "height, body height, thickness, width, length, h, Höhe, Breite, Dicke, Länge, B, L"
	sizeWords   = "Größe, Maß, Maße, Abmessung, Abmessungen, dimension, dimensions"
	overWords   = "overall, overall height, total height, Gesamthöhe, Höhe gesamt"
	threadWords = "thread, Gewinde"
	cureWords   = "cure, cure date, cured, cured on, date of cure, vulcanised, vulcanized, manufactured, manufacturing date, date of manufacture, " +
		"Vulkanisierdatum, Vulkanisiert, Vulkanisiert am, Vulkanisation, Härtedatum, Gehärtet, Herstelldatum, Herstellungsdatum, Hergestellt"
	forkWords = "fork, fork name, Gabel, Gabelname"
)

// sizes are the columns of a size.
func sizes() []Column {
	return []Column{
		{Name: "inner_mm", Form: Length, Words: innerWords},
		{Name: "outer_mm", Form: Length, Words: outerWords},
		{Name: "height_mm", Form: Length, Words: heightWords},
		{Name: "overall_mm", Form: Length, Words: overWords},
		{Name: "thread", Form: Thread, Words: threadWords},
	}
}

// traits are the columns of what tells parts of one size apart.
func traits() []Column {
	return []Column{
		{Name: "head_mm", Form: Length, Words: "head, head height, Kopfhöhe"},
		{Name: "seat", Form: Word, Words: "seat, head seat, Auflage, Sitz", Choices: catalog.Seats},
		{Name: "strength", Words: "strength, property class, Festigkeit, Festigkeitsklasse"},
		{Name: "coated", Form: Word, Words: "coated, coated face, beschichtet", Choices: catalog.Coatings},
		{Name: "entered", Words: "size as entered"},
	}
}

// join puts columns and groups of columns into one list.
func join(groups ...[]Column) (all []Column) {
	for _, g := range groups {
		all = append(all, g...)
	}
	return all
}

// Kinds lists the kinds of file, in the order in which an empty shop takes
// them in.
var Kinds = []*Kind{parts(), forks(), fitments(), kits(), codes(), replacements(), prices(), stock(), jobs()}

func parts() *Kind {
	k := &Kind{Name: "parts", Columns: join(
		[]Column{
			{Name: "number", Form: Number, Needed: true, Words: numberWords},
			{Name: "maker", Needed: true, Words: makerWords},
			{Name: "role", Mark: true, Words: roleWords},
			{Name: "description", Words: descriptionWords},
			{Name: "unit", Form: Word, Words: "unit, Einheit, ME, Mengeneinheit", Choices: []string{"piece", "mL"}},
		},
		[]Column{{Name: "size", Form: Sized, Only: true, Words: sizeWords}},
		sizes(), traits(),
		[]Column{
			{Name: "material", Words: "Werkstoff, Material"},
			{Name: "elastomer", Mark: true, Words: "rubber, rubber compound, compound, Gummi, Elastomer, Gummisorte, Mischung"},
			{Name: "home_bin", Words: binWords + ", home bin, Stammplatz"},
			{Name: "minimum", Form: Whole, Words: "minimum, min, minimum stock, min stock, reorder level, reorder point, Mindestbestand, Mindestmenge, Min.-Bestand, Meldebestand"},
			{Name: "source", Words: sourceWords},
		},
	)}
	return k.facts([]string{"number", "maker"}, "role", "source")
}

func prices() *Kind {
	k := &Kind{Name: "prices", Columns: []Column{
		{Name: "supplier_number", Form: Number, Needed: true, Words: numberWords + ", supplier no, supplier_no, supplier number, " +
			"order number, order no, Bestellnummer, Bestell-Nr., Lieferantennummer, Lieferanten-Artikelnummer"},
		{Name: "supplier", Words: "supplier, vendor, Lieferant"},
		{Name: "description", Form: Lines, Words: descriptionWords},
		{Name: "pack", Form: Pieces, Words: "pack, pack size, package, packing unit, pieces per pack, VPE, Verpackungseinheit, Packung, Packungsgröße, Gebinde"},
		{Name: "net_price", Form: Money, Words: "net price, net, price net, trade price, dealer price, cost, purchase price, Nettopreis, " +
			"Netto, Preis netto, EK, EK-Preis, Einkaufspreis, Händlerpreis"},
		{Name: "list_price", Form: Money, Only: true, Words: "list price, retail price, retail, rrp, msrp, Listenpreis, UVP, UPE, VK, VK-Preis, Verkaufspreis"},
		{Name: "price", Form: Money, Only: true, Mark: true, Words: "price, unit price, Preis, Einzelpreis, Stückpreis"},
		{Name: "price_per", Form: Whole, Only: true, Words: "price per, price unit, price basis, Preiseinheit, PE, Preis je, Preis pro"},
		{Name: "ean", Form: GTIN, Words: gtinWords + ", barcode, Strichcode, Barcode-Nummer"},
		{Name: "maker", Words: makerWords},
		{Name: "maker_number", Form: Number, Words: "manufacturer number, manufacturer part number, maker no, mpn, oem, oem number, oe number, " +
			"Herstellernummer, Hersteller-Nr., Hersteller-Artikelnummer, OE-Nummer, OEM-Nummer, Originalnummer"},
		{Name: "our_part", Words: "own part, unser Teil"},
		{Name: "listed", Form: Day, Words: "listed, list date, Listenstand, Stand"},
		{Name: "note", Form: Lines, Words: noteWords},
		{Name: "lead_days", Form: Whole, Words: "lead time, lead days, delivery time, Lieferzeit, Lieferfrist"},
		{Name: "discount", Form: Percent, Words: "discount, Rabatt"},
	}}
	k.facts([]string{"supplier_number", "supplier"}, "description", "note")
	k.Facts[0].Whole = true // a list is long
	return k
}

func codes() *Kind {
	k := &Kind{Name: "codes", Either: []string{"code", "gtin"}, Columns: []Column{
		{Name: "code", Form: Code, Mark: true, Words: "code, barcode, Strichcode, Barcode"},
		{Name: "gtin", Form: GTIN, Only: true, Words: gtinWords},
		{Name: "number", Form: Number, Words: numberWords},
		{Name: "maker", Words: makerWords},
		{Name: "pieces", Form: Pieces, Words: amountWords + ", pack, pack size, VPE, Verpackungseinheit, Inhalt"},
		{Name: "supplier", Words: "supplier, vendor, Lieferant"}, // on whose goods alone
	}}
	return k.facts([]string{"code", "gtin", "supplier"}, "number", "pieces")
}

func stock() *Kind {
	k := &Kind{Name: "stock", Columns: []Column{
		{Name: "number", Form: Number, Needed: true, Words: numberWords},
		{Name: "maker", Words: makerWords},
		{Name: "bin", Mark: true, Words: binWords},
		{Name: "bin_kind", Form: Word, Words: "kind of bin, Art des Fachs", Choices: []string{"shelf", "intake", "tray", "blocked"}},
		{Name: "lot", Form: Whole, Words: "lot, lot number, lot no, Los, Losnummer, Los-Nr."},
		{Name: "delivery", Words: "delivery, delivery note, Lieferung, Lieferschein"},
		{Name: "batch", Words: "batch, batch number, batch no, batch code, Charge, Chargennummer, Chargen-Nr."},
		{Name: "cure", Words: cureWords},
		{Name: "use_by", Form: Day, Words: "use by, use by date, best before, best before date, expires, expiry, expiry date, Haltbar bis, verwendbar bis, MHD, Mindesthaltbarkeit, Ablaufdatum, Verfallsdatum, läuft ab"},
		{Name: "since", Form: Day, Words: "since, on the shelf since, received, received on, date received, seit, im Lager seit, eingelagert am, Eingang, Eingangsdatum, Zugang"},
		{Name: "unit", Form: Word, Words: "unit, Einheit, ME", Choices: []string{"piece", "mL"}},
		{Name: "amount", Form: Whole, Needed: true, Words: amountWords + ", on hand, stock, in stock, stock level, current stock, counted, Bestand, Lagerbestand, Ist-Bestand, Istbestand, Lagermenge, gezählt"},
	}}
	return k.facts([]string{"number", "maker", "bin", "lot", "delivery", "batch", "cure", "use_by"}, "unit", "amount")
}

func jobs() *Kind {
	k := &Kind{Name: "jobs", Columns: []Column{
		{Name: "job", Needed: true, Mark: true, Words: "job, job number, job no, order, work order, Auftrag, Auftragsnummer, Auftrags-Nr."},
		{Name: "day", Form: Day, Needed: true, Words: "day, date, Datum, Tag"},
		{Name: "fork", Words: forkWords},
		{Name: "number", Form: Number, Needed: true, Words: numberWords},
		{Name: "maker", Words: makerWords},
		{Name: "amount", Form: Whole, Needed: true, Words: amountWords},
	}}
	return k.facts([]string{"job", "number", "maker"}, "day", "amount").facts([]string{"job"}, "day", "fork")
}

// facts adds what rows tell together: where they agree in the columns of key,
// they have to agree in those from the first to the last that are named.
func (k *Kind) facts(key []string, first, last string) *Kind {
	f := Fact{If: -1}
	for _, name := range key {
		f.Key = append(f.Key, k.At(name))
	}
	for i := k.At(first); i <= k.At(last); i++ {
		if !slices.Contains(f.Key, i) {
			f.Told = append(f.Told, i)
		}
	}
	k.Facts = append(k.Facts, f)
	return k
}

// where says that the last fact is told by rows with a column only.
func (k *Kind) where(column string) *Kind {
	k.Facts[len(k.Facts)-1].If = k.At(column)
	return k
}

// fields gives the columns as table.Match takes them.
func (k *Kind) fields() []table.Field {
	fields := make([]table.Field, len(k.Columns))
	for i, c := range k.Columns {
		fields[i] = table.Field{Name: c.Name, Words: []string{c.Name}}
		if c.Words != "" {
			for w := range strings.SplitSeq(c.Words, ",") {
				fields[i].Words = append(fields[i].Words, strings.TrimSpace(w))
			}
		}
	}
	return fields
}
