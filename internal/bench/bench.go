package bench

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// Class are the figures of one kind of question.
type Class struct {
	Class     string `json:"class"`
	Questions int    `json:"questions"`
	P50       int64  `json:"p50_us"`
	P99       int64  `json:"p99_us"`
	Page50    int64  `json:"page_p50_us,omitzero"` // as pages and commands ask: with what it can be narrowed down to, and what belongs to one part
	Page99    int64  `json:"page_p99_us,omitzero"`
	FTS       int64  `json:"fts5_p50_us,omitzero"` // bare FTS5; 0: SQLite was built without it
	FTS99     int64  `json:"fts5_p99_us,omitzero"`
	Scan      int64  `json:"scan_p50_us"` // a look at every part in memory
}

// Row is a promise held against what was measured, the best of the runs.
type Row struct {
	What     string `json:"what"`
	Unit     string `json:"unit"`
	Limit    int64  `json:"limit"`
	Value    int64  `json:"value"`
	Baseline int64  `json:"baseline,omitzero"` // of bare FTS5
	OK       bool   `json:"ok"`
}

// Result is what a bench has measured.
type Result struct {
	Parts   int     `json:"parts"`
	Runs    int     `json:"runs"`
	FTS5    bool    `json:"fts5"`
	BuildMS int64   `json:"catalog_ms"` // making the catalog
	Classes []Class `json:"classes"`
	Rows    []Row   `json:"rows"`

	Movements int `json:"movements,omitzero"` // of the largest ledger, where that was measured
}

// Over reports whether a promise is not kept.
func (r Result) Over() bool {
	return slices.ContainsFunc(r.Rows, func(row Row) bool { return !row.OK })
}

// Options of Run.
type Options struct {
	Parts     int
	Questions int                // of each class
	Runs      int                // of which the best counts
	Dir       string             // for the catalog; it is not removed
	Program   string             // that runs as server, command and importer; empty: without those rows
	Progress  func(done, of int) // of the catalog; may be nil
	Env       []string           // of the processes
}

// Run makes the catalog, measures, and holds the figures against the limits.
func Run(ctx context.Context, opt Options) (out Result, err error) {
	if opt.Parts < 1 || opt.Parts > 2_000_000 || opt.Questions < 1 || opt.Runs < 1 {
		return out, fault.New(fault.Invalid, "bench.size").WithHint("bench.size.hint")
	}
	dir := filepath.Join(opt.Dir, "shop")
	began := time.Now()
	out.Runs = opt.Runs
	if out.Parts, err = Build(ctx, dir, opt.Parts, opt.Progress); err != nil {
		return out, err
	}
	out.BuildMS = time.Since(began).Milliseconds()
	b := &bench{opt: opt, dir: dir, out: &out, scale: 1}
	if out.Parts > 200_000 {
		b.scale = 5
	}
	steps := []func(context.Context) error{b.index, b.ask, b.strange}
	if opt.Program != "" {
		steps = append(steps, b.server, b.together)
	}
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return out, err
		}
	}
	return out, nil
}

// bench is a run under way.
type bench struct {
	opt   Options
	dir   string
	out   *Result
	scale int64 // of the limits: 5 for a million parts, else 1
}

// row adds a promise and what was measured.
func (b *bench) row(what, unit string, limit, value, baseline int64) {
	b.out.Rows = append(b.out.Rows, Row{what, unit, limit, value, baseline, value <= limit})
}

// index builds and opens the index, and weighs it.
func (b *bench) index(ctx context.Context) error {
	built, opened := time.Duration(1<<62), time.Duration(1<<62)
	for range b.opt.Runs {
		if err := os.RemoveAll(filepath.Join(b.dir, "index")); err != nil {
			return fault.New(fault.Denied, "bench.folder", b.dir).WithCause(err)
		}
		began := time.Now()
		if err := b.open(ctx, func(s *shop.Shop) error {
			_, err := s.Reindex(ctx, nil)
			return err
		}); err != nil {
			return err
		}
		built = min(built, time.Since(began))
		began = time.Now()
		if err := b.open(ctx, func(s *shop.Shop) error {
			_, err := s.Find(ctx, "warm", 1)
			opened = min(opened, time.Since(began))
			return err
		}); err != nil {
			return err
		}
	}
	b.row("build", "ms", 15_000*b.scale, built.Milliseconds(), 0)
	b.row("open and first answer", "ms", 100*b.scale, opened.Milliseconds(), 0)
	b.row("index", "kB", 15_000*b.scale, sizeOf(filepath.Join(b.dir, "index", "command"))/1000, 0)
	return nil
}

func (b *bench) open(ctx context.Context, f func(*shop.Shop) error) error {
	s, err := shop.Open(ctx, b.dir, shop.Options{})
	if err != nil {
		return err
	}
	return errors.Join(f(s), s.Close())
}

// limits of classes at 100,000 parts, in microseconds; classes without are
// held against FTS5 alone.
var limits = map[string][2]int64{
	"number": {1000, 10_000}, "prefix": {1000, 10_000}, "size": {1000, 10_000}, "model-year": {1000, 10_000}, "typo": {5000, 25_000},
	"suggestion": {1000, 10_000},
}

// ask asks every question of every class in each run, and beside it the plainer
// means.
func (b *bench) ask(ctx context.Context) error {
	return b.open(ctx, func(s *shop.Shop) error {
		var all map[string][]Question
		var docs []document
		err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) (err error) {
			if all, err = questions(ctx, tx, b.opt.Questions); err != nil {
				return err
			}
			if docs, err = documents(ctx, tx); err != nil {
				return err
			}
			b.out.FTS5, err = fillFTS(ctx, tx, docs)
			return err
		})
		if err != nil {
			return err
		}
		for _, class := range classes {
			c := Class{Class: class, Questions: len(all[class])}
			for run := range b.opt.Runs {
				if err := b.run(ctx, s, &c, all[class], docs, run == 0); err != nil {
					return err
				}
			}
			b.out.Classes = append(b.out.Classes, c)
			b.hold(c)
		}
		return s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
			_, err := tx.Exec(ctx, `DROP TABLE IF EXISTS bench_words`)
			if err == nil {
				_, err = tx.Exec(ctx, `DROP TABLE IF EXISTS bench_grams`)
			}
			return err
		})
	})
}

// run asks the questions of a class once.
func (b *bench) run(ctx context.Context, s *shop.Shop, c *Class, all []Question, docs []document, first bool) error {
	took, err := times(all, func(q Question) error {
		if c.Class == "suggestion" {
			_, err := s.Suggest(ctx, q.Text)
			return err
		}
		_, err := s.Find(ctx, q.Text, 20)
		return err
	})
	if err != nil {
		return err
	}
	keep(first, &c.P50, took, 50)
	keep(first, &c.P99, took, 99)
	if c.Class != "suggestion" {
		took, err = times(all, func(q Question) error {
			_, err := s.FindOnly(ctx, q.Text, 20, shop.Only{})
			return err
		})
		if err != nil {
			return err
		}
		keep(first, &c.Page50, took, 50)
		keep(first, &c.Page99, took, 99)
	}
	if b.out.FTS5 {
		err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, _ shop.Actor) error {
			took, err = times(all, func(q Question) error { return askFTS(ctx, tx, c.Class, q) })
			return err
		})
		if err != nil {
			return err
		}
		keep(first, &c.FTS, took, 50)
		keep(first, &c.FTS99, took, 99)
	}
	took, err = times(all[:min(len(all), 10)], func(q Question) error {
		look(c.Class, q, docs)
		return nil
	})
	keep(first, &c.Scan, took, 50)
	return err
}

// hold adds the rows of a class.
func (b *bench) hold(c Class) {
	if l, ok := limits[c.Class]; ok {
		b.row(c.Class+" p50", "us", l[0]*b.scale, c.P50, c.FTS)
		b.row(c.Class+" p99", "us", l[1]*b.scale, c.P99, c.FTS99)
	}
	if c.FTS > 0 {
		b.row(c.Class+" against FTS5", "us", c.FTS*12/10, c.P50, c.FTS)
	}
}

// times runs f for each question and gives how long each took, sorted.
func times(all []Question, f func(Question) error) ([]time.Duration, error) {
	var took []time.Duration
	for _, q := range all {
		began := time.Now()
		if err := f(q); err != nil {
			return nil, err
		}
		took = append(took, time.Since(began))
	}
	slices.Sort(took)
	return took, nil
}

// keep keeps a percentile of sorted times where it is the best so far.
func keep(first bool, to *int64, took []time.Duration, percent int) {
	us := took[min(len(took)-1, len(took)*percent/100)].Microseconds()
	if first || us < *to {
		*to = us
	}
}

// sizeOf gives the bytes of all files below a folder.
func sizeOf(dir string) (n int64) {
	_ = filepath.WalkDir(dir, func(_ string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if info, err := d.Info(); err == nil && !d.IsDir() {
			n += info.Size()
		}
		return nil
	})
	return n
}

func itoa(n int) string { return strconv.Itoa(n) }
