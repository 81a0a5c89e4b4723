package words

var gs1Texts = texts{
	"gs1.empty":      {"there are no GS1 elements in the text", "der Text enthält keine GS1-Elemente"},
	"gs1.unknown_ai": {"\"{0}\" begins no GS1 element", "mit \"{0}\" beginnt kein GS1-Element"},
	"gs1.bad_value":  {"\"{1}\" cannot stand in GS1 element ({0})", "\"{1}\" kann nicht im GS1-Element ({0}) stehen"},
	"gs1.twice":      {"GS1 element ({0}) says \"{1}\" and \"{2}\"", "GS1-Element ({0}) sagt \"{1}\" und \"{2}\""},
	"gs1.hint":       {"scan the label again, or use the code as it stands", "das Etikett noch einmal scannen oder den Code nehmen, wie er ist"},
}
