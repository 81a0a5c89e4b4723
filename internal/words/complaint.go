package words

// complaintTexts are the texts of what is claimed from suppliers, of blocked
// places, and of prices as they were.
var complaintTexts = texts{
	"complaint.what.damaged":          {"came damaged", "beschädigt gekommen"},
	"complaint.what.wrong":            {"wrong part", "falsches Teil"},
	"complaint.what.suspect":          {"suspect batch", "verdächtige Charge"},
	"complaint.what.short":            {"fewer than on the delivery note", "weniger als auf dem Lieferschein"},
	"complaint.what.kit_short":        {"kit not complete", "Satz unvollständig"},
	"complaint.what.sent_back":        {"sent back", "zurückgeschickt"},
	"complaint.by.replacement":        {"replaced", "ersetzt"},
	"complaint.by.credit":             {"paid back", "gutgeschrieben"},
	"complaint.by.refusal":            {"refused", "abgelehnt"},
	"complaint.by.mistake":            {"our mistake", "unser Irrtum"},
	"complaint.by.undone":             {"not sent back after all", "doch nicht zurückgeschickt"},
	"merge.complaint":                 {"{0} {0|complaint|complaints}", "{0} {0|Reklamation|Reklamationen}"},
	"inventory.claim_absent":          {"there is no complaint {0}", "es gibt keine Reklamation {0}"},
	"inventory.claim_absent.hint":     {"see them: forkstock complaint --all", "ansehen: forkstock complaint --all"},
	"web.inventory.claim_absent.hint": {"it may have been typed wrongly", "vielleicht ein Tippfehler"},
	"inventory.claim_ended":           {"complaint {0} is settled: {1}", "Reklamation {0} ist erledigt: {1}"},
	"inventory.claim_ended.hint":      {"nothing was changed; take it up again: forkstock complaint reopen {0}", "nichts wurde geändert; wieder aufnehmen: forkstock complaint reopen {0}"},
	"web.inventory.claim_ended.hint":  {"nothing was changed; it can be taken up again on its page", "nichts wurde geändert; auf ihrer Seite lässt sie sich wieder aufnehmen"},
	"inventory.claim_open":            {"complaint {0} is open", "Reklamation {0} ist offen"},
	"inventory.bad_credit":            {"a credit is more than 0.00", "eine Gutschrift ist mehr als 0,00"},
	"inventory.no_credit":             {"nothing was paid back for complaint {0}", "für Reklamation {0} wurde nichts gutgeschrieben"},
	"inventory.held":                  {"what lies in {0} is blocked: it is not taken for jobs", "was in {0} liegt, ist gesperrt: es wird nicht für Aufträge genommen"},
	"inventory.held.hint":             {"if it is good after all, put it on the shelf first: forkstock move PART PIECES --from {0} --to BIN", "ist es doch gut, zuerst ins Regal legen: forkstock move TEIL STÜCK --from {0} --to FACH"},
	"web.inventory.held.hint":         {"if it is good after all, move it to a shelf first", "ist es doch gut, zuerst in ein Regal umlagern"},
}
