package cli_test

import (
	"bufio"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"forkstock/internal/fault"
)

// A trouble is a disk on which hands post: how it gets worse, what it is called
// then, and how it is good again.
type trouble struct {
	kind        fault.Kind // "": nobody notices
	worse, good func()
	env         []string
}

// moody builds the library that stands between the programs and the disk, and
// gives the trouble with a disk that gets into a mood; see testdata/disk.
func moody(t *testing.T, shopDir, mood string, kind fault.Kind) trouble {
	t.Helper()
	dir := t.TempDir()
	lib, says := filepath.Join(dir, "disk.so"), filepath.Join(dir, "mood")
	if out, err := exec.Command("cc", "-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o", lib, "testdata/disk/disk.c", "-lpthread").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	set := func(mood string) func() {
		return func() {
			t.Helper()
			if err := os.WriteFile(says+"~", []byte(mood), 0o600); err != nil {
				t.Fatal(err)
			}
			if err := os.Rename(says+"~", says); err != nil { // never half of it
				t.Fatal(err)
			}
		}
	}
	return trouble{kind, set(mood), set("good"), []string{"LD_PRELOAD=" + lib, "DISK_DIR=" + shopDir, "DISK_MOOD=" + says}}
}

// A listener hears a program of hands.
type listener struct {
	*crew
	mu      sync.Mutex
	refused []string
}

func (l *listener) listen(t *testing.T, cmd *exec.Cmd) (end func()) {
	t.Helper()
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	var heard sync.WaitGroup
	heard.Go(func() {
		for said := bufio.NewReader(out); ; {
			line, err := said.ReadString('\n')
			no := l.hear(line)
			l.mu.Lock()
			l.refused = append(l.refused, no...)
			l.mu.Unlock()
			if err != nil {
				return
			}
		}
	})
	return sync.OnceFunc(func() {
		_ = cmd.Process.Kill()
		heard.Wait()
		_ = cmd.Wait()
	})
}

func (l *listener) refusals() []string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.refused
}

// wait waits until there are so many more acknowledgements, or refusals.
func (l *listener) wait(t *testing.T, what string, acks, refusals int) {
	t.Helper()
	acks, refusals = acks+l.acks(), refusals+len(l.refusals())
	for began := time.Now(); l.acks() < acks || len(l.refusals()) < refusals; time.Sleep(time.Millisecond) {
		if time.Since(began) > time.Minute {
			t.Fatalf("%s: %d of %d acknowledgements, %d of %d refusals", what, l.acks(), acks, len(l.refusals()), refusals)
		}
	}
}

// suffers lets two programs of two hands post while the disk gets worse and good
// again, and kills them. Refusals have the kind of the trouble, what was
// acknowledged is there and nothing half, and the hands went on.
func (x trouble) suffers(t *testing.T, forkstock, shopDir, run string) {
	t.Helper()
	l := &listener{crew: newCrew(run, 4)}
	x.good()
	var ends []func()
	for i := range 2 {
		cmd := handsCommand(shopDir, run, 2*i, 2, 0, "FULL")
		cmd.Env = append(cmd.Env, x.env...)
		end := l.listen(t, cmd)
		t.Cleanup(end)
		ends = append(ends, end)
	}
	l.wait(t, "before", 10, 0)
	x.worse()
	switch x.kind {
	case "":
		l.wait(t, "meanwhile", 10, 0)
	case fault.Full:
		l.wait(t, "meanwhile", 0, 10)
		if run != "filling" { // a command has room for itself there
			x.says(t, forkstock, shopDir)
		}
	default:
		l.wait(t, "meanwhile", 10, 10)
	}
	x.good()
	l.wait(t, "afterwards", 40, 0)
	for _, end := range ends {
		end()
	}
	for _, no := range l.refused {
		if f := strings.Fields(no); len(f) < 4 || f[3] != string(x.kind) {
			t.Errorf("refused: %s, want kind %q", no, x.kind)
		}
	}
	t.Logf("%d acknowledged, %d refused", l.acks(), len(l.refused))
	l.proves(t, shopDir)
}

// says asks the command line, which tells a full disk in one line and a hint.
func (x trouble) says(t *testing.T, forkstock, shopDir string) {
	t.Helper()
	cmd := exec.Command(forkstock, "issue", handPart, "1", "--found", "--shop", shopDir)
	cmd.Env = append(append(os.Environ(), "LANG=C"), x.env...)
	out, err := cmd.CombinedOutput()
	if cmd.ProcessState.ExitCode() != 3 || !strings.Contains(string(out), ": the disk is full\n") || strings.Count(string(out), "\n") != 2 {
		t.Errorf("a command on a full disk: %v\n%s", err, out)
	}
}

// A disk that gets full, slow, or fails at some writes or syncs.
func TestTrialDisk(t *testing.T) {
	dir, forkstock := program(t)
	shopDir := small(t, dir)
	for _, c := range []struct {
		run, mood string
		kind      fault.Kind
	}{
		{"full", "full 0", fault.Full},
		{"filling", "full 100000", fault.Full}, // in the middle of a write
		{"slow", "slow 60", ""},
		{"write", "write 90", fault.Damaged},
		{"sync", "sync 3", fault.Damaged},
	} {
		t.Run(c.run, func(t *testing.T) {
			moody(t, shopDir, c.mood, c.kind).suffers(t, forkstock, shopDir, c.run)
		})
	}
	checks(t, forkstock, shopDir)
}

// A small file system that is really full. Where this process may not mount one,
// the disk that only says so has to do: TestTrialDisk.
func TestTrialSmallDisk(t *testing.T) {
	dir, forkstock := program(t)
	disk := filepath.Join(dir, "disk")
	if err := os.Mkdir(disk, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("forkstock", disk, "tmpfs", 0, "size=24m"); err != nil {
		t.Logf("mount: %v; TestTrialDisk stands for it", err)
		return
	}
	t.Cleanup(func() { _ = syscall.Unmount(disk, syscall.MNT_DETACH) })
	shopDir, ballast := small(t, disk), filepath.Join(disk, "ballast")
	x := trouble{kind: fault.Full}
	x.worse = func() {
		for err := error(nil); err == nil; { // until not a page is left
			var f *os.File
			if f, err = os.OpenFile(ballast, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600); err == nil {
				_, err = f.Write(make([]byte, 4096))
				f.Close()
			}
		}
	}
	x.good = func() { _ = os.Remove(ballast) }
	x.suffers(t, forkstock, shopDir, "small")
	checks(t, forkstock, shopDir)
}
