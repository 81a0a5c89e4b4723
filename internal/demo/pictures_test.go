package demo

import (
	"bytes"
	"context"
	"slices"
	"testing"

	"forkstock/internal/gs1"
	"forkstock/scanner"
)

// keys reads a picture the way a delivery is read.
func keys(t *testing.T, data []byte) (all []string) {
	t.Helper()
	p, err := scanner.Read(context.Background(), data, scanner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range p.Symbols {
		key, _ := s.Key()
		all = append(all, key)
	}
	return all
}

func TestPicturesCanBeRead(t *testing.T) {
	var slip []string
	for _, l := range packed {
		key, _ := gs1.Key(l.symbology, l.code)
		slip = append(slip, key)
	}
	want := map[string][]string{"bag.png": {"0" + pairCode}, "slip.png": slip, "photo.jpg": {"0" + ringCode}}
	for _, seed := range []uint64{0, 1, 2} {
		pictures, err := Pictures(seed)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range pictures {
			if got := keys(t, p.Bytes); !slices.Equal(got, want[p.Name]) {
				t.Errorf("seed %d: %s shows %q, want %q", seed, p.Name, got, want[p.Name])
			}
		}
	}
}

func TestPicturesAreTheSame(t *testing.T) {
	a, err := Pictures(7)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Pictures(7)
	other, _ := Pictures(8)
	for i := range a {
		if !bytes.Equal(a[i].Bytes, b[i].Bytes) {
			t.Errorf("%s differs from run to run", a[i].Name)
		}
	}
	if bytes.Equal(a[2].Bytes, other[2].Bytes) {
		t.Error("two seeds take the same photo")
	}
}
