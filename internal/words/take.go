package words

// takeTexts are those of taking parts, of what is kept for jobs, and of the
// story of the stock.
var takeTexts = texts{
	"web.of_it_aside": {"{0} set aside", "{0} zurückgelegt"},
	"cli.stock.aside": {" ({0} free, {1} set aside)", " ({0} frei, {1} zurückgelegt)"},
}
