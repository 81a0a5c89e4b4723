package cli_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/url"
	"os"
	"os/exec"
	"sync/atomic"
	"testing"
	"time"
)

// kill -9 of the server at random moments while two phones scan into one open
// delivery: every acknowledged scan is there, the phones send again what they are
// not sure of, and finishing posts each pack once. 20 moments, a tenth of them in
// the ordinary tests.
func TestTrialKillWhileDelivering(t *testing.T) {
	kills := 2
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		kills = 20
	}
	dir, forkstock := program(t)
	shop := small(t, dir)
	before := onHand(t, forkstock, shop)
	if code, out := run(t, nil, forkstock, "delivery", "begin", "crate", "--shop", shop); code != 0 {
		t.Fatal(out)
	}
	var sure [2]atomic.Int64 // scans that a phone has been told of, without a gap
	scan := func(at pages, phone int) error {
		n := sure[phone].Load() + 1
		form := url.Values{"delivery": {"crate"}, "key": {fmt.Sprintf("PHONE%d-%d", phone, n)}, "text": {"9523952501131"}}
		_, err := at.post(context.Background(), "/delivery/scan", form)
		if err == nil {
			sure[phone].Store(n)
		}
		return err
	}
	r := rand.New(rand.NewPCG(7, 8))
	for range kills {
		server := exec.Command(forkstock, "serve", "--listen", "127.0.0.1:0", "--shop", shop)
		at := newPages(serving(t, server))
		done := make(chan error, len(sure))
		for phone := range sure {
			go func() {
				for {
					if err := scan(at, phone); err != nil {
						done <- err
						return
					}
				}
			}()
		}
		time.Sleep(time.Duration(50+r.Int64N(150)) * time.Millisecond)
		_ = server.Process.Kill()
		_ = server.Wait()
		for range sure {
			if err := <-done; errors.Is(err, errRefused) {
				t.Error(err)
			}
		}
		if packs, told := packsOf(t, forkstock, shop), sure[0].Load()+sure[1].Load(); packs < told || packs > told+2 {
			t.Errorf("after a kill %d packs are recorded, %d were told, two were under way", packs, told)
		}
	}
	if sure[0].Load()+sure[1].Load() == 0 {
		t.Fatal("nothing was scanned before the kills")
	}
	if now := onHand(t, forkstock, shop); now != before {
		t.Errorf("%d on hand while the delivery is open, want %d", now, before)
	}
	server := exec.Command(forkstock, "serve", "--listen", "127.0.0.1:0", "--shop", shop)
	at := newPages(serving(t, server))
	for phone := range sure { // the scan that was under way, again
		if err := scan(at, phone); err != nil {
			t.Error(err)
		}
	}
	for range 2 {
		if _, err := at.post(t.Context(), "/delivery/finish", url.Values{"delivery": {"crate"}}); err != nil {
			t.Error(err)
		}
	}
	_ = server.Process.Kill()
	_ = server.Wait()
	want := int64(before) + sure[0].Load() + sure[1].Load()
	if now := int64(onHand(t, forkstock, shop)); now != want {
		t.Errorf("%d on hand, want %d", now, want)
	}
	checks(t, forkstock, shop)
}

func packsOf(t *testing.T, forkstock, shop string) int64 {
	t.Helper()
	_, out := run(t, nil, forkstock, "delivery", "crate", "--shop", shop, "--json")
	var d struct{ Packs int64 }
	if err := json.Unmarshal([]byte(out), &d); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return d.Packs
}
