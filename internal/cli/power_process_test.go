package cli_test

import (
	"bufio"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"forkstock/internal/shop"
)

// A kill loses nothing that the kernel holds; a power cut does. So strace writes
// down every write and sync of the shop's database and its write-ahead log, and
// each acknowledgement; a disk that keeps only what was synced is made of that.

// A platter is a file of such a disk.
type platter struct {
	now, safe []byte                // with all that was written; what a power cut leaves
	unsafe    []func([]byte) []byte // what was done to it since
	synced    int                   // how many changes are safe
}

func (p *platter) change(do func([]byte) []byte) {
	p.now = do(p.now)
	p.unsafe = append(p.unsafe, do)
}

func overwrite(at int, data []byte) func([]byte) []byte {
	return func(b []byte) []byte {
		if grow := at + len(data) - len(b); grow > 0 {
			b = append(b, make([]byte, grow)...)
		}
		copy(b[at:], data)
		return b
	}
}

func truncate(size int) func([]byte) []byte {
	return func(b []byte) []byte { return overwrite(size, nil)(b)[:size] }
}

// A disk holds the files of one folder. A file that was made or removed is so
// after a power cut only if the folder was synced.
type disk struct {
	dir       string
	now, kept map[string]*platter
	syncs     int // of the write-ahead log, since the last acknowledgement
}

const walName = "forkstock.db-wal"

func newDisk(t *testing.T, dir string) *disk {
	t.Helper()
	d := &disk{dir: dir, now: map[string]*platter{}}
	for _, name := range []string{"forkstock.db", walName} {
		b, err := os.ReadFile(filepath.Join(dir, name))
		if errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		d.now[name] = &platter{now: b, safe: slices.Clone(b)}
	}
	d.kept = maps.Clone(d.now)
	return d
}

// cut writes what a power cut leaves into a folder: what was synced and, where
// torn is not nil, of the rest whatever it chooses.
func (d *disk) cut(t *testing.T, dir string, torn *rand.Rand) {
	t.Helper()
	for name, p := range d.kept {
		b := slices.Clone(p.safe)
		for _, do := range p.unsafe {
			if torn != nil && torn.IntN(2) == 0 {
				b = do(b)
			}
		}
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// A call is one line of strace, or half of one.
type call struct {
	thread, name string
	path         string // of its file
	text         []byte // that is written, or the path that is named
	args         []string
	begun, ended bool
	failed       bool
}

// unhex reads what strace wrote as \x00\x01...
func unhex(s string) []byte {
	b := make([]byte, len(s)/4)
	for i := range b {
		_, _ = hex.Decode(b[i:i+1], []byte(s[4*i+2:4*i+4]))
	}
	return b
}

// parseCall reads a line of strace: 17 pwrite64(5<\x2f...>, "\x00...", 4096, 8192) = 4096
// where another thread came between: 17 fsync(5<...> <unfinished ...>, then 17 <... fsync resumed>) = 0
func parseCall(line string) (c call, ok bool) {
	thread, rest, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
	if !ok {
		return c, false
	}
	c.thread, rest = thread, strings.TrimLeft(rest, " ")
	if resumed, ok := strings.CutPrefix(rest, "<... "); ok {
		c.name, rest, _ = strings.Cut(resumed, " ")
	} else if c.name, rest, c.begun = strings.Cut(rest, "("); !c.begun {
		return c, false
	}
	c.ended = !strings.HasSuffix(rest, "<unfinished ...>")
	c.failed = c.ended && strings.Contains(rest, " = -1 ")
	if before, after, ok := strings.Cut(rest, `"`); ok {
		text, after, _ := strings.Cut(after, `"`)
		c.text, rest = unhex(text), before+after
	}
	rest, _, _ = strings.Cut(rest, " <unfinished")
	rest, _, _ = strings.Cut(rest, ") ")
	c.args = strings.Split(rest, ", ")
	if _, file, ok := strings.Cut(c.args[0], "<"); ok {
		c.path = strings.TrimSuffix(file, ">")
		if strings.HasPrefix(c.path, `\x`) {
			c.path = string(unhex(c.path))
		}
	}
	return c, true
}

func (c call) number(i int) int {
	n, err := strconv.Atoi(c.args[i])
	if err != nil {
		panic(fmt.Sprintf("%s %q: %v", c.name, c.args, err))
	}
	return n
}

// replay plays what strace wrote on a disk, and tells of each write to elsewhere.
func (d *disk) replay(t *testing.T, log string, told func(text string)) {
	t.Helper()
	f, err := os.Open(log)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	under := map[string]func(){} // what a sync under way will have done, by thread
	for lines := bufio.NewReaderSize(f, 1<<20); ; {
		line, err := lines.ReadString('\n')
		if c, ok := parseCall(line); ok {
			d.play(c, under, told)
		}
		if errors.Is(err, io.EOF) {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
	}
}

func (d *disk) play(c call, under map[string]func(), told func(string)) {
	name, inside := strings.CutPrefix(c.path, d.dir+"/")
	p := d.now[name]
	switch {
	case c.name == "fsync" || c.name == "fdatasync":
		if c.begun {
			under[c.thread] = d.sync(c.path)
		}
		if c.ended && !c.failed {
			under[c.thread]()
		}
	case !c.begun || c.failed:
	case c.name == "openat":
		made, ours := strings.CutPrefix(string(c.text), d.dir+"/")
		if ours && (made == walName || made == "forkstock.db") && d.now[made] == nil {
			d.now[made] = &platter{}
		}
	case c.name == "unlink":
		delete(d.now, strings.TrimPrefix(string(c.text), d.dir+"/"))
	case inside && p != nil && c.name == "pwrite64":
		p.change(overwrite(c.number(3), c.text))
	case inside && p != nil && c.name == "ftruncate":
		p.change(truncate(c.number(1)))
	case !inside && c.name == "write":
		told(string(c.text))
	}
}

// sync gives what a sync that begins now will have done when it ends.
func (d *disk) sync(path string) (done func()) {
	if path == d.dir {
		entries := maps.Clone(d.now)
		return func() { d.kept = entries }
	}
	name := strings.TrimPrefix(path, d.dir+"/")
	p := d.now[name]
	if p == nil {
		return func() {}
	}
	reached, content := p.synced+len(p.unsafe), slices.Clone(p.now)
	return func() {
		if reached >= p.synced { // another thread may have synced it meanwhile
			p.safe, p.unsafe, p.synced = content, p.unsafe[reached-p.synced:], reached
		}
		if name == walName {
			d.syncs++
		}
	}
}

// settled reports whether the write-ahead log was synced since the last
// acknowledgement, and holds nothing since that was not.
func (d *disk) settled() bool {
	wal := d.now[walName]
	ok := d.syncs > 0 && (wal == nil || len(wal.unsafe) == 0)
	d.syncs = 0
	return ok
}

// traced gives a command that writes its calls to a log.
func traced(t *testing.T, log string, cmd *exec.Cmd) *exec.Cmd {
	t.Helper()
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Fatal("strace is missing: scripts/setup test installs it")
	}
	link := filepath.Join(filepath.Dir(log), filepath.Base(cmd.Args[0])) // the test's program goes by this name
	if err := os.Symlink(cmd.Path, link); err != nil && !errors.Is(err, os.ErrExist) {
		t.Fatal(err)
	}
	args := []string{
		"-f", "--seccomp-bpf", "-qq", "-y", "-xx", "-s", "70000", "-o", log,
		"-e", "trace=openat,unlink,pwrite64,write,ftruncate,fsync,fdatasync", "-e", "signal=none", link,
	}
	out := exec.Command(strace, append(args, cmd.Args[1:]...)...)
	out.Env = cmd.Env
	return out
}

// powerCut lets hands post under strace, with a setting of synchronous, and cuts
// the power at acknowledgements: at every one in the books of the disk, at each
// of them that every chooses by opening what is left. It gives how many were
// acknowledged, how many of them without a sync before, and how many were lost
// at the cuts.
func powerCut(t *testing.T, synchronous string, people, deeds, every int) (acks, unsynced, lost int) {
	t.Helper()
	dir := t.TempDir()
	shopDir := small(t, dir)
	d := newDisk(t, shopDir)
	log := filepath.Join(dir, "log")
	if out, err := traced(t, log, handsCommand(shopDir, "cut", 0, people, deeds, synchronous)).CombinedOutput(); err != nil || strings.Contains(string(out), "no ") {
		t.Fatalf("%v\n%s", err, out)
	}
	c := newCrew("cut", people)
	torn := rand.New(rand.NewPCG(21, uint64(people)))
	d.replay(t, log, func(text string) {
		if !strings.HasPrefix(text, "ack ") {
			return
		}
		c.hear(text)
		acks++
		if !d.settled() && people == 1 { // of several, another may be under way
			unsynced++
		}
		if acks%every == 0 || acks == people*deeds {
			lost += c.afterCut(t, d, nil) + c.afterCut(t, d, torn)
		}
	})
	if acks != people*deeds {
		t.Fatalf("%d acknowledgements in the log, want %d", acks, people*deeds)
	}
	return acks, unsynced, lost
}

// afterCut opens what a power cut leaves, and gives how many of the acknowledged
// deeds are lost, or half there.
func (c *crew) afterCut(t *testing.T, d *disk, torn *rand.Rand) int {
	t.Helper()
	dir := t.TempDir()
	d.cut(t, dir, torn)
	s, err := shop.Open(t.Context(), dir, shop.Options{})
	if err != nil {
		t.Logf("after %d: %v", c.acks(), err)
		return c.acks()
	}
	defer s.Close()
	ledger, err := ledgerOf(t.Context(), s, c.run)
	lost := c.lost(ledger)
	if err != nil {
		lost = append(lost, err.Error())
	}
	if c.acks()%20 == 0 {
		if checked, err := s.Check(t.Context()); err != nil || len(checked.Findings) > 0 {
			lost = append(lost, fmt.Sprint("check: ", checked.Findings, err))
		}
	}
	return len(lost)
}

// Before each acknowledgement the write-ahead log was synced, and what was synced
// holds all that was acknowledged. The same with any lesser setting loses it,
// which shows that the test would see it.
func TestTrialPowerCut(t *testing.T) {
	deeds := 20
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		deeds = 200
	}
	for _, people := range []int{1, 4} {
		acks, unsynced, lost := powerCut(t, "FULL", people, deeds/people, deeds/5)
		t.Logf("%d hands, synchronous FULL: %d acknowledged, %d without a sync, %d lost", people, acks, unsynced, lost)
		if unsynced > 0 || lost > 0 {
			t.Errorf("%d hands: of %d deeds %d without a sync before, %d lost", people, acks, unsynced, lost)
		}
	}
	for _, lesser := range []string{"NORMAL", "OFF"} {
		acks, unsynced, lost := powerCut(t, lesser, 1, 5, 5)
		t.Logf("synchronous %s: %d acknowledged, %d without a sync, %d lost", lesser, acks, unsynced, lost)
		if unsynced < acks-1 || lost == 0 { // the head of a new log is synced with the first, also by NORMAL
			t.Errorf("synchronous %s: of %d deeds only %d without a sync, %d lost: this test sees nothing", lesser, acks, unsynced, lost)
		}
	}
}

// The programs that are used, too: a server, which brings what was committed into
// its file by the way, syncs before each of its answers, a command before its
// first word.
func TestTrialPowerCutPrograms(t *testing.T) {
	deeds := 20
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		deeds = 200
	}
	dir, forkstock := program(t)
	shopDir := small(t, dir)
	log := filepath.Join(dir, "log")
	check := func(what string, d *disk, begins string, want int) {
		t.Helper()
		c := newCrew("served", 1)
		told, bad, lost := 0, 0, 0
		d.replay(t, log, func(text string) {
			if strings.HasPrefix(text, begins) {
				c.ack(0, told)
				told++
				if !d.settled() {
					bad++
				}
				if what == "serve" && told%20 == 0 {
					lost += c.afterCut(t, d, nil)
				}
			}
		})
		if told != want || bad > 0 || lost > 0 {
			t.Errorf("%s: %d acknowledgements, want %d; %d without a sync before, %d lost", what, told, want, bad, lost)
		}
	}
	d := newDisk(t, shopDir)
	server := traced(t, log, exec.Command(forkstock, "serve", "--listen", "127.0.0.1:0", "--shop", shopDir))
	at := newPages(serving(t, server))
	for n := range deeds {
		if _, err := (deed{"served", 0, n}).do(context.Background(), at); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(syscall.Kill(-server.Process.Pid, syscall.SIGTERM), server.Wait()); err != nil {
		t.Fatal(err)
	}
	check("serve", d, "HTTP/1.1 303", deeds)

	for _, args := range [][]string{
		{"receive", "--session", "x", "-"},
		{"issue", handPart, "1"},
		{"move", handPart, "1", "--from", handBin, "--to", "INTAKE"},
	} {
		d := newDisk(t, shopDir)
		cmd := traced(t, log, exec.Command(forkstock, append(args, "--shop", shopDir, "--json")...))
		cmd.Stdin = strings.NewReader(handCode + "\n")
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%v\n%s", err, out)
		}
		check(args[0], d, "{\n", 1)
	}
}
