package shop_test

import (
	"bytes"
	"context"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// pictures gives files of the project's test pictures.
func pictures(t *testing.T, names ...string) (all []shop.Picture) {
	t.Helper()
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join("..", "..", "testdata", "pictures", name))
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, shop.Picture{Name: name, Data: data})
	}
	return all
}

// A picture that is none is told and keeps the others out only where nobody
// asked for them apart. What waits and what was not read can be looked at,
// also later on the page of the delivery.
func TestReceivePicturesApart(t *testing.T) {
	s, _ := newShop(t)
	in := shop.Intake{Delivery: "DN 1", Pictures: pictures(t, "code128.png", "blank.png", "covered.png")}
	in.Pictures = append(in.Pictures, shop.Picture{Name: "note.txt", Data: []byte("no picture")})
	if _, err := s.Receive(t.Context(), in); fault.KindOf(err) != fault.Invalid {
		t.Fatalf("together with what is no picture: %v, want invalid", err)
	}
	if _, err := s.Delivery(t.Context(), "DN 1"); fault.KindOf(err) != fault.NotFound {
		t.Fatalf("the refused delivery is there: %v", err)
	}
	in.Apart = true
	got, err := s.Receive(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Symbols) != 1 || len(got.Unknown) != 1 || len(got.Pictures) != 4 {
		t.Fatalf("%+v", got)
	}
	later, err := s.Delivery(t.Context(), "DN 1")
	if err != nil || len(later.Pictures) != 4 || len(later.Unknown) != 1 {
		t.Fatalf("%+v, %v", later, err)
	}
	for i, want := range []struct {
		pages, symbols, places int
		why                    string
	}{{1, 1, 0, ""}, {1, 0, 0, "shop.no_symbol"}, {1, 0, 1, ""}, {0, 0, 0, "shop.bad_picture"}} {
		for when, v := range map[string]shop.Viewed{"at once": got.Pictures[i], "later": later.Pictures[i]} {
			if v.Image != in.Pictures[i].Name || v.Pages != want.pages || v.Symbols != want.symbols || len(v.Places) != want.places ||
				v.Why.ID != want.why || v.Repeated {
				t.Errorf("picture %d %s: %+v, want %+v", i, when, v, want)
			}
		}
	}
	for _, id := range []int64{later.Unknown[0].Look, later.Pictures[2].Places[0].Look} {
		b, err := s.Look(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		pic, err := jpeg.Decode(bytes.NewReader(b))
		if err != nil || pic.Bounds().Dx() < 90 || pic.Bounds().Dx() > 480 || pic.Bounds().Dy() > 480 || !contrasts(pic) {
			t.Errorf("look %d: %v, %v", id, pic, err)
		}
	}
	if _, err := s.Look(t.Context(), 99); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a look that is not there: %v", err)
	}

	again, err := s.Receive(t.Context(), in)
	if err != nil || again.Repeated != 1 || !again.Pictures[0].Repeated || !again.Pictures[3].Repeated {
		t.Errorf("the same pictures again: %+v, %v", again, err)
	}
	if later, err = s.Delivery(t.Context(), "DN 1"); err != nil || len(later.Pictures) != 4 {
		t.Errorf("and the delivery holds %d pictures, %v", len(later.Pictures), err)
	}
}

func contrasts(pic image.Image) bool {
	dark, light := false, false
	for y := range pic.Bounds().Dy() {
		for x := range pic.Bounds().Dx() {
			r, _, _, _ := pic.At(x, y).RGBA()
			dark, light = dark || r < 0x4000, light || r > 0xc000
		}
	}
	return dark && light
}

// Only what waits is kept: a code that is known needs no picture.
func TestLooksOfWhatWaits(t *testing.T) {
	s, _ := newShop(t)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := addPart(ctx, tx, "W-10", catalog.BottomWasher, washerSize)
		return err
	})
	if _, err := s.Link(t.Context(), shop.LinkRequest{Code: "KB-39-52-11", Part: "W-10", Pieces: 1}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Receive(t.Context(), shop.Intake{Pictures: pictures(t, "code128.png")}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Look(t.Context(), 1); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a look of a known code was kept: %v", err)
	}
}
