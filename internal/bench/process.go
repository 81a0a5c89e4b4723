package bench

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// strange is what nobody should type.
func strange() []string {
	return []string{
		strings.Repeat("seal 39 ", 1250), strings.Repeat("x", 10_000), "seal\x00 39\x00mm", strings.Repeat("\x00", 100),
		strings.Repeat("seal ", 200), strings.TrimSpace(strings.Repeat("ab ", 66)), "?!.,;:/()[]{}\"'", "-/-", "%_\\*'; DROP TABLE part",
		"מחזיר שמן 39", "خاتم زيت ٣٩", "\u202eseal 39", "39x52x11x9x8x7x6x5x4", strings.Repeat("9", 199), "\xff\xfe\x80",
	}
}

// strange asks what nobody should type, over and over: an answer or a clear
// error within 100 ms, and no growth.
func (b *bench) strange(ctx context.Context) error {
	return b.open(ctx, func(s *shop.Shop) error {
		if _, err := s.Find(ctx, "warm", 1); err != nil {
			return err
		}
		worst := time.Duration(0)
		var before int64
		for round := range 20 {
			for _, text := range strange() {
				began := time.Now()
				if _, err := s.Find(ctx, text, 20); err != nil && fault.KindOf(err) != fault.Invalid {
					return err
				}
				if round > 0 {
					worst = max(worst, time.Since(began))
				}
			}
			if round == 9 {
				before = resident(os.Getpid())
			}
		}
		b.row("strange question, worst", "us", 100_000, worst.Microseconds(), 0)
		b.row("growth over 150 strange questions", "kB", 8_000, max(0, resident(os.Getpid())-before), 0)
		return nil
	})
}

// resident gives the kB of memory that a process holds; 0 where the system does
// not tell.
func resident(pid int) int64 {
	text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	for line := range strings.Lines(string(text)) {
		if rest, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			kb, _ := strconv.ParseInt(strings.Fields(rest)[0], 10, 64)
			return kb
		}
	}
	return 0
}

// command makes a process of the program on the shop.
func (b *bench) command(ctx context.Context, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, b.opt.Program, append([]string{"--shop", b.dir}, args...)...)
	cmd.Env = append(os.Environ(), "LC_ALL=C")
	return cmd
}

// serve starts a server and gives its address; stop ends it.
func (b *bench) serve(ctx context.Context) (address string, pid int, stop func(), err error) {
	cmd := b.command(ctx, "serve", "--listen", "127.0.0.1:0")
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		return "", 0, nil, fault.New(fault.Internal, "bench.process", "serve").WithCause(err)
	}
	stop = func() { _ = cmd.Process.Signal(os.Interrupt); _ = cmd.Wait() }
	line, _ := bufio.NewReader(out).ReadString('\n')
	_, rest, ok := strings.Cut(line, "http://")
	address, _, found := strings.Cut(rest, "/")
	if !ok || !found {
		stop()
		return "", 0, nil, fault.New(fault.Internal, "bench.process", "serve")
	}
	return address, cmd.Process.Pid, stop, nil
}

// answer is what a process answers.
type answer struct {
	Parts []struct {
		Number string `json:"number"`
	} `json:"parts"`
	took time.Duration // until it was there
}

func (a answer) has(number string) bool {
	for _, p := range a.Parts {
		if p.Number == number {
			return true
		}
	}
	return false
}

// get asks a server. Rooms other than web do not speak HTTP: a line is enough.
func get(ctx context.Context, address, text string) (a answer, err error) {
	began := time.Now()
	var dialer net.Dialer
	conn, err := dialer.DialContext(ctx, "tcp", address)
	if err != nil {
		return a, err
	}
	defer conn.Close()
	if _, err := fmt.Fprintf(conn, "GET /api/find?q=%s HTTP/1.0\r\nHost: %s\r\n\r\n", url.QueryEscape(text), address); err != nil {
		return a, err
	}
	whole, err := io.ReadAll(conn)
	if err != nil {
		return a, err
	}
	head, body, _ := bytes.Cut(whole, []byte("\r\n\r\n"))
	if !bytes.Contains(bytes.SplitN(head, []byte("\r\n"), 2)[0], []byte(" 200 ")) {
		return a, fmt.Errorf("the server says %.40q", head)
	}
	err = json.Unmarshal(body, &a)
	a.took = time.Since(began)
	return a, err
}

// asks puts a question to a command, whose start counts; what it goes on with
// after its answer does not.
func (b *bench) asks(ctx context.Context, text string) (a answer, err error) {
	began := time.Now()
	cmd := b.command(ctx, "find", "--json", text)
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		return a, err
	}
	err = json.NewDecoder(out).Decode(&a)
	a.took = time.Since(began)
	if cmd.Wait() != nil && cmd.ProcessState.ExitCode() != 1 { // 1: nothing found
		return a, fmt.Errorf("find %s: %v", text, cmd.ProcessState)
	}
	return a, err
}

// server weighs a server after a thousand questions of all classes.
func (b *bench) server(ctx context.Context) error {
	var all map[string][]Question
	err := b.open(ctx, func(s *shop.Shop) error {
		return s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) (err error) {
			all, err = questions(ctx, tx, 100)
			return err
		})
	})
	if err != nil {
		return err
	}
	address, pid, stop, err := b.serve(ctx)
	if err != nil {
		return err
	}
	defer stop()
	for i := range 1000 {
		of := all[classes[i%len(classes)]]
		if _, err := get(ctx, address, of[i/len(classes)%len(of)].Text); err != nil {
			return fault.New(fault.Internal, "bench.process", "serve").WithCause(err)
		}
	}
	b.row("server after 1000 questions", "kB", 150_000*b.scale, resident(pid), 0)
	return nil
}

// imported is how many rows the third process imports.
const (
	imported  = 10_000
	lastOuter = 98 // mm and a bit: of the last row alone
)

// together searches with a server and with commands while a third process
// imports.
func (b *bench) together(ctx context.Context) error {
	address, _, stop, err := b.serve(ctx)
	if err != nil {
		return err
	}
	defer stop()
	rows := min(imported, max(100, b.opt.Parts))
	file := filepath.Join(b.opt.Dir, "parts.csv")
	if err := writeList(file, rows); err != nil {
		return err
	}
	importer := b.command(ctx, "import", "--json", "--as", "parts", file)
	if err := importer.Start(); err != nil {
		return fault.New(fault.Internal, "bench.process", "import").WithCause(err)
	}
	w := &waits{}
	done := make(chan struct{})
	var all sync.WaitGroup
	for who, ask := range []func(string) (answer, error){
		func(text string) (answer, error) { return get(ctx, address, text) },
		func(text string) (answer, error) { return b.asks(ctx, text) },
	} {
		all.Go(func() { w.until(done, who, ask) })
	}
	err = importer.Wait()
	committed := time.Now()
	late := b.next(ctx, address, rows)
	words := b.words(ctx, address, committed)
	close(done)
	all.Wait()
	if err != nil {
		return fault.New(fault.Internal, "bench.process", "import").WithCause(err)
	}
	b.row("three processes: wrong at the next question", "", 0, late, 0)
	b.row("three processes: words after", "ms", 5000, words.Milliseconds(), 0)
	b.row("three processes: errors", "", 0, w.errors, 0)
	b.row("three processes: longest wait of the server", "ms", 1000, w.longest[0].Milliseconds(), 0)
	b.row("three processes: longest wait of a command", "ms", 1000, w.longest[1].Milliseconds(), 0)
	return nil
}

// writeList writes a list of parts that nobody has yet; the size of the last is
// its own.
func writeList(file string, rows int) error {
	var text strings.Builder
	text.WriteString("number,maker,role,description,unit,inner_mm,outer_mm,height_mm\n")
	for i := range rows {
		outer := 88 + i%9
		if i == rows-1 {
			outer = lastOuter
		}
		fmt.Fprintf(&text, "ZB-%06d,Benchmaker,oil_seal,zwirnband seal %d,piece,77.7,%d.3,11\n", i, i, outer)
	}
	if err := os.WriteFile(file, []byte(text.String()), 0o666); err != nil {
		return fault.New(fault.Denied, "bench.folder", file).WithCause(err)
	}
	return nil
}

// next asks both for a number, a beginning and a size of the last row at once,
// and gives how many answers lack that row.
func (b *bench) next(ctx context.Context, address string, rows int) (wrong int64) {
	last := fmt.Sprintf("ZB-%06d", rows-1)
	for _, text := range []string{last, last[:8], fmt.Sprintf("77.7x%d.3x11", lastOuter)} {
		a, err := get(ctx, address, text)
		c, err2 := b.asks(ctx, text)
		if err != nil || !a.has(last) {
			wrong++
		}
		if err2 != nil || !c.has(last) {
			wrong++
		}
	}
	return wrong
}

// words waits until a mistyped word of the list is found by both.
func (b *bench) words(ctx context.Context, address string, since time.Time) time.Duration {
	for time.Since(since) < 20*time.Second {
		a, err := get(ctx, address, "zwirnbandd")
		c, err2 := b.asks(ctx, "zwirnbandd")
		if err == nil && err2 == nil && len(a.Parts) > 0 && len(c.Parts) > 0 {
			break
		}
	}
	return time.Since(since)
}

// waits is how long the two that ask have waited, and what went wrong.
type waits struct {
	mu      sync.Mutex
	longest [2]time.Duration // of the server, of a command
	errors  int64
}

// until asks one of them over and over.
func (w *waits) until(done <-chan struct{}, who int, ask func(string) (answer, error)) {
	for i := 0; ; i++ {
		select {
		case <-done:
			return
		default:
		}
		a, err := ask([]string{"39x52x11", "fork seal 39", "VK11", "bushng"}[i%4])
		w.mu.Lock()
		w.longest[who] = max(w.longest[who], a.took)
		if err != nil {
			w.errors++
		}
		w.mu.Unlock()
	}
}
