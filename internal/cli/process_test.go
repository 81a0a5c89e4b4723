package cli_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// program gives a folder that anybody may read, with the program in it.
func program(t *testing.T) (dir, forkstock string) {
	t.Helper()
	dir, err := os.MkdirTemp("", "forkstock")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(self)
	if err != nil {
		t.Fatal(err)
	}
	forkstock = filepath.Join(dir, "forkstock") // by this name the test's program is forkstock
	if err := errors.Join(os.Chmod(dir, 0o755), os.WriteFile(forkstock, b, 0o755)); err != nil {
		t.Fatal(err)
	}
	return dir, forkstock
}

// small gives a copy of the demo shop for processes to work on.
func small(t *testing.T, dir string) string {
	t.Helper()
	shop := filepath.Join(dir, "shop")
	if err := os.CopyFS(shop, os.DirFS(demoShop(t))); err != nil {
		t.Fatal(err)
	}
	return shop
}

// run runs the program and gives its exit code and output.
func run(t *testing.T, stdin io.Reader, name string, args ...string) (code int, out string) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Stdin = stdin
	cmd.Env = append(os.Environ(), "LANG=C")
	b, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), string(b)
}

// onHand asks for the stock of the part that the processes receive.
func onHand(t *testing.T, forkstock, shop string) (n int) {
	t.Helper()
	_, out := run(t, nil, forkstock, "stock", "SW-3156", "--shop", shop, "--json")
	var stock struct{ Lines []struct{ Amount int } }
	if err := json.Unmarshal([]byte(out), &stock); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for _, l := range stock.Lines {
		n += l.Amount
	}
	return n
}

const lines = 300

func delivery() io.Reader { return strings.NewReader(strings.Repeat("9523952501131\n", lines)) }

// kill -9 at random moments while a delivery is received, then the same
// command again: every pack is there once. 20 moments, a tenth of them in the
// ordinary tests.
func TestTrialKillWhileReceiving(t *testing.T) {
	kills := 2
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		kills = 20
	}
	dir, forkstock := program(t)
	shop := small(t, dir)
	args := func(i int) []string {
		return []string{"receive", "--shop", shop, "--delivery", fmt.Sprintf("d%d", i), "--session", fmt.Sprintf("s%d", i), "-"}
	}
	before := onHand(t, forkstock, shop)
	began := time.Now()
	if code, out := run(t, delivery(), forkstock, args(0)...); code != 0 {
		t.Fatalf("exit %d\n%s", code, out)
	}
	whole := time.Since(began) // how long one takes decides when to kill
	r := rand.New(rand.NewPCG(1, 2))
	killed, tries := 0, 0
	for i := 1; killed < kills && i <= 10*kills; i++ {
		tries = i
		cmd := exec.Command(forkstock, args(i)...)
		cmd.Stdin = delivery()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(r.Int64N(int64(whole))))
		_ = cmd.Process.Kill()
		if err := cmd.Wait(); err != nil {
			killed++
		} else {
			whole = whole*3/4 + 1 // the first one took long, as on a busy machine
		}
		before := before + i*lines
		if got := onHand(t, forkstock, shop); got != before && got != before+lines {
			t.Errorf("kill %d: %d on hand, want all of the delivery or nothing: %d or %d", i, got, before, before+lines)
		}
		if code, out := run(t, delivery(), forkstock, args(i)...); code != 0 {
			t.Fatalf("the same command again: exit %d\n%s", code, out)
		}
		if got := onHand(t, forkstock, shop); got != before+lines {
			t.Errorf("kill %d, then again: %d on hand, want %d", i, got, before+lines)
		}
	}
	t.Logf("%d of %d were killed under way, within %v", killed, tries, whole)
	if killed < kills {
		t.Errorf("%d kills came in time, want %d", killed, kills)
	}
	if code, out := run(t, nil, forkstock, "check", "--shop", shop); code != 0 {
		t.Errorf("check: exit %d\n%s", code, out)
	}
}

// Several programs receive into one shop at once, under one session and under
// their own: every pack is there once.
func TestReceiveFromSeveralPrograms(t *testing.T) {
	dir, forkstock := program(t)
	shop := small(t, dir)
	before := onHand(t, forkstock, shop)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			session := fmt.Sprintf("s%d", i/2) // two programs to a session
			if code, out := run(t, delivery(), forkstock, "receive", "--shop", shop, "--delivery", "d", "--session", session, "-"); code != 0 {
				t.Errorf("exit %d\n%s", code, out)
			}
		})
	}
	wg.Wait()
	if got := onHand(t, forkstock, shop); got != before+2*lines {
		t.Errorf("%d on hand, want %d", got, before+2*lines)
	}
}

// A folder without permission to write is told in one line, exit 3, and
// nothing is changed. Root may write anywhere, so the program then runs as
// nobody.
func TestNoPermission(t *testing.T) {
	dir, forkstock := program(t)
	shop := small(t, dir)
	if err := os.Chmod(shop, 0o555); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.Chmod(shop, 0o755) })
	db := filepath.Join(shop, "forkstock.db")
	was, err := os.ReadFile(db)
	if err != nil {
		t.Fatal(err)
	}
	for _, mode := range []os.FileMode{0o444, 0o666} { // the file itself, and only its folder
		if err := os.Chmod(db, mode); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{
			{"receive", "--shop", shop, "-"},
			{"find", "--shop", shop, "seal"},
			{"issue", "--shop", shop, "SW-3156", "1"},
			{"init", "--shop", filepath.Join(shop, "new")},
		} {
			cmd := exec.Command(forkstock, args...)
			cmd.Stdin = delivery()
			cmd.Env = append(os.Environ(), "LANG=C")
			if os.Getuid() == 0 {
				cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
			}
			var stderr bytes.Buffer
			cmd.Stderr = &stderr
			_ = cmd.Run()
			if code := cmd.ProcessState.ExitCode(); code != 3 {
				t.Errorf("%v, file %v: exit %d, want 3\n%s", args[0], mode, code, stderr.String())
			}
			if said := stderr.String(); !strings.Contains(said, "permission") || strings.Count(said, "\n") != 2 {
				t.Errorf("%v, file %v: want one line and a hint, got\n%s", args[0], mode, said)
			}
		}
	}
	if now, err := os.ReadFile(db); err != nil || !bytes.Equal(was, now) {
		t.Errorf("the shop's file changed: %v", err)
	}
}
