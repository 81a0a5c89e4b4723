package search

import (
	"bufio"
	"context"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

// childDir and childWork are set where this test binary is to be the process
// that is killed.
const (
	childDir  = "FORKSTOCK_TEST_KILLED"
	childWork = "FORKSTOCK_TEST_KILLED_AT"
)

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" {
		if err := toil(dir, os.Getenv(childWork)); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

// toil does one kind of work on the index in dir over and over, once it is ready.
func toil(dir, work string) error {
	ctx := context.Background()
	db, err := sqlite.Open(ctx, filepath.Join(dir, "shop.db"), sqlite.Options{})
	if err != nil {
		return err
	}
	folder := filepath.Join(dir, "index")
	fresh := func(ix *Index) error {
		return db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
			_, err := ix.CatchUp(ctx, tx, time.Minute)
			return err
		})
	}
	if work != "make" {
		ix := Open(folder, "catalog")
		if err := fresh(ix); err != nil {
			return err
		}
		ix.Close()
	}
	println("ready")
	for round := 0; err == nil; round++ {
		if work == "make" {
			err = os.RemoveAll(folder)
		}
		ix := Open(folder, "catalog")
		switch {
		case err != nil:
		case work == "renew":
			err = db.Read(ctx, func(ctx context.Context, tx *store.Tx) error { return ix.Renew(ctx, tx, "catalog", nil) })
		case work == "catch up":
			err = db.Write(ctx, func(ctx context.Context, tx *store.Tx) error {
				_, err := tx.Exec(ctx, `UPDATE part SET source = source || '.' WHERE rowid % 7 = $1`, round%7)
				return err
			})
		}
		if err == nil {
			err = fresh(ix)
		}
		ix.Close()
	}
	return err
}

// killed is what has been found after processes were killed.
type killed struct{ anew, behind, whole int }

// kill lets a process do one kind of work for a while, kills it, and asks the
// index that it leaves, which has to say what it did to be whole.
func (k *killed) kill(t *testing.T, work string, after time.Duration) {
	t.Helper()
	dir := t.TempDir()
	db, _ := shopIn(t, dir)
	addFiller(t, db, 2500)
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childDir+"="+dir, childWork+"="+work)
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
	if cmd.Wait(); cmd.ProcessState.Exited() {
		t.Fatalf("the process ended by itself: %v", cmd.ProcessState)
	}
	k.look(t, db, filepath.Join(dir, "index"))
}

func (k *killed) look(t *testing.T, db *store.DB, folder string) {
	t.Helper()
	ix := Open(folder, "catalog")
	defer ix.Close()
	var newest int64
	read(t, db, func(ctx context.Context, tx *store.Tx) (err error) {
		newest, err = newestChange(ctx, tx)
		return err
	})
	did := "" // nothing: it is whole
	switch {
	case ix.making:
		k.anew++
		did = "search.made_anew"
		wantDegraded(t, db, ix, "search.index_behind")
	case ix.gen < newest:
		k.behind++
		did = "search.caught_up"
		wantDegraded(t, db, ix, "search.index_behind")
	default:
		k.whole++
	}
	catchUp(t, db, ix, true)
	wantWhole(t, db, ix)
	if n, err := ix.words.DocCount(); n != 34+5+2500 || err != nil {
		t.Errorf("%d documents, %v; want 34 parts, 2500 more and 5 forks", n, err)
	}
	if m := ix.Did(); m.ID != did {
		t.Errorf("did %q, want %q", m.ID, did)
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "*")); len(left) != 2 {
		t.Errorf("%q are left, want the lock and the words", left)
	}
}

// killAt kills n processes at random moments of each work, and gives how many of
// the indexes whose making was stopped had to be made anew.
func killAt(t *testing.T, n int) (anew int) {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	for _, work := range []string{"make", "catch up", "renew"} {
		var k killed
		for range n {
			k.kill(t, work, time.Duration(r.Int64N(int64(300*time.Millisecond))))
		}
		t.Logf("%s: %d killed, then %d made anew, %d caught up, %d whole", work, n, k.anew, k.behind, k.whole)
		if work == "make" {
			anew = k.anew
		} else if k.anew == n {
			t.Errorf("%s: all had to be made anew", work)
		}
	}
	return anew
}

// A process that is killed costs a new index at most, and seldom that. The
// trials kill more.
func TestKilled(t *testing.T) { killAt(t, 5) }
