package words

var tableTexts = texts{
	"table.ending":      {"{0} has no ending that can be written", "{0} hat keine Endung, die geschrieben werden kann"},
	"table.ending.hint": {"name a file that ends in .csv", "eine Datei mit der Endung .csv nennen"},
	"table.no_folder":   {"the folder of {0} does not exist", "den Ordner von {0} gibt es nicht"},
	"table.denied":      {"no permission to write {0}", "keine Schreibberechtigung für {0}"},
	"table.unwritten":   {"{0} could not be written", "{0} konnte nicht geschrieben werden"},
}
