package words

var measureTexts = texts{
	"measure.bad_length":        {"“{0}” is not a length", "„{0}“ ist keine Länge"},
	"measure.fraction_unit":     {"“{0}” is a fraction without a unit", "„{0}“ ist ein Bruch ohne Einheit"},
	"measure.too_fine":          {"“{0}” is finer than a thousandth of a millimetre", "„{0}“ ist feiner als ein tausendstel Millimeter"},
	"measure.length_range":      {"{0} is not a length above 0 and up to {1} mm", "{0} ist keine Länge über 0 und bis {1} mm"},
	"measure.bad_size":          {"“{0}” is not a size", "„{0}“ ist kein Maß"},
	"measure.outer_not_above":   {"size {0}: outer {1} is not more than inner {2}", "Maß {0}: außen {1} ist nicht mehr als innen {2}"},
	"measure.overall_below":     {"size {0}: overall height {1} is less than height {2}", "Maß {0}: Gesamthöhe {1} ist kleiner als Höhe {2}"},
	"measure.bad_thread":        {"“{0}” is not a thread", "„{0}“ ist kein Gewinde"},
	"measure.bad_pitch":         {"“{0}”: {1} mm is too much for a pitch", "„{0}“: {1} mm ist zu viel für eine Steigung"},
	"measure.bad_oring":         {"“{0}” is not an O-ring size", "„{0}“ ist kein O-Ring-Maß"},
	"measure.unknown_dash":      {"no sizes are known for O-ring {0}", "zu O-Ring {0} sind keine Maße bekannt"},
	"measure.section_not_below": {"O-ring {0}: section {1} is not less than inner diameter {2}", "O-Ring {0}: Schnurstärke {1} ist nicht kleiner als Innendurchmesser {2}"},
	"measure.bad_volume":        {"“{0}” is not a volume with its unit", "„{0}“ ist kein Volumen mit Einheit"},
	"measure.which_ounce":       {"“{0}”: US or Imperial ounces?", "„{0}“: US- oder britische Unzen?"},
	"measure.volume_range":      {"{0} is not a volume from 1 mL to {1}", "{0} ist kein Volumen von 1 mL bis {1}"},
	"measure.bad_torque":        {"“{0}” is not a torque with its unit", "„{0}“ ist kein Drehmoment mit Einheit"},
	"measure.torque_range":      {"{0} is not a torque above 0 and up to {1}", "{0} ist kein Drehmoment über 0 und bis {1}"},

	"measure.hint_length": {`write it like 39, 57.9, 39 mm, 1.535 in or 1 3/8 in`, `so schreiben: 39 oder 57,9 oder 39 mm oder 1,535 in oder 1 3/8 in`},
	"measure.hint_size":   {"write inner x outer x height, and overall height behind a slash: 39x52x11 or 39x52x11/12.5", "Innen x Außen x Höhe schreiben, Gesamthöhe hinter einem Schrägstrich: 39x52x11 oder 39x52x11/12,5"},
	"measure.hint_thread": {"write it like M10x1.25, M10 or 5/16-24 UNF", "so schreiben: M10x1,25 oder M10 oder 5/16-24 UNF"},
	"measure.hint_pitch":  {"a bolt's length stands apart; write only diameter and pitch, like M10x1.25", "die Schraubenlänge steht für sich; nur Durchmesser und Steigung schreiben, wie M10x1,25"},
	"measure.hint_oring":  {"write inner diameter x section in mm, or an AS568 number: 34x2.4 or AS568-214", "Innendurchmesser x Schnurstärke in mm oder eine AS568-Nummer schreiben: 34x2,4 oder AS568-214"},
	"measure.hint_volume": {"write it like 480 mL, 0.48 L, 16.2 US fl oz or 16.2 Imp fl oz", "so schreiben: 480 mL oder 0,48 L oder 16,2 US fl oz oder 16,2 Imp fl oz"},
	"measure.hint_torque": {"write it like 25 Nm, 18 lbf ft or 2.5 kgf m", "so schreiben: 25 Nm oder 18 lbf ft oder 2,5 kgf m"},
}
