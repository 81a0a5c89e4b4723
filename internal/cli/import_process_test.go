package cli_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// long is more rows than one transaction takes in.
const long = 40_000

func longList(t *testing.T, dir string, price int) string {
	t.Helper()
	var b strings.Builder
	b.WriteString("Artikelnummer;Bezeichnung;Nettopreis\n")
	for i := range long {
		fmt.Fprintf(&b, "L-%05d;FORK SEAL %dX%dX11;%d,%02d\n", i, 30+i%20, 43+i%20, price, i%100)
	}
	path := filepath.Join(dir, fmt.Sprintf("list%d.csv", price))
	if err := os.WriteFile(path, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// ofList counts the rows of an export that are those of the list, and how many
// numbers they have.
func ofList(t *testing.T, forkstock, shop, price string) (rows, numbers int) {
	t.Helper()
	_, out := run(t, nil, forkstock, "export", "prices", "--shop", shop)
	seen := map[string]bool{}
	for line := range strings.Lines(out) {
		if strings.HasPrefix(line, "L-") && strings.Contains(line, ","+price+".") {
			rows++
			seen[line[:7]] = true
		}
	}
	return rows, len(seen)
}

// kill -9 at random moments while a large list is taken in, then the same
// command again, until it ends: every row is there once, with its price, and a
// delivery can be received meanwhile. 20 moments, a tenth of them in the
// ordinary tests.
func TestTrialKillWhileImporting(t *testing.T) {
	kills := 2
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		kills = 20
	}
	dir, forkstock := program(t)
	shop := small(t, dir)
	if code, out := run(t, nil, forkstock, "add", "supplier", "Longlist", "--days", "3", "--shop", shop); code != 0 {
		t.Fatal(out)
	}
	args := func(price int) []string {
		return []string{"import", longList(t, dir, price), "--supplier", "Longlist", "--net", "--shop", shop, "--json"}
	}
	began := time.Now()
	if code, out := run(t, nil, forkstock, args(1)...); code != 0 {
		t.Fatalf("exit %d\n%s", code, out)
	}
	whole := time.Since(began)
	r := rand.New(rand.NewPCG(3, 4))
	killed, resumed := 0, 0
	for i := 2; resumed < kills && i < 2+10*kills; i++ {
		cmd := exec.Command(forkstock, args(i)...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(whole/10 + time.Duration(r.Int64N(int64(whole)/2)))
		_ = cmd.Process.Kill()
		if cmd.Wait() != nil {
			killed++
		}
		before := onHand(t, forkstock, shop)
		again := exec.Command(forkstock, args(i)...)
		var said bytes.Buffer
		again.Stdout = &said
		if err := again.Start(); err != nil {
			t.Fatal(err)
		}
		scan := []string{"receive", "--shop", shop, "--delivery", fmt.Sprintf("d%d", i), "--session", fmt.Sprintf("s%d", i), "-"}
		if code, out := run(t, delivery(), forkstock, scan...); code != 0 {
			t.Errorf("a delivery meanwhile: exit %d\n%s", code, out)
		}
		if got := onHand(t, forkstock, shop); got != before+lines {
			t.Errorf("%d on hand, want %d", got, before+lines)
		}
		if err := again.Wait(); err != nil {
			t.Fatalf("the same command again: %v", err)
		}
		var out struct {
			Added, Changed, Unchanged int
			Files                     []struct{ Resumed bool }
		}
		if err := json.Unmarshal(said.Bytes(), &out); err != nil {
			t.Fatal(err)
		}
		if out.Files[0].Resumed {
			resumed++
		}
		if n := out.Added + out.Changed + out.Unchanged; n != long || out.Added != 0 {
			t.Errorf("kill %d, then again: %+v, want %d rows changed or as they were", i, out, long)
		}
		if rows, numbers := ofList(t, forkstock, shop, fmt.Sprint(i)); rows != long || numbers != long {
			t.Errorf("kill %d, then again: %d rows with the new price, %d numbers, want %d", i, rows, numbers, long)
		}
	}
	t.Logf("%d were killed under way, within %v; %d went on where they had stopped", killed, whole, resumed)
	if resumed < kills {
		t.Errorf("%d kills left something to go on with, want %d", resumed, kills)
	}
}
