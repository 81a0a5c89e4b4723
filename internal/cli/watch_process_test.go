package cli_test

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"image/png"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"forkstock/scanner"
)

// photos puts n pictures into a folder, each of one pack of the part that
// onHand counts, and each with bytes of its own, as those of a camera have.
func photos(t *testing.T, folder string, n int) (names []string) {
	t.Helper()
	pic, err := scanner.Draw(scanner.EAN13, "9523952501131", 2, 60)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := errors.Join(png.Encode(&b, pic), os.MkdirAll(folder, 0o777)); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		name := fmt.Sprintf("IMG_%04d.png", i)
		if err := os.WriteFile(filepath.Join(folder, name), fmt.Appendf(b.Bytes()[:b.Len():b.Len()], "photo %d", i), 0o666); err != nil {
			t.Fatal(err)
		}
		names = append(names, name)
	}
	return names
}

// kill -9 at random moments while pictures are taken from a folder, then the
// same command again: every pack is there once, and every picture lies in the
// folder of those taken, once. 20 moments, a tenth of them in the ordinary
// tests.
func TestTrialKillWhileWatching(t *testing.T) {
	kills, n := 2, 40
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		kills = 20
	}
	dir, forkstock := program(t)
	shop, phone := small(t, dir), filepath.Join(dir, "phone")
	names := photos(t, phone, n*kills)
	before := onHand(t, forkstock, shop)
	args := []string{"watch", phone, "--once", "--json", "--shop", shop}
	r := rand.New(rand.NewPCG(5, 6))
	killed := 0
	for range kills {
		cmd := exec.Command(forkstock, args...)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		for range 1 + r.IntN(n/2) { // so many are told, then it ends somewhere in the next
			lines.Scan()
		}
		time.Sleep(time.Duration(r.Int64N(int64(30 * time.Millisecond))))
		_ = cmd.Process.Kill()
		if cmd.Wait() != nil {
			killed++
		}
	}
	if killed < kills {
		t.Errorf("%d kills came in time, want %d", killed, kills)
	}
	if code, out := run(t, nil, forkstock, args...); code != 0 {
		t.Fatalf("the same command again: exit %d\n%s", code, out)
	}
	if got := onHand(t, forkstock, shop); got != before+len(names) {
		t.Errorf("%d on hand, want %d", got, before+len(names))
	}
	taken, err := os.ReadDir(filepath.Join(phone, "taken"))
	if err != nil || len(taken) != len(names) {
		t.Errorf("%d of %d pictures lie where they should, %v", len(taken), len(names), err)
	}
	for i, e := range taken {
		if i < len(names) && e.Name() != names[i] {
			t.Errorf("picture %d is %s, want %s", i, e.Name(), names[i])
		}
	}
	if left, _ := filepath.Glob(filepath.Join(phone, "*.png")); len(left) > 0 {
		t.Errorf("still in the folder: %v", left)
	}
	if code, out := run(t, nil, forkstock, "check", "--shop", shop); code != 0 {
		t.Errorf("check: exit %d\n%s", code, out)
	}
}

// Two programs watch one folder: every pack is there once, and no picture is
// lost between them.
func TestWatchTwice(t *testing.T) {
	dir, forkstock := program(t)
	shop, phone := small(t, dir), filepath.Join(dir, "phone")
	names := photos(t, phone, 30)
	before := onHand(t, forkstock, shop)
	var both sync.WaitGroup
	for range 2 {
		both.Go(func() {
			if code, out := run(t, nil, forkstock, "watch", phone, "--once", "--shop", shop); code != 0 {
				t.Errorf("exit %d\n%s", code, out)
			}
		})
	}
	both.Wait()
	if got := onHand(t, forkstock, shop); got != before+len(names) {
		t.Errorf("%d on hand, want %d", got, before+len(names))
	}
	taken, err := filepath.Glob(filepath.Join(phone, "taken", "*"))
	if err != nil || len(taken) != len(names) {
		t.Errorf("%d of %d pictures lie where they should, %v", len(taken), len(names), err)
	}
}

// A running watch waits for a half-copied file, for a folder that is gone, and
// ends at ^C with exit 0.
func TestWatchRuns(t *testing.T) {
	dir, forkstock := program(t)
	shop, phone, store := small(t, dir), filepath.Join(dir, "phone"), filepath.Join(dir, "store")
	photos(t, store, 2)
	if err := os.Mkdir(phone, 0o777); err != nil {
		t.Fatal(err)
	}
	before := onHand(t, forkstock, shop)
	cmd := exec.Command(forkstock, "watch", phone, "--json", "--shop", shop)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stderr strings.Builder
	cmd.Stderr = &stderr
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	lines.Buffer(nil, 1<<20)
	next := func(file, state string) {
		t.Helper()
		var told struct{ File, State string }
		if !lines.Scan() || json.Unmarshal(lines.Bytes(), &told) != nil || told.File != file || told.State != state {
			t.Fatalf("%q %s, want %s %s", lines.Text(), stderr.String(), file, state)
		}
	}
	whole, err := os.ReadFile(filepath.Join(store, "IMG_0000.png"))
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(filepath.Join(phone, "a.png"))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range [][]byte{whole[:len(whole)/3], whole[len(whole)/3 : len(whole)/2], whole[len(whole)/2:]} { // never at rest for long
		if _, err := f.Write(part); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Second)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	next("a.png", "taken")
	if err := os.Rename(phone, phone+"-away"); err != nil {
		t.Fatal(err)
	}
	next("", "gone")
	if err := os.Rename(filepath.Join(store, "IMG_0001.png"), filepath.Join(phone+"-away", "b.png")); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(phone+"-away", phone); err != nil {
		t.Fatal(err)
	}
	next("", "back")
	next("b.png", "taken")
	if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	if lines.Scan() {
		t.Errorf("after ^C it said %s", lines.Text())
	}
	if err := cmd.Wait(); err != nil || stderr.Len() > 0 {
		t.Errorf("ended with %v, %s", err, stderr.String())
	}
	if got := onHand(t, forkstock, shop); got != before+2 {
		t.Errorf("%d on hand, want %d", got, before+2)
	}
}
