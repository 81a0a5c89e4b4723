package words

var demoTexts = texts{
	"demo.bad_scale": {"scale {0} is above {1}, the most that the demo shop is made for", "Größe {0} liegt über {1}, mehr gibt der Demoladen nicht her"},
	"demo.bad_end":   {"the demo shop cannot end on {0}: its years lie after 2015", "der Demoladen kann nicht am {0} enden: seine Jahre liegen nach 2015"},
	"demo.hint_end":  {"take a day of 2018 or later", "einen Tag ab 2018 nehmen"},
	"demo.hint_size": {"take a scale from 1 to {0}", "eine Größe von 1 bis {0} nehmen"},
}
