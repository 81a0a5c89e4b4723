package words

var storeTexts = texts{
	"store.exists":          {"{0} is there already", "{0} gibt es schon"},
	"store.absent":          {"there is no shop file {0}", "es gibt keine Betriebsdatei {0}"},
	"store.absent.hint":     {"make one with `forkstock init`, or name the right folder with --shop", "mit `forkstock init` anlegen oder mit --shop den richtigen Ordner nennen"},
	"store.denied":          {"no permission to write {0}", "keine Schreibberechtigung für {0}"},
	"store.denied.hint":     {"run as the user who owns it, or change its permissions: ls -l {0}", "als Eigentümer ausführen oder die Rechte ändern: ls -l {0}"},
	"store.setting":         {"the database did not take the setting {0}: it is {1}, not {2}", "die Datenbank hat die Einstellung {0} nicht angenommen: sie ist {1}, nicht {2}"},
	"store.newer":           {"this shop is of a newer version ({0}) than this forkstock ({1})", "dieser Betrieb ist von einer neueren Version ({0}) als dieses forkstock ({1})"},
	"store.newer.hint":      {"nothing was changed; use the newer forkstock", "nichts wurde geändert; das neuere forkstock verwenden"},
	"store.stopped":         {"stopped; nothing was changed", "abgebrochen; nichts wurde geändert"},
	"store.busy":            {"another program holds the shop's database", "ein anderes Programm hält die Datenbank des Betriebs"},
	"store.busy.hint":       {"nothing was changed; wait a moment and try again", "nichts wurde geändert; kurz warten und noch einmal versuchen"},
	"store.damaged":         {"the shop's database file is damaged", "die Datenbankdatei des Betriebs ist beschädigt"},
	"store.damaged.hint":    {"keep a copy of the folder as it is, then bring back the last good copy of it", "den Ordner so, wie er ist, sichern und dann die letzte gute Kopie zurückholen"},
	"store.full":            {"the disk is full", "der Datenträger ist voll"},
	"store.full.hint":       {"nothing was changed; make room and try again", "nichts wurde geändert; Platz schaffen und noch einmal versuchen"},
	"store.readonly":        {"no permission to write in the shop's folder", "keine Schreibberechtigung im Ordner des Betriebs"},
	"store.readonly.hint":   {"run as the user who owns the folder, or change its permissions", "als Eigentümer des Ordners ausführen oder die Rechte ändern"},
	"store.check_file":      {"the database file: {0}", "die Datenbankdatei: {0}"},
	"store.check_reference": {"{0} row {1} refers to a {2} that is not there", "{0} Zeile {1} verweist auf {2}, das es nicht gibt"},
	"store.bad_time":        {"the database holds a time that is none: {0}", "die Datenbank enthält eine ungültige Zeit: {0}"},
}
