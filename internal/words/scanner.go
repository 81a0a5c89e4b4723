package words

var scannerTexts = texts{
	"scanner.empty":           {"the file is empty", "die Datei ist leer"},
	"scanner.not_a_picture":   {"this is not a picture that can be read", "das ist kein lesbares Bild"},
	"scanner.cut_off":         {"the picture is cut off or broken", "das Bild ist abgeschnitten oder beschädigt"},
	"scanner.picture_hint":    {"give a whole PNG or JPEG file, as a camera or phone makes it", "eine ganze PNG- oder JPEG-Datei angeben, wie Kamera oder Telefon sie machen"},
	"scanner.too_many_bytes":  {"the file has {0} bytes, at most {1} are read", "die Datei hat {0} Bytes, höchstens {1} werden gelesen"},
	"scanner.too_many_pixels": {"the picture is {0}x{1}, at most {2} pixels are read", "das Bild ist {0}x{1}, höchstens {2} Bildpunkte werden gelesen"},
	"scanner.size_hint":       {"take the picture again at a lower resolution, or cut out the part with the codes", "das Bild mit geringerer Auflösung neu aufnehmen oder den Teil mit den Codes ausschneiden"},
	"scanner.stopped":         {"reading the picture took too long and was stopped", "das Lesen des Bildes dauerte zu lange und wurde abgebrochen"},
	"scanner.stopped_hint":    {"try again, or cut out the part with the codes", "noch einmal versuchen oder den Teil mit den Codes ausschneiden"},
	"scanner.few_rows":        {"too few rows of the picture agree on it", "zu wenige Zeilen des Bildes stimmen darin überein"},
	"scanner.rows_differ":     {"the rows of the picture do not agree on one text", "die Zeilen des Bildes ergeben nicht denselben Text"},

	"scanner.input_lost":      {"the input broke off at line {0}", "die Eingabe brach bei Zeile {0} ab"},
	"scanner.input_lost_hint": {"check the scanner's cable or the file, then scan again", "Kabel des Scanners oder die Datei prüfen, dann neu scannen"},
	"scanner.line_long":       {"line {0} is longer than {1} bytes", "Zeile {0} ist länger als {1} Bytes"},
	"scanner.line_control":    {"line {0} has a control character (number {1})", "Zeile {0} enthält ein Steuerzeichen (Nummer {1})"},
	"scanner.line_bare":       {"line {0} has no text behind the scanner's code letters", "Zeile {0} hat keinen Text hinter der Kennung des Scanners"},
	"scanner.line_hint":       {"give plain text, one scan a line", "reinen Text angeben, ein Scan je Zeile"},

	"scanner.cannot_draw":    {"\"{0}\" cannot be drawn as {1}", "\"{0}\" lässt sich nicht als {1} zeichnen"},
	"scanner.draw_hint":      {"ean13 takes 12 digits, or 13 with a right check digit; code128 plain letters, digits and signs; qr any text", "ean13 nimmt 12 Ziffern, oder 13 mit richtiger Prüfziffer; code128 einfache Buchstaben, Ziffern und Zeichen; qr jeden Text"},
	"scanner.draw_size":      {"a bar of {0} and a height of {1} do not fit into a picture of at most {2} pixels a side", "Strichbreite {0} und Höhe {1} passen nicht in ein Bild von höchstens {2} Bildpunkten je Seite"},
	"scanner.draw_size_hint": {"give whole numbers from 1 up", "ganze Zahlen ab 1 angeben"},
}
