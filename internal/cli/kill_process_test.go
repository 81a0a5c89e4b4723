package cli_test

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"forkstock/internal/shop"
)

// kill -9 at random moments under load: every acknowledged deed is in the
// ledger, none twice though all of them are done again, none half, and check
// finds nothing. Mostly two programs of several hands post; every fourth time (the
// tenth in the ordinary tests) a server, asked by four hands, and a command line.
// 200 moments, a tenth of them in the ordinary tests.
func TestTrialKillUnderLoad(t *testing.T) {
	kills, serve := 20, 10 // a server starts slowly under the race detector
	if os.Getenv("FORKSTOCK_TRIALS") == "full" {
		kills, serve = 200, 4
	}
	dir, forkstock := program(t)
	shopDir := small(t, dir)
	r := rand.New(rand.NewPCG(11, uint64(kills)))
	acks := 0
	for i := range kills {
		c := newCrew(fmt.Sprintf("kill%d", i), 6)
		var end func()
		if i%serve == 3 {
			end = c.serveAndType(t, forkstock, shopDir)
		} else {
			end = c.twoPrograms(t, shopDir)
		}
		for began := time.Now(); i%5 != 4 && c.acks() == 0 && time.Since(began) < 30*time.Second; { // the fifth time also while they start
			time.Sleep(time.Millisecond)
		}
		time.Sleep(time.Duration(r.Int64N(int64(150 * time.Millisecond))))
		end()
		acks += c.acks()
		c.proves(t, shopDir)
		if kills == 200 || i%5 == 4 {
			checks(t, forkstock, shopDir)
		}
		if t.Failed() {
			t.Fatalf("after kill %d", i)
		}
	}
	t.Logf("%d kills, %d deeds acknowledged before", kills, acks)
	if acks < 5*kills {
		t.Errorf("%d deeds in %d kills: that was no load", acks, kills)
	}
}

// checks holds the books and the file of a shop against themselves.
func checks(t *testing.T, forkstock, shopDir string) {
	t.Helper()
	if code, out := run(t, nil, forkstock, "check", "--shop", shopDir); code != 0 {
		t.Errorf("check: exit %d\n%s", code, out)
	}
}

// twoPrograms lets two programs of three hands each post into a shop. end kills both.
func (c *crew) twoPrograms(t *testing.T, shopDir string) (end func()) {
	t.Helper()
	l := &listener{crew: c}
	var ends []func()
	for i := range 2 {
		ends = append(ends, l.listen(t, handsCommand(shopDir, c.run, 3*i, 3, 0, "FULL")))
	}
	return func() {
		for _, end := range ends {
			end()
		}
		if refused := l.refusals(); len(refused) > 0 {
			t.Errorf("refused: %s", refused)
		}
	}
}

// serveAndType lets a server be asked by four hands, while two more type
// commands. end kills the server and the commands.
func (c *crew) serveAndType(t *testing.T, forkstock, shopDir string) (end func()) {
	t.Helper()
	server := exec.Command(forkstock, "serve", "--listen", "127.0.0.1:0", "--shop", shopDir)
	address := serving(t, server)
	typing := &typing{forkstock: forkstock, shop: shopDir, under: map[*exec.Cmd]bool{}}
	ctx, cancel := context.WithCancel(t.Context())
	var all sync.WaitGroup
	for w := range 6 {
		var at till = newPages(address)
		if w >= 4 {
			at = typing
		}
		all.Go(func() {
			for n := 0; ctx.Err() == nil; n++ {
				if _, err := (deed{c.run, w, n}).do(ctx, at); errors.Is(err, errRefused) {
					t.Errorf("hand %d, %d: %v", w, n, err)
					return
				} else if err != nil { // killed
					return
				}
				c.ack(w, n)
			}
		})
	}
	return func() {
		_ = server.Process.Kill()
		typing.kill()
		cancel()
		all.Wait()
		_ = server.Wait()
	}
}

// serving starts a server, in a group of processes of its own, and gives the
// address of its pages.
func serving(t *testing.T, cmd *exec.Cmd) (address string) {
	t.Helper()
	cmd.Env = append(os.Environ(), "LANG=C", "TZ=UTC")
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	out, err := cmd.StdoutPipe()
	if err == nil {
		err = cmd.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	_, address, ok := strings.Cut(line, "http://")
	if err != nil || !ok {
		t.Fatalf("serve said %q, %v", line, err)
	}
	return "http://" + strings.Fields(address)[0]
}

// errRefused is an answer that refuses; any other error is of a program that
// has gone.
var errRefused = errors.New("refused")

// pages is the till of a running server.
type pages struct {
	address string
	client  *http.Client
}

func newPages(address string) pages {
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return pages{address, &http.Client{CheckRedirect: stay}}
}

func (p pages) post(ctx context.Context, path string, form url.Values) (bool, error) {
	q, err := http.NewRequestWithContext(ctx, http.MethodPost, strings.TrimSuffix(p.address, "/")+path, strings.NewReader(form.Encode()))
	if err != nil {
		return false, err
	}
	q.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	answer, err := p.client.Do(q)
	if err != nil {
		return false, err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusSeeOther {
		return false, fmt.Errorf("%w: %s %s", errRefused, path, answer.Status)
	}
	return strings.Contains(answer.Header.Get("Location"), "again=yes"), nil
}

func (p pages) Receive(ctx context.Context, session, lines string) (bool, error) {
	return p.post(ctx, "/receive", url.Values{"delivery": {session}, "session": {session}, "lines": {lines}})
}

func (p pages) Move(ctx context.Context, q shop.MoveRequest) (bool, error) {
	form := url.Values{"part": {q.Part}, "amount": {strconv.FormatInt(q.Amount, 10)}, "bin": {q.Bin}, "to": {q.To}, "reason": {q.Reason}, "key": {q.Key}}
	if q.Found {
		form.Set("found", "yes")
	}
	return p.post(ctx, "/"+q.Kind, form)
}

func (p pages) Undo(ctx context.Context, posting, key string) (bool, error) {
	return p.post(ctx, "/undo", url.Values{"posting": {posting}, "key": {key}, "part": {handPart}})
}

// typing is the till of the command line, with the commands that run.
type typing struct {
	forkstock, shop string
	mu              sync.Mutex
	under           map[*exec.Cmd]bool
	killed          bool
}

func (y *typing) kill() {
	y.mu.Lock()
	defer y.mu.Unlock()
	y.killed = true
	for cmd := range y.under {
		_ = cmd.Process.Kill()
	}
}

// run runs a command and reports whether it says that it was done before.
func (y *typing) run(stdin string, args ...string) (bool, error) {
	cmd := exec.Command(y.forkstock, append(args, "--shop", y.shop, "--json")...)
	cmd.Env = append(os.Environ(), "LANG=C", "TZ=UTC")
	cmd.Stdin = strings.NewReader(stdin)
	var out, said bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &said
	y.mu.Lock()
	err := errors.New("killed")
	if !y.killed {
		err = cmd.Start()
		y.under[cmd] = err == nil
	}
	y.mu.Unlock()
	if err != nil {
		return false, err
	}
	err = cmd.Wait()
	y.mu.Lock()
	delete(y.under, cmd)
	y.mu.Unlock()
	if err != nil && cmd.ProcessState.Exited() {
		return false, fmt.Errorf("%w: %v %s", errRefused, err, said.String())
	}
	var told struct{ Repeated any }
	if err == nil {
		err = json.Unmarshal(out.Bytes(), &told)
	}
	return slices.Contains([]any{true, 3.0}, told.Repeated), err
}

func (y *typing) Receive(_ context.Context, session, lines string) (bool, error) {
	return y.run(lines, "receive", "--delivery", session, "--session", session, "-")
}

func (y *typing) Move(_ context.Context, q shop.MoveRequest) (bool, error) {
	args := []string{q.Kind, q.Part, strconv.FormatInt(q.Amount, 10), "--key", q.Key, "--found"}
	if q.To != "" {
		args = append(args, "--from", q.Bin, "--to", q.To)
	} else {
		args = append(args, "--bin", q.Bin)
	}
	if q.Reason != "" {
		args = append(args, "--reason", q.Reason)
	}
	return y.run("", args...)
}

func (y *typing) Undo(_ context.Context, posting, key string) (bool, error) {
	return y.run("", "undo", posting, "--key", key)
}
