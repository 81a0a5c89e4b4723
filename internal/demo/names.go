package demo

// The part makers. Each has a way of its own to number parts, see number.
const (
	vaskuro  = "Vaskuro"  // makes the forks, and lists what is in them
	selvarin = "Selvarin" // seals, wipers, O-rings
	orbenta  = "Orbenta"  // seals, wipers
	tolmek   = "Tolmek"   // bushings
	jostwin  = "Jostwin"  // bolts, washers, clips
	pelmora  = "Pelmora"  // kits, gaiters
	ambrel   = "Ambrel"   // oil and what else comes in bottles
	grevalo  = "Grevalo"  // a little of everything, and tools
)

// suppliers with the days from order to receipt.
var suppliers = []struct {
	name string
	lead int
}{
	{"Zweiradteile Wesselmoor", 2},
	{"Kontor Fehlbrink", 5},
	{"Eldmarsh Seal Trade", 9},
	{"Tavoshi Overseas Parts", 21},
}

// The five makes and their models: make, model, first and last year, fork, and
// where they are told variant, model code and frame numbers. No last year:
// still built. The Nordane 650 of 2004 came with either fork, and so did the
// Torvane 600 of 2004, by frame number. New lines come last: kits are named
// after the first bike of a fork.
const models = `
Kaldrin | Velda 125      | 1998 | 2006 | Corva 31
Kaldrin | Velda 400      | 1997 | 2004 | Corva 39
Kaldrin | Velda 400 S    | 1999 | 2004 | Corva 39
Kaldrin | Velda 400 S    | 2005 | 2009 | Pasko 39
Kaldrin | Ulmar 250      | 1996 | 2001 | Corva 37
Kaldrin | Ulmar 250 E    | 2000 | 2005 | Corva 38
Kaldrin | Nordane 650    | 1999 | 2004 | Corva 41
Kaldrin | Nordane 650    | 2004 | 2008 | Pasko 41
Kaldrin | Nordane 650 GT | 2002 | 2007 | Pasko 41
Kaldrin | Nordane 900    | 2009 | 2016 | Pasko 43
Kaldrin | Nordane 900 X  | 2014 |      | Tirona 43
Ruvanti | Falena 500     | 1996 | 2000 | Corva 40
Ruvanti | Falena 820     | 2003 | 2008 | Tirona 41
Ruvanti | Falena 820 R   | 2005 | 2010 | Tirona 43
Ruvanti | Falena 960     | 2011 |      | Tirona 43
Ruvanti | Falena 960 RS  | 2015 |      | Tirona 43 H
Ruvanti | Zefira 300     | 2012 |      | Corva 37
Ruvanti | Zefira 300 F   | 2014 | 2020 | Tirona 41
Ruvanti | Zefira 1100    | 1998 | 2005 | Pasko 43 S
Ruvanti | Zefira 1100 T  | 2001 | 2006 | Pasko 43 S
Ostrell | Torvane 600    | 1996 | 2003 | Corva 42
Ostrell | Bjarka 125 M   | 1999 | 2007 | Tirona 46
Ostrell | Bjarka 250 M   | 2002 | 2010 | Tirona 47
Ostrell | Bjarka 450 M   | 2006 | 2014 | Tirona 48
Ostrell | Bjarka 450 M   | 2015 | 2018 | Tirona 48 K
Ostrell | Bjarka 450 MA  | 2016 |      | Aerel 48
Ostrell | Bjarka 250 MA  | 2017 |      | Aerel 49
Ostrell | Bjarka 350 E   | 2012 |      | Tirona 48 R
Ostrell | Bjarka 500 E   | 2008 | 2013 | Tirona 50
Tavoshi | TVQ 125        | 1996 | 2010 | Corva 33
Tavoshi | TVQ 250        | 1997 | 2003 | Corva 35
Tavoshi | TVQ 250 K      | 1999 | 2005 | Corva 34.9
Tavoshi | TVQ 400 F      | 1996 | 2002 | Corva 39
Tavoshi | TVQ 600 F      | 1998 | 2003 | Pasko 41
Tavoshi | TVQ 600 R      | 2003 | 2009 | Tirona 41
Tavoshi | Kurane 500     | 1996 | 2007 | Corva 36
Tavoshi | Kurane 750     | 1997 | 2004 | Corva 39
Tavoshi | Kurane 750 B   | 2005 | 2012 | Pasko 41
Tavoshi | Kurane 1000    | 2004 |      | Pasko 43
Tavoshi | Misora 650     | 2016 |      | Corva 41
Haldorn | Drumlin 800    | 1996 | 2005 | Corva 38
Haldorn | Drumlin 1200 C | 2003 | 2012 | Corva 39
Haldorn | Drumlin 1450   | 2006 |      | Pasko 45
Haldorn | Drumlin 1450 L | 2010 |      | Pasko 41.3
Haldorn | Moorland 600   | 2001 | 2008 | Corva 42
Haldorn | Moorland 850   | 2013 | 2019 | Tirona 43 H
Ostrell | Torvane 600    | 2004 | 2004 | Corva 42  |    | TV2 | TV6-00001-TV6-02999
Ostrell | Torvane 600    | 2004 | 2007 | Pasko 43  |    | TV3 | TV6-03000-
Haldorn | Moorland 600   |      |      | Corva 42  | P  |     | ML-20001-ML-20900
Kaldrin | Nordane 900    | 2012 | 2016 | Tirona 43 | R  | ND9 |
`
