package demo

// Script is what a demonstration shows, step by step.
type Script struct {
	Make, Model string // the bike on the lift
	Year        int
	Fork        string // the fork that it carries

	Seal    string // MAKER/NUMBER of the seal: a few pieces on hand
	Size    string // its size
	Washer  string // MAKER/NUMBER of the bottom washer: none on hand, in nobody's bag
	Queries []Query

	Pictures []string // names, in the order of Pictures

	UnknownCode string // a GTIN-14 of the second picture that the shop does not know
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

// Story gives the script. It does not depend on seed, day or scale.
func Story() Script { return Script{} }
