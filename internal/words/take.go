package words

// takeTexts are those of taking parts, of what is kept for jobs, and of the
// story of the stock.
var takeTexts = texts{
	"merge.take":      {"{0} {0|scan|scans} of taking", "{0} {0|Scan|Scans} vom Entnehmen"},
	"lot.made":        {"made {0}", "hergestellt {0}"},
	"lot.best_before": {"best before {0}", "mindestens haltbar bis {0}"},
	"lot.use_by":      {"use by {0}", "verwendbar bis {0}"},
	"lot.sell_by":     {"sell by {0}", "verkaufen bis {0}"},

	"web.days":        {"Dates", "Daten"},
	"web.of_it_aside": {"{0} set aside", "{0} zurückgelegt"},
	"cli.stock.aside": {" ({0} free, {1} set aside)", " ({0} frei, {1} zurückgelegt)"},
}
