package bench

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Sizes of what is measured.
const (
	paceParts = 2000 // of the shop that is scanned into
	paceMoves = 40_000
	singles   = 500 // scans and takes of a run, in blocks of block
	block     = 25
	together  = 100 // scans in one transaction
	clients   = 8
	each      = 100 // scans of a client in a run
	smallest  = 10_000
	asked     = 2000 // parts whose stock is asked for in a run
	longList  = 100_000
)

// LedgerOptions of RunLedger.
type LedgerOptions struct {
	Movements int                // of the largest ledger; a tenth of them for the value of the stock
	Runs      int                // of which the best counts
	Dir       string             // for the shops; it is not removed
	Program   string             // that imports while others scan; empty: without that row
	Progress  func(done, of int) // of the largest ledger; may be nil
}

// RunLedger measures what moves stock: the pace of scans beside a loop that
// appends to a file and syncs, and beside a bare loop of the same statements; what
// many clients wait; and what a long ledger costs those who ask. Limits that are
// shares of a baseline come from the same run.
func RunLedger(ctx context.Context, opt LedgerOptions) (out Result, err error) {
	if opt.Movements < smallest || opt.Movements > 20_000_000 || opt.Runs < 1 {
		return out, fault.New(fault.Invalid, "bench.movements").WithHint("bench.movements.hint")
	}
	out.Runs, out.Movements = opt.Runs, opt.Movements
	l := &ledgerBench{opt: opt, out: &out}
	for _, step := range []func(context.Context) error{l.pace, l.crowd, l.long, l.worth} {
		if err := step(ctx); err != nil {
			return out, err
		}
	}
	return out, nil
}

// ledgerBench is a run under way.
type ledgerBench struct {
	opt LedgerOptions
	out *Result
}

// few gives n, or less where only a small ledger is asked for.
func (l *ledgerBench) few(n int) int { return min(n, n*l.opt.Movements/100_000) }

// against adds the best of several runs: that with the smallest share of its
// baseline, which may not be above most times it.
func (l *ledgerBench) against(what, unit string, most float64, runs []pair) {
	best := slices.MinFunc(runs, func(a, b pair) int {
		return int(a.value*b.baseline) - int(b.value*a.baseline)
	})
	limit := int64(most * float64(best.baseline))
	l.out.Rows = append(l.out.Rows, Row{what, unit, limit, int64(best.value), int64(best.baseline), int64(best.value) <= limit})
}

// pair is what was measured and its baseline, each time.
type pair struct{ value, baseline time.Duration }

// statement is one that ran, with what was bound.
type statement struct {
	query string
	args  []any
}

// copies fills a shop and gives three folders of the same: where the statements
// are recorded, where a bare loop repeats them, and where they are timed.
func (l *ledgerBench) copies(ctx context.Context) (dirs [3]string, err error) {
	for i, name := range []string{"record", "bare", "timed"} {
		dirs[i] = filepath.Join(l.opt.Dir, name)
		if i == 0 {
			err = fillLedger(ctx, dirs[0], paceParts, paceMoves, nil)
		} else {
			err = os.CopyFS(dirs[i], os.DirFS(dirs[0]))
		}
		if err != nil {
			return dirs, fault.Of(err)
		}
	}
	return dirs, nil
}

// act is the nth scan or take, of so many packs.
type act func(ctx context.Context, s *shop.Shop, nth, packs int) error

func scan(ctx context.Context, s *shop.Shop, nth, packs int) error {
	var lines strings.Builder
	for i := range packs {
		_, code := partName((nth*packs + i) * 7 % fillCodes)
		lines.WriteString(code + "\n")
	}
	_, err := s.Receive(ctx, shop.Intake{Delivery: "bench", Session: fmt.Sprintf("s%d.%d", packs, nth), Lines: strings.NewReader(lines.String())})
	return err
}

func take(ctx context.Context, s *shop.Shop, nth, _ int) error {
	number, _ := partName(nth * 7 % fillCodes)
	_, err := s.Move(ctx, shop.MoveRequest{Kind: inventory.Issue, Part: number, Amount: 1, Key: fmt.Sprint("take ", nth)})
	return err
}

// record does an act so many times in a shop, and gives the statements of each.
func record(ctx context.Context, dir string, do act, times, packs int) (all [][]statement, err error) {
	var now []statement
	s, err := shop.Open(ctx, dir, shop.Options{Watch: func(query string, args []any) {
		now = append(now, statement{query, slices.Clone(args)})
	}})
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	for nth := range times {
		now = nil
		if err := do(ctx, s, nth, packs); err != nil {
			return nil, err
		}
		all = append(all, now)
	}
	return all, nil
}

// repeat runs statements in one transaction, and nothing else. The first one,
// which asks who acts, is asked by Load.
func repeat(ctx context.Context, s *shop.Shop, all []statement) error {
	return s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
		for _, q := range all[1:] {
			if strings.HasPrefix(strings.TrimSpace(q.query), "SELECT") {
				if err := tx.Each(ctx, func(store.Scan) error { return nil }, q.query, q.args...); err != nil {
					return err
				}
			} else if _, err := tx.Exec(ctx, q.query, q.args...); err != nil {
				return err
			}
		}
		return nil
	})
}

// pace times single scans, takes and scans by the hundred.
func (l *ledgerBench) pace(ctx context.Context) error {
	dirs, err := l.copies(ctx)
	if err != nil {
		return err
	}
	bare, err := shop.Open(ctx, dirs[1], shop.Options{})
	if err != nil {
		return err
	}
	defer bare.Close()
	timed, err := shop.Open(ctx, dirs[2], shop.Options{})
	if err != nil {
		return err
	}
	defer timed.Close()
	var one []pair // of scans, for the rate of many in one transaction
	for _, a := range []struct {
		what  string
		do    act
		packs int
	}{{"scan", scan, 1}, {"take", take, 1}, {"scan, one of 100", scan, together}} {
		times := l.opt.Runs * max(1, l.few(singles)/a.packs)
		all, err := record(ctx, dirs[0], a.do, times, a.packs)
		if err != nil {
			return err
		}
		p := &pacing{bare: bare, timed: timed, all: all, do: a.do, packs: a.packs, file: filepath.Join(l.opt.Dir, "appended")}
		var plain, synced []pair
		for run := range l.opt.Runs {
			took, err := p.run(ctx, run*times/l.opt.Runs, (run+1)*times/l.opt.Runs)
			if err != nil {
				return err
			}
			plain = append(plain, pair{took.timed, took.bare})
			synced = append(synced, pair{took.timed, took.synced})
		}
		if a.packs == 1 {
			l.against(a.what+" beside append and sync", "ns", 100/60., synced)
			l.against(a.what+" beside its bare statements", "ns", 100/70., plain)
		} else {
			l.against(a.what+" beside its bare statements", "ns", 2, plain)
			for i := range plain {
				plain[i].baseline = one[i].value
			}
			l.against(a.what+" beside a single one", "ns", 1/8., plain)
		}
		if a.what == "scan" {
			one = plain
		}
	}
	return nil
}

// pacing is an act whose time is taken beside its baselines.
type pacing struct {
	bare, timed *shop.Shop
	all         [][]statement
	do          act
	packs       int
	file        string
}

type paced struct{ timed, bare, synced time.Duration } // of a pack

// run does the acts from one to another, in blocks with those of the baselines
// between, so that what else the machine does meets all alike, and gives the
// medians.
func (p *pacing) run(ctx context.Context, from, to int) (out paced, err error) {
	f, err := os.Create(p.file)
	if err != nil {
		return out, fault.New(fault.Denied, "bench.folder", p.file).WithCause(err)
	}
	defer f.Close()
	page := make([]byte, 4096)
	var synced, bare, timed []time.Duration
	for ; from < to; from += block {
		last := min(from+block, to)
		for _, loop := range []struct {
			took *[]time.Duration
			do   func(nth int) error
		}{
			{&synced, func(int) error {
				_, err := f.Write(page)
				return errors.Join(err, f.Sync())
			}},
			{&bare, func(nth int) error { return repeat(ctx, p.bare, p.all[nth]) }},
			{&timed, func(nth int) error { return p.do(ctx, p.timed, nth, p.packs) }},
		} {
			for nth := from; nth < last; nth++ {
				began := time.Now()
				if err := loop.do(nth); err != nil {
					return out, err
				}
				*loop.took = append(*loop.took, time.Since(began))
			}
		}
	}
	n := time.Duration(p.packs)
	return paced{median(timed) / n, median(bare) / n, median(synced)}, nil
}

func median(took []time.Duration) time.Duration {
	slices.Sort(took)
	return took[len(took)/2]
}

// crowd lets eight clients scan at once, then again while a long list is taken in.
func (l *ledgerBench) crowd(ctx context.Context) error {
	dir := filepath.Join(l.opt.Dir, "timed")
	s, err := shop.Open(ctx, dir, shop.Options{Process: "server"})
	if err != nil {
		return err
	}
	defer s.Close()
	keep, stop := context.WithCancel(ctx)
	var kept sync.WaitGroup
	kept.Go(func() { s.Keep(keep) }) // as a server does
	defer kept.Wait()
	defer stop()
	c := &crowd{s: s}
	var alone []pair
	for range l.opt.Runs {
		left := l.few(each) * clients
		alone = append(alone, c.scan(ctx, func() bool { left--; return left >= 0 }))
	}
	l.against("8 clients, p99 beside the median", "us", 10, alone)
	l.out.Rows = append(l.out.Rows, Row{"8 clients: errors", "", 0, c.errors, 0, c.errors == 0})
	if l.opt.Program == "" {
		return nil
	}
	c.errors = 0
	var beside []pair
	for run := range l.opt.Runs {
		file, err := l.list(run)
		if err != nil {
			return err
		}
		cmd := exec.CommandContext(ctx, l.opt.Program, "--shop", dir, "import", "--json", "--net", "--as", "prices", "--supplier", "Benchmaker", file)
		if run == 0 {
			if _, err := s.AddSupplier(ctx, shop.Supplier{Supplier: "Benchmaker", LeadDays: 3}); err != nil {
				return err
			}
		}
		if err := cmd.Start(); err != nil {
			return fault.New(fault.Internal, "bench.process", "import").WithCause(err)
		}
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		var failed error
		over := false
		beside = append(beside, c.scan(ctx, func() bool {
			select {
			case failed = <-ended:
				over = true
			default:
			}
			return !over
		}))
		if failed != nil {
			return fault.New(fault.Internal, "bench.process", "import").WithCause(failed)
		}
	}
	l.against("8 clients beside an import, p99 beside the median", "us", 10, beside)
	l.out.Rows = append(l.out.Rows, Row{"8 clients beside an import: errors", "", 0, c.errors, 0, c.errors == 0})
	return nil
}

// list writes a price list that is new in each run.
func (l *ledgerBench) list(run int) (file string, err error) {
	var text strings.Builder
	text.WriteString("supplier_number,description,price\n")
	for i := range min(longList, l.opt.Movements/10) {
		fmt.Fprintf(&text, "N-%06d,fork seal %d,%d.%02d\n", i, i%100, 3+run, i%100)
	}
	file = filepath.Join(l.opt.Dir, "list.csv")
	if err := os.WriteFile(file, []byte(text.String()), 0o600); err != nil {
		return "", fault.New(fault.Denied, "bench.folder", file).WithCause(err)
	}
	return file, nil
}

// crowd is eight clients of one shop.
type crowd struct {
	s      *shop.Shop
	done   int
	errors int64
}

// scan lets them scan while more says so, and gives p99 beside the median.
func (c *crowd) scan(ctx context.Context, more func() bool) pair {
	var mu sync.Mutex
	var took []time.Duration
	var all sync.WaitGroup
	for range clients {
		all.Go(func() {
			for {
				mu.Lock()
				goOn := more()
				c.done++
				nth := 1_000_000 + c.done
				mu.Unlock()
				if !goOn {
					return
				}
				began := time.Now()
				err := scan(ctx, c.s, nth, 1)
				mu.Lock()
				took = append(took, time.Since(began))
				if err != nil {
					c.errors++
				}
				mu.Unlock()
			}
		})
	}
	all.Wait()
	slices.Sort(took)
	at := func(percent int) time.Duration {
		return took[min(len(took)-1, len(took)*percent/100)] / time.Microsecond
	}
	return pair{at(99), at(50)}
}

// long asks what is on hand of parts, in a short ledger and in the longest.
func (l *ledgerBench) long(ctx context.Context) error {
	var shops [2]*shop.Shop
	for i, movements := range []int{smallest, l.opt.Movements} {
		dir := filepath.Join(l.opt.Dir, fmt.Sprint("long", i))
		if err := fillLedger(ctx, dir, smallest/2, movements, l.opt.Progress); err != nil {
			return err
		}
		s, err := shop.Open(ctx, dir, shop.Options{})
		if err != nil {
			return err
		}
		defer s.Close()
		shops[i] = s
	}
	for _, q := range []struct {
		what string
		part func(n int) int
	}{
		{"on hand of any part, longest ledger beside the shortest", func(n int) int { return n * 7919 % (smallest / 2) }},
		{"on hand of the part that moves most, likewise", func(int) int { return 0 }},
	} {
		var runs []pair
		for range l.opt.Runs {
			var took [2][]time.Duration
			for n := range l.few(asked) {
				number, _ := partName(q.part(n))
				for i, s := range shops {
					began := time.Now()
					if _, err := s.Stock(ctx, number, ""); err != nil {
						return err
					}
					took[i] = append(took[i], time.Since(began))
				}
			}
			runs = append(runs, pair{median(took[1]), median(took[0])})
		}
		l.against(q.what, "ns", 1.5, runs)
	}
	return nil
}

// worth asks what the whole stock is worth.
func (l *ledgerBench) worth(ctx context.Context) error {
	dir := filepath.Join(l.opt.Dir, "worth")
	parts := l.opt.Movements / 100
	if err := fillLedger(ctx, dir, parts, l.opt.Movements/10, nil); err != nil {
		return err
	}
	s, err := shop.Open(ctx, dir, shop.Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	best := time.Duration(1 << 62)
	for range l.opt.Runs {
		began := time.Now()
		out, err := s.Worth(ctx, "", false)
		if err != nil {
			return err
		}
		if len(out.Lines) != parts {
			return fault.New(fault.Internal, "bench.process", "worth")
		}
		best = min(best, time.Since(began))
	}
	ms := best.Milliseconds()
	l.out.Rows = append(l.out.Rows, Row{fmt.Sprintf("value of the stock, %d parts", parts), "ms", 1000, ms, 0, ms <= 1000})
	return nil
}
