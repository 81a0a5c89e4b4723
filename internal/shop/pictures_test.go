package shop

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"sync/atomic"
	"testing"

	"forkstock/internal/fault"
	"forkstock/scanner"
)

// labels gives pictures of Code 128 symbols, one for each text.
func labels(t *testing.T, texts ...string) (all []Picture) {
	t.Helper()
	for _, text := range texts {
		pic, err := scanner.Draw(scanner.Code128, text, 2, 60)
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if err := png.Encode(&b, pic); err != nil {
			t.Fatal(err)
		}
		all = append(all, Picture{Name: text + ".png", Data: b.Bytes()})
	}
	return all
}

// Pictures come back in their order, those that are none among them, and never
// more are in memory than are read at a time.
func TestReadEach(t *testing.T) {
	var open, most atomic.Int32
	var texts []string
	for i := range 12 {
		texts = append(texts, fmt.Sprintf("PACK-%02d", i))
	}
	pictures := labels(t, texts...)
	for i := range pictures {
		data := pictures[i].Data
		if i == 3 {
			data = []byte("no picture")
		}
		pictures[i].Data, pictures[i].Load = nil, func() ([]byte, error) {
			n := open.Add(1)
			for seen := most.Load(); n > seen && !most.CompareAndSwap(seen, n); seen = most.Load() {
			}
			return data, nil
		}
	}
	next := 0
	err := readEach(t.Context(), pictures, scanner.Options{}, func(i int, pic scanner.Picture, err error) error {
		open.Add(-1)
		switch {
		case i != next:
			t.Errorf("picture %d came when %d was due", i, next)
		case i == 3 && fault.KindOf(err) != fault.Invalid:
			t.Errorf("what is no picture: %v", err)
		case i != 3 && (err != nil || len(pic.Symbols) != 1 || pic.Symbols[0].Text != texts[i]):
			t.Errorf("picture %d: %+v, %v", i, pic.Symbols, err)
		}
		next++
		return nil
	})
	if err != nil || next != len(pictures) {
		t.Errorf("%d of %d pictures, %v", next, len(pictures), err)
	}
	if n := most.Load(); n > mostReaders+1 { // one more may have ended and wait to be handed on
		t.Errorf("%d pictures in memory at a time, at most %d", n, mostReaders+1)
	}
	stop := errors.New("enough")
	if err := readEach(t.Context(), pictures, scanner.Options{}, func(int, scanner.Picture, error) error { return stop }); err != stop {
		t.Errorf("an error of the hand came back as %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if err := readEach(ctx, pictures, scanner.Options{}, func(_ int, _ scanner.Picture, err error) error { return err }); fault.KindOf(err) != fault.Busy {
		t.Errorf("with an ended context: %v", err)
	}
}

func TestWhereabouts(t *testing.T) {
	pic := scanner.Picture{Pages: []image.Point{{10, 10}, {300, 900}}}
	for id, box := range map[string]image.Rectangle{
		"shop.place.00": image.Rect(0, 0, 100, 50), "shop.place.02": image.Rect(220, 10, 300, 90), "shop.place.11": image.Rect(0, 0, 300, 900),
		"shop.place.20": image.Rect(-20, 850, 20, 990), "shop.place.12": image.Rect(290, 400, 310, 500),
	} {
		if got := whereabouts(pic, scanner.Place{Page: 2, Box: box}); got.ID != id {
			t.Errorf("%v is %s, want %s", box, got.ID, id)
		}
	}
	if got := whereabouts(scanner.Picture{}, scanner.Place{Page: 1}); got.ID != "shop.place.11" {
		t.Errorf("on no known page: %s", got.ID)
	}
}
