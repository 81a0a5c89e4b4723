package words

var commonTexts = texts{
	"plain":         {"{0}", "{0}"},
	"internal":      {"something went wrong inside forkstock", "in forkstock ist etwas schiefgegangen"},
	"internal.hint": {"nothing was changed; run `forkstock check`, and keep the text above", "nichts wurde geändert; `forkstock check` ausführen und den Text oben aufheben"},
	"unit.piece":    {"{0} {0|piece|pieces}", "{0} Stück"},
	"unit.mL":       {"{0} mL", "{0} mL"},
	"list.and":      {"{0} and {1}", "{0} und {1}"},
	"list.comma":    {"{0}, {1}", "{0}, {1}"},
}
