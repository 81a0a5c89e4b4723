package words

// pageFileTexts are those of scanner/pages: picture files and their pages.
var pageFileTexts = texts{
	"scanner.bad_itf":          {"{0} is no length of an ITF barcode", "{0} ist keine Länge eines ITF-Barcodes"},
	"scanner.bad_itf_hint":     {"name even numbers of digits from {0} to {1}, as 6,10, or none", "gerade Ziffernzahlen von {0} bis {1} nennen, etwa 6,10, oder keine"},
	"scanner.page":             {"page {0}: {1}", "Seite {0}: {1}"},
	"scanner.many_pages":       {"the file has more than {0} pages, the first {1} are read of one with fewer", "die Datei hat mehr als {0} Seiten; von einer mit weniger werden die ersten {1} gelesen"},
	"scanner.many_pages_hint":  {"split the file, or scan only the pages with codes", "die Datei teilen oder nur die Seiten mit Codes einscannen"},
	"scanner.too_much_memory":  {"unpacked, the picture of {0}x{1} takes {2} MB, at most {3} are given to it", "das Bild mit {0}x{1} braucht entpackt {2} MB, höchstens {3} bekommt es"},
	"scanner.many_blocks":      {"the picture is cut into {0} pieces, at most {1} are read", "das Bild ist in {0} Stücke zerlegt, höchstens {1} werden gelesen"},
	"scanner.kind":             {"{0} files are not read", "{0}-Dateien werden nicht gelesen"},
	"scanner.variety":          {"this variety of {0} file is not read", "diese Spielart einer {0}-Datei wird nicht gelesen"},
	"scanner.kind_hint":        {"set the phone or scanner to JPEG, or save the picture as JPEG or PNG", "Telefon oder Scanner auf JPEG stellen oder das Bild als JPEG oder PNG speichern"},
	"scanner.no_pdftoppm":      {"the program {0}, which draws PDF pages, is not installed", "das Programm {0}, das PDF-Seiten zeichnet, ist nicht installiert"},
	"scanner.no_pdftoppm_hint": {"install the Debian package poppler-utils, or give the pages as pictures", "das Debian-Paket poppler-utils installieren oder die Seiten als Bilder angeben"},
	"scanner.no_temp":          {"the file cannot be put aside for drawing", "die Datei lässt sich zum Zeichnen nicht zwischenlagern"},
	"scanner.no_temp_hint":     {"make room in the folder for temporary files, then try again", "im Ordner für temporäre Dateien Platz schaffen, dann noch einmal versuchen"},
	"scanner.pdf_locked":       {"the PDF file is locked with a password", "die PDF-Datei ist mit einem Kennwort gesperrt"},
	"scanner.pdf_locked_hint":  {"open it in a viewer, print it into a new PDF file, and give that", "in einem Betrachter öffnen, in eine neue PDF-Datei drucken und diese angeben"},
	"scanner.pdf_broken":       {"the PDF file cannot be drawn: {0}", "die PDF-Datei lässt sich nicht zeichnen: {0}"},
	"scanner.pdf_slow":         {"drawing the PDF file took longer than {0} seconds a page", "das Zeichnen der PDF-Datei dauerte länger als {0} Sekunden je Seite"},
	"scanner.pdf_empty":        {"the PDF file has no pages", "die PDF-Datei hat keine Seiten"},
	"scanner.pdf_size_hint":    {"print the file on ordinary paper into a new PDF file, and give that", "die Datei auf gewöhnliches Papier in eine neue PDF-Datei drucken und diese angeben"},
	"scanner.pdf_hint":         {"ask for the file again, or scan the printed sheet", "die Datei noch einmal anfordern oder das gedruckte Blatt einscannen"},
}
