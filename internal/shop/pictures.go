package shop

import (
	"context"
	"image"
	"runtime"

	"forkstock/internal/fault"
	"forkstock/scanner"
	"forkstock/scanner/pages"
)

// Picture is a file of pictures to read barcodes from.
type Picture struct {
	Name string // of the file, as it is told
	Data []byte
	// Load gives the data when its turn comes, where Data is nil: of many
	// pictures only a few are in memory at a time. Its errors name the file.
	Load func() ([]byte, error)
}

// Unread is a picture without a barcode, a place in one that could not be
// read, the pages of one that were not looked at, or a file that is no picture.
type Unread struct {
	Image   string        `json:"image"`
	Page    int           `json:"page,omitempty"`    // of the place, or the first that was not looked at
	Corners *[4]Point     `json:"corners,omitempty"` // of the place
	Why     fault.Message `json:"why"`
}

// IsPicture reports whether the first bytes of a file, 1024 are enough, are
// those of a kind of picture file that is known.
func IsPicture(head []byte) bool { return pages.Known(head) }

// mostReaders bounds how many pictures are read at a time: a large one takes a
// few hundred megabytes.
const mostReaders = 4

// readEach reads pictures, as many at a time as there are processors, and hands
// on what was read in their order. What is wrong with a picture is handed on
// as well; an error of hand ends it.
func readEach(ctx context.Context, pictures []Picture, o scanner.Options, hand func(i int, pic scanner.Picture, err error) error) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	type result struct {
		pic scanner.Picture
		err error
	}
	readers := min(runtime.GOMAXPROCS(0), mostReaders)
	under := make(chan chan result, readers-1) // the pictures under way, in their order
	go func() {
		defer close(under)
		for _, p := range pictures {
			done := make(chan result, 1)
			select {
			case under <- done:
			case <-ctx.Done():
				return
			}
			go func() {
				pic, err := p.read(ctx, o)
				done <- result{pic, err}
			}()
		}
	}()
	i := 0
	for done := range under {
		got := <-done
		if err := hand(i, got.pic, got.err); err != nil {
			return err
		}
		i++
	}
	if i < len(pictures) {
		return fault.New(fault.Busy, "scanner.stopped").WithHint("scanner.stopped_hint").WithCause(ctx.Err())
	}
	return nil
}

// read reads one picture. An error names it.
func (p Picture) read(ctx context.Context, o scanner.Options) (scanner.Picture, error) {
	data := p.Data
	if data == nil && p.Load != nil {
		var err error
		if data, err = p.Load(); err != nil {
			return scanner.Picture{}, err
		}
	}
	pic, err := scanner.Read(ctx, data, o)
	if err != nil {
		e := fault.Of(err)
		err = &fault.Error{Kind: e.Kind, Message: fault.Say("shop.picture", p.Name, e.Message), Hint: e.Hint, Err: e}
	}
	return pic, err
}

// taken is a picture of an intake, and why it is none where bad is not nil.
type taken struct {
	name string
	pic  scanner.Picture
	bad  *Unread
}

// readAll reads every picture before anything is changed; what is wrong with
// one is told apart, or ends it.
func (s *Shop) readAll(ctx context.Context, pictures []Picture, apart bool) (all []taken, err error) {
	options := scanner.Options{Looks: true, ITFLengths: s.settings.ITF}
	err = readEach(ctx, pictures, options, func(i int, pic scanner.Picture, err error) error {
		p := taken{name: pictures[i].Name, pic: pic}
		if err != nil {
			e := fault.Of(err)
			bad, ok := badPicture(p.name, err)
			if !ok || !apart {
				return &fault.Error{Kind: e.Kind, Message: e.Message, Hint: fault.Say("shop.unchanged", e.Hint), Err: e.Err}
			}
			p.bad = &bad
			p.pic = scanner.Picture{SHA256: pic.SHA256}
		}
		all = append(all, p)
		return nil
	})
	return all, err
}

// badPicture tells a file that could not be read as a picture; ok is false for
// an error that is not the picture's fault.
func badPicture(name string, err error) (u Unread, ok bool) {
	e := fault.Of(err)
	switch e.Kind {
	case fault.Invalid, fault.NotFound, fault.Denied:
	default:
		return u, false
	}
	if inner := fault.Of(e.Err); inner != nil && e.Message.ID == "shop.picture" {
		e = inner
	}
	if e.Hint.IsZero() {
		return Unread{Image: name, Why: e.Message}, true
	}
	return Unread{Image: name, Why: fault.Say("shop.bad_picture", e.Message, e.Hint)}, true
}

// unread tells what was not read in a picture.
func unread(name string, pic scanner.Picture) (all []Unread) {
	for _, place := range pic.Unread {
		corners := points([4]image.Point{
			place.Box.Min, {X: place.Box.Max.X, Y: place.Box.Min.Y}, place.Box.Max, {X: place.Box.Min.X, Y: place.Box.Max.Y},
		})
		all = append(all, Unread{name, place.Page, &corners, fault.Say("shop.bars_unread", whereabouts(pic, place))})
	}
	if pic.Left > 0 {
		all = append(all, Unread{Image: name, Page: len(pic.Pages) + 1, Why: pagesLeft(pic)})
	}
	if len(pic.Unread)+len(pic.Symbols) == 0 {
		all = append(all, Unread{Image: name, Why: fault.Say("shop.no_symbol")})
	}
	return all
}

// pagesLeft says how many pages of a picture were looked at.
func pagesLeft(pic scanner.Picture) fault.Message {
	return fault.Say("shop.pages_left", len(pic.Pages), len(pic.Pages)+pic.Left)
}

// whereabouts names the ninth of its page that the middle of a place lies in.
func whereabouts(pic scanner.Picture, place scanner.Place) fault.Message {
	if place.Page < 1 || place.Page > len(pic.Pages) {
		return fault.Say("shop.place.11")
	}
	size, middle := pic.Pages[place.Page-1], place.Box.Min.Add(place.Box.Max).Div(2)
	third := func(at, of int) byte { return "012"[min(max(3*at/max(of, 1), 0), 2)] }
	return fault.Say("shop.place." + string([]byte{third(middle.Y, size.Y), third(middle.X, size.X)}))
}
