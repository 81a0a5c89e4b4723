package words

// watchTexts are those of a watched folder.
var watchTexts = texts{
	"cli.watch":           {"take the pictures that come into a folder into stock, each once", "die Bilder einbuchen, die in einen Ordner kommen, jedes einmal"},
	"cli.watch.begins":    {"watching {0}; end with Ctrl-C", "{0} wird beobachtet; Ende mit Strg-C"},
	"cli.watch.taken":     {"{0}: {1} {1|barcode|barcodes} read, now {2}", "{0}: {1} {1|Barcode|Barcodes} gelesen, jetzt {2}"},
	"cli.watch.repeated":  {"{0}: came before and was not counted again, now {1}", "{0}: kam schon einmal und zählt nicht noch einmal, jetzt {1}"},
	"cli.watch.unread":    {"{0}: nothing read, now {1}", "{0}: nichts gelesen, jetzt {1}"},
	"cli.watch.left":      {"{0} stays where it is: {1}", "{0} bleibt, wo es ist: {1}"},
	"cli.watch.folder":    {"{0}", "{0}"},
	"cli.watch.sum":       {"{0} {0|picture|pictures} taken, {1} had come before, {2} without anything to read", "{0} {0|Bild|Bilder} übernommen, {1} kamen schon einmal, {2} ohne etwas zu lesen"},
	"cli.flag.watch_once": {"take what is there, then end", "nehmen, was da ist, dann enden"},

	"shop.watch_absent":      {"there is no folder {0}", "es gibt keinen Ordner {0}"},
	"shop.watch_absent.hint": {"name the folder into which the phone or the camera copies its pictures", "den Ordner nennen, in den Telefon oder Kamera ihre Bilder kopieren"},
	"shop.watch_file":        {"{0} is no folder", "{0} ist kein Ordner"},
	"shop.watch_gone":        {"the folder {0} is not there; waiting until it is back", "der Ordner {0} ist nicht da; es wird gewartet, bis er wieder da ist"},
	"shop.watch_back":        {"the folder {0} is there again", "der Ordner {0} ist wieder da"},
	"shop.watch_locked":      {"it cannot be opened", "es lässt sich nicht öffnen"},
	"shop.watch_later":       {"{0}; it is tried again", "{0}; es wird noch einmal versucht"},
	"shop.watch_fixed":       {"it cannot be moved to {0} and stays; it is not counted again", "es lässt sich nicht nach {0} verschieben und bleibt; noch einmal zählt es nicht"},
}
