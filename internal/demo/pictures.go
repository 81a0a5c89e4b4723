package demo

// Picture is a picture file.
type Picture struct {
	Name  string // "bag.png"
	Bytes []byte
}

// Pictures draws the delivery of the story: a bag label, a packing slip with
// one code that the shop does not know, and a photo taken by hand. The same
// seed gives the same bytes. All their symbols can be read by package scanner.
func Pictures(seed uint64) ([]Picture, error) { return nil, nil }
