package shop_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// Each kind of process has an index of its own; all are made anew where one
// process asks for it, that of one that runs by that itself.
func TestReindex(t *testing.T) {
	dir := t.TempDir()
	err := shop.Init(t.Context(), dir, shop.Settings{Zone: "UTC", Currency: "EUR", Language: "en", Person: "Mika"}, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "AA-1", Maker: "Tolmek", Role: catalog.Clip, Unit: catalog.Piece, Description: "wavy springring"})
		return err
	})
	seal := func(kind string) string {
		b, _ := os.ReadFile(filepath.Join(dir, "index", kind, "words", "seal"))
		return string(b)
	}
	reindex := func(want shop.Reindexed) {
		t.Helper()
		calls := 0
		got, err := s.Reindex(t.Context(), func(done, of int) {
			if calls++; done != of || of != 1 {
				t.Errorf("at %d of %d, want 1 of 1", done, of)
			}
		})
		if d := cmp.Diff(got, want); d != "" || err != nil || calls != len(want.Indexes) {
			t.Errorf("%d calls, %v (-got +want)\n%s", calls, err, d)
		}
	}
	answers := func(s *shop.Shop) {
		t.Helper()
		if out, err := s.Find(t.Context(), "wavi", 0); err != nil || out.Total != 1 || !out.Degraded.IsZero() {
			t.Errorf("found %d, degraded %v, %v", out.Total, out.Degraded, err)
		}
	}
	reindex(shop.Reindexed{Entries: 1, Indexes: []string{"command"}, Left: []string{}})
	answers(s)

	server, stop := serving(t, dir)
	until(t, "the server has made its index", func() bool { return seal("server") != "" })
	before := seal("server")
	reindex(shop.Reindexed{Entries: 1, Indexes: []string{"command"}, Left: []string{"server"}})
	until(t, "the server has made its index anew", func() bool { return seal("server") != before && seal("server") != "" })
	answers(server)
	answers(s)
	stop()

	before = seal("server")
	reindex(shop.Reindexed{Entries: 1, Indexes: []string{"command", "server"}, Left: []string{}})
	if seal("server") == before {
		t.Error("the index of a server that does not run is the old one")
	}
	server, _ = serving(t, dir)
	answers(server)
	if out, err := server.Find(t.Context(), "wavi", 0); err != nil || !out.Index.IsZero() {
		t.Errorf("did %v, %v; want nothing", out.Index, err)
	}
}

// serving opens a shop as the server does, which keeps its index until stop.
func serving(t *testing.T, dir string) (s *shop.Shop, stop func()) {
	t.Helper()
	s, err := shop.Open(t.Context(), dir, shop.Options{Process: "server"})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		s.Keep(ctx)
	}()
	stopped := false
	stop = func() {
		if cancel(); !stopped {
			stopped = true
			<-done
			s.Close()
		}
	}
	t.Cleanup(stop)
	return s, stop
}

// until waits for what another goroutine does.
func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for range 600 {
		if is() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("never: %s", what)
}
