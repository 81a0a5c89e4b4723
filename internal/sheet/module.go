package sheet

import (
	"math"

	"forkstock/internal/fault"
	"forkstock/internal/measure"
)

// LeastModule is the narrowest bar that is printed: two dots of a printer with
// 203 dots to the inch, which hand scanners still read. Common practice, no
// source; GS1 General Specifications 5.12 take 0.250 mm for the narrowest of
// symbols on small goods.
const LeastModule = 250 * measure.Micrometre

// The widest bars that are chosen where nobody asks for any, in mm.
const (
	mostBar    = 0.5 // of a linear symbol
	mostSquare = 1.2 // of a Data Matrix or QR symbol
)

// Print is how labels are printed.
type Print struct {
	DPI    int            // dots to the inch: modules are whole dots; 0: not known
	Module measure.Length // of all labels; 0: what each label allows
	Start  int            // first label of the first page that is free, from 1; 0 is 1
}

// Check refuses what no printer does. Error: Invalid.
func (p Print) Check() error {
	switch {
	case p.DPI != 0 && (p.DPI < 150 || p.DPI > 2400):
		return fault.New(fault.Invalid, "sheet.bad_dpi", p.DPI).WithHint("sheet.bad_dpi.hint")
	case p.Module != 0 && (p.Module < LeastModule || p.Module > 5000):
		return fault.New(fault.Invalid, "sheet.bad_module", p.Module, LeastModule).WithHint("sheet.bad_module.hint", LeastModule)
	}
	return nil
}

// dot gives the step that module widths go in, in mm.
func (p Print) dot() float64 {
	if p.DPI == 0 {
		return 0.001
	}
	return inch / float64(p.DPI)
}

// least gives the narrowest module, in mm: of whole dots, LeastModule or, where
// they miss it by a thousandth of a millimetre, just below it.
func (p Print) least() float64 {
	dot := p.dot()
	return math.Ceil((mm(LeastModule)-0.001)/dot) * dot
}

// module gives how wide the modules of a symbol become that is so many of them
// across and has so much room, in mm; false where there is too little, with the
// width that it would take at the least.
func (p Print) module(across int, room, most float64) (module float64, ok bool) {
	const slack = 1e-9
	dot := p.dot()
	if p.Module != 0 {
		module = max(math.Round(mm(p.Module)/dot)*dot, p.least())
	} else {
		module = max(math.Floor(min(room/float64(across), most)/dot+slack)*dot, p.least())
	}
	return module, module*float64(across) <= room+slack
}
