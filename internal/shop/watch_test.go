package shop_test

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// taken watches a folder once, and gives what became of each file.
func taken(t *testing.T, s *shop.Shop, q shop.WatchRequest) map[string]string {
	t.Helper()
	q.Once = true
	got := map[string]string{}
	if err := s.Watch(t.Context(), q, func(w shop.Watched) { got[w.File] = w.State + " " + w.To }); err != nil {
		t.Fatal(err)
	}
	return got
}

// A picture counts once whatever the day, the name and the delivery: what is
// killed before midnight and goes on after it posts nothing twice. One that
// is too large, or none at all, is put aside.
func TestWatchOnce(t *testing.T) {
	s, clock := newShop(t)
	folder := t.TempDir()
	put := func(name string, data []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	files := pictures(t, "code128.png", "blank.png")
	put("a.png", files[0].Data)
	put("b.png", files[1].Data)
	put("large.png", nil)
	if err := os.Truncate(filepath.Join(folder, "large.png"), 65<<20); err != nil {
		t.Fatal(err)
	}
	q := shop.WatchRequest{Folder: folder, Delivery: "DN 1"}
	want := map[string]string{"a.png": "taken taken/a.png", "b.png": "unread unread/b.png", "large.png": "unread unread/large.png"}
	if diff := cmp.Diff(want, taken(t, s, q)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	waiting := func() int {
		t.Helper()
		got, err := s.Waiting(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		return len(got.Symbols)
	}
	if n := waiting(); n != 1 {
		t.Errorf("%d scans wait, want 1", n)
	}
	clock.now = clock.now.Add(24 * time.Hour)
	put("a.png", files[0].Data)
	q.Delivery = ""
	want = map[string]string{"a.png": "repeated taken/a-2.png"}
	if diff := cmp.Diff(want, taken(t, s, q)); diff != "" {
		t.Errorf("the next day (-want +got):\n%s", diff)
	}
	if n := waiting(); n != 1 {
		t.Errorf("%d scans wait the next day, want 1", n)
	}
	if _, err := s.Delivery(t.Context(), "2026-01-06"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a delivery of nothing was made: %v", err)
	}

	// What gave nothing is read again: readers learn, and nothing was counted.
	put("b.png", files[1].Data)
	want = map[string]string{"b.png": "unread unread/b-2.png"}
	if diff := cmp.Diff(want, taken(t, s, shop.WatchRequest{Folder: folder, Delivery: "DN 1"})); diff != "" {
		t.Errorf("what gave nothing, again (-want +got):\n%s", diff)
	}

	// Somebody else receives it between the look and the transaction.
	got, err := s.Receive(t.Context(), shop.Intake{Delivery: "DN 2", Pictures: files[:1], Apart: true, Once: true})
	if err != nil || len(got.Symbols) != 0 || len(got.Pictures) != 1 || !got.Pictures[0].Repeated || got.Pictures[0].Symbols != 1 {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestWatchRefuses(t *testing.T) {
	s, _ := newShop(t)
	folder := t.TempDir()
	for name, q := range map[string]shop.WatchRequest{
		"shop.watch_absent":      {Folder: filepath.Join(folder, "absent")},
		"inventory.bad_delivery": {Folder: folder, Delivery: "../x"},
		"inventory.bin_absent":   {Folder: folder, Bin: "Z-99"},
	} {
		err := s.Watch(t.Context(), q, func(shop.Watched) { t.Error("something was told") })
		if e, ok := errors.AsType[*fault.Error](err); !ok || e.Message.ID != name || e.Hint.IsZero() {
			t.Errorf("%+v: %v, want %s with a hint", q, err, name)
		}
	}
}
