package search

import (
	"bufio"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

// childDir is set where this test binary is to be the process that is killed.
const childDir = "FORKSTOCK_TEST_KILLED"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		toil(dir)
	}
	os.Exit(m.Run())
}

// toil makes, fills, renews and closes an index in dir over and over.
func toil(dir string) {
	ctx := context.Background()
	db, err := sqlite.Open(ctx, filepath.Join(dir, "shop.db"), sqlite.Options{})
	if err != nil {
		panic(err)
	}
	println("ready")
	for round := 0; ; round++ {
		ix := Open(filepath.Join(dir, "index"), "catalog")
		err := db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
			_, err := ix.CatchUp(ctx, tx, time.Second)
			if err == nil && round%3 == 2 {
				err = ix.Renew(ctx, tx, nil)
			}
			return err
		})
		if err != nil {
			panic(err)
		}
		ix.Close()
		if round%2 == 1 {
			os.Remove(filepath.Join(dir, "index", "seal")) // the next one begins anew
		}
	}
}

// kill lets a process work for a while, kills it, and asks the index that it
// leaves. It reports whether that index had to be built anew.
func kill(t *testing.T, after time.Duration) bool {
	t.Helper()
	dir := t.TempDir()
	db, _ := shopIn(t, dir)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childDir+"="+dir)
	errors, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if line, _ := bufio.NewReader(errors).ReadString('\n'); line != "ready\n" {
		t.Fatalf("the process says %q", line)
	}
	time.Sleep(after)
	if err := cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	cmd.Wait()
	ix := Open(filepath.Join(dir, "index"), "catalog")
	defer ix.Close()
	anew := ix.gen == 0
	catchUp(t, db, ix, true)
	wantWhole(t, db, ix)
	return anew
}

// A process that is killed costs a new index at most. The trials kill more.
func TestKilled(t *testing.T) {
	for i := range 4 {
		kill(t, time.Duration(1+13*i)*time.Millisecond)
	}
}
