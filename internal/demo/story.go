package demo

// The bike on the lift, its fork, and the parts of the story.
const (
	storyMake, storyModel, storyYear = "Kaldrin", "Velda 400", 2001
	storyFork                        = "Corva 39"
	storySize                        = "39x52x11"

	storySeal    = orbenta + "/OB395211"
	storySlick   = orbenta + "/OB395211F"
	storyWiper   = selvarin + "/SW-3156"
	storyBushing = tolmek + "/TL 39-20"
	storyClip    = jostwin + "/410530"
	storyOil     = ambrel + "/AM 310"
	storyRing    = selvarin + "/SO-7156"
	storyWasher  = jostwin + "/621015"
)

// Script is what a demonstration shows, step by step.
type Script struct {
	Bike Bike   // on the lift
	Fork string // that it carries

	Seal    string // MAKER/NUMBER of the seal: a few pieces on hand
	Size    string // its size
	Washer  string // MAKER/NUMBER of the bottom washer: none on hand
	Queries []Query

	Pictures []string // names, in the order of Pictures

	UnknownCode string // the GTIN-14 in the second picture that the shop does not know
	LinkPart    string // MAKER/NUMBER of the part that it is to be linked to
	LinkPieces  int64  // in one pack

	SharedNumber string // a bare number that two makers have
	TwoForks     Bike   // a model-year that came with either of two forks
}

// Query is something to look for, and what to watch in the answer.
type Query struct {
	Words string
	About string // in English, for the reader of the transcript
}

// Bike is a make, model and year.
type Bike struct {
	Make, Model string
	Year        int
}

// Story gives the script. It does not depend on seed, day or scale. The
// washer of the fork is gone; a bag of ten comes with the delivery, under a
// code that the shop learns on the way.
func Story() Script {
	return Script{
		Bike: Bike{storyMake, storyModel, storyYear}, Fork: storyFork,
		Seal: storySeal, Size: storySize, Washer: storyWasher,
		Queries: []Query{
			{"39 mm seal", "every oil seal for a 39 mm leg, the sizes apart"},
			{storySize, "a size alone: the seals first, a shaft seal of the same size is no fork seal"},
			{"wiper kaldrin velda 400 2001", "a role and a bike, from make, model and year"},
			{"ob3952", "a number half typed"},
			{"bushng drumlin", "a mistyped word"},
		},
		Pictures:    []string{"bag.png", "slip.png", "photo.jpg"},
		UnknownCode: "0" + strangeCode, LinkPart: storyWasher, LinkPieces: 10,
		SharedNumber: "410530", TwoForks: Bike{"Kaldrin", "Nordane 650", 2004},
	}
}
