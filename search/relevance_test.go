package search_test

import (
	"bufio"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"forkstock/internal/demo"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/internal/words"
	"forkstock/search"
)

// The scores that searching has reached, over the queries it was tuned on and
// those kept aside together. They only ever rise.
const (
	leastMRR    = 0.99 // of all queries
	leastRecall = 0.985
	leastClass  = 0.96 // MRR of each class
)

// TestRelevance holds what BenchmarkRelevance prints.
func TestRelevance(t *testing.T) {
	c := newCounter(t, "queries.tsv")
	b := c.board(t)
	if all := b.both(overall); all.mrr < leastMRR || all.recall < leastRecall {
		t.Errorf("MRR %.3f and recall %.3f over all, want %.3f and %.3f", all.mrr, all.recall, leastMRR, leastRecall)
	}
	for _, class := range b.classes() {
		if s := b.both(class); s.mrr < leastClass {
			t.Errorf("%s: MRR %.3f, want %.3f", class, s.mrr, leastClass)
		}
	}
	if len(b) != 12+1 {
		t.Errorf("%d classes, want 12", len(b)-1)
	}
	t.Log(b)
	for _, j := range c.judgements {
		parts, forks, hits := c.ask(t, j.query)
		if s := j.of(parts, forks); !j.kept && s.mrr < 1 { // those kept aside stay unseen
			t.Logf("%s: %s: MRR %.2f: %s\n\tgot  %q %q\n\twant %q %q", j.class, j.query, s.mrr, words.For("en").Text(hits.Understood),
				parts, forks, j.parts, j.forks)
		}
	}
}

// TestRelevanceLater holds what searching learnt after the judged set was
// frozen.
func TestRelevanceLater(t *testing.T) {
	c := newCounter(t, "later.tsv")
	b := c.board(t)
	for _, class := range b.classes() {
		if s := b.both(class); s.mrr < 0.97 || s.recall < 0.97 {
			t.Errorf("%s: MRR %.3f, recall %.3f, want 0.97", class, s.mrr, s.recall)
		}
	}
	for _, j := range c.judgements {
		parts, forks, hits := c.ask(t, j.query)
		if s := j.of(parts, forks); s.mrr < 1 || s.recall < 1 {
			t.Logf("%s: MRR %.2f: %s\n\tgot  %q\n\twant %q", j.query, s.mrr, words.For("en").Text(hits.Understood), parts, j.parts)
		}
	}
}

// BenchmarkRelevance prints the scores, and how long a query takes on average.
func BenchmarkRelevance(b *testing.B) {
	c := newCounter(b, "queries.tsv")
	scores := c.board(b)
	fmt.Print(scores) // a log of a benchmark is cut off
	for b.Loop() {
		for _, j := range c.judgements {
			c.ask(b, j.query)
		}
	}
	tuned, kept, all := mean(scores[overall][0]), mean(scores[overall][1]), scores.both(overall)
	b.ReportMetric(all.mrr, "MRR")
	b.ReportMetric(all.recall, "recall@10")
	b.ReportMetric(tuned.mrr, "MRR-tuned")
	b.ReportMetric(kept.mrr, "MRR-kept")
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(c.judgements)), "us/query")
}

// A counter is where the queries are asked: the demo shop with its index, and
// the stock of testdata/relevance.
type counter struct {
	db         *store.DB
	ix         *search.Index
	onHand     string // condition in SQL
	judgements []judgement
}

// newCounter makes the demo shop and its index, for the queries of a file.
func newCounter(tb testing.TB, name string) *counter {
	tb.Helper()
	c := &counter{db: demoShop(tb), ix: search.Memory(), judgements: readJudgements(tb, name)}
	tb.Cleanup(func() { c.ix.Close() })
	ids := map[string]string{}
	c.read(tb, func(ctx context.Context, tx *store.Tx) error {
		if done, err := c.ix.CatchUp(ctx, tx, time.Minute); err != nil || !done {
			return fmt.Errorf("index: done %v, %w", done, err)
		}
		return tx.Each(ctx, func(scan store.Scan) error {
			var id, number string
			err := scan(&id, &number)
			ids[number] = id
			return err
		}, `SELECT id, number FROM part ORDER BY id`)
	})
	var there []string
	for _, number := range lines(tb, "stock.txt") {
		there = append(there, c.must(tb, ids, number))
	}
	c.onHand = "p.id IN ('" + strings.Join(there, "', '") + "')"
	for _, j := range c.judgements {
		for _, number := range slices.Concat(j.parts...) {
			c.must(tb, ids, number)
		}
	}
	return c
}

func (c *counter) must(tb testing.TB, ids map[string]string, number string) string {
	tb.Helper()
	if ids[number] == "" {
		tb.Fatalf("the demo shop has no part %s", number)
	}
	return ids[number]
}

// demoShop makes the demo shop of a day.
func demoShop(tb testing.TB) *store.DB {
	tb.Helper()
	opt := demo.Options{Seed: 1, End: time.Date(2026, time.March, 4, 0, 0, 0, 0, time.UTC)}
	db, err := sqlite.Open(tb.Context(), filepath.Join(tb.TempDir(), "shop.db"), sqlite.Options{
		Create: true, Clock: func() time.Time { return opt.End }, Random: demo.Random(opt.Seed), Synchronous: "OFF",
	})
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { db.Close() })
	err = db.Write(tb.Context(), func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Nora', 'then')`); err != nil {
			return err
		}
		return demo.Fill(ctx, tx, "p", opt)
	})
	if err != nil {
		tb.Fatal(err)
	}
	return db
}

func (c *counter) read(tb testing.TB, f func(context.Context, *store.Tx) error) {
	tb.Helper()
	if err := c.db.Read(tb.Context(), f); err != nil {
		tb.Fatal(err)
	}
}

// ask gives the numbers and forks that are found.
func (c *counter) ask(tb testing.TB, query string) (parts, forks []string, hits search.Hits) {
	tb.Helper()
	c.read(tb, func(ctx context.Context, tx *store.Tx) (err error) {
		hits, err = c.ix.Find(ctx, tx, query, search.Options{
			Limit:  shown,
			OnHand: c.onHand, Stocked: `SELECT p.id FROM part p WHERE ` + c.onHand,
			InBin: func(ctx context.Context, word string) (bin string, ids []string, err error) {
				err = tx.Each(ctx, func(scan store.Scan) error {
					var id string
					err := scan(&id)
					ids = append(ids, id)
					return err
				}, `SELECT p.id FROM bin b JOIN part p ON p.home_bin = b.id WHERE b.name = $1 ORDER BY p.id`, word)
				if len(ids) > 0 {
					bin = word
				}
				return bin, ids, err
			},
		})
		return err
	})
	for _, p := range hits.Parts {
		parts = append(parts, p.Part.Number)
	}
	for _, f := range hits.Forks {
		forks = append(forks, f.Fork.Name)
	}
	return parts, forks, hits
}

// board asks every query.
func (c *counter) board(tb testing.TB) board {
	tb.Helper()
	b := board{}
	for _, j := range c.judgements {
		parts, forks, _ := c.ask(tb, j.query)
		b.add(j, j.of(parts, forks))
	}
	return b
}

// lines gives the lines of a file of testdata/relevance but for remarks.
func lines(tb testing.TB, name string) (all []string) {
	tb.Helper()
	file, err := os.Open(filepath.Join("testdata", "relevance", name))
	if err != nil {
		tb.Fatal(err)
	}
	defer file.Close()
	for scanner := bufio.NewScanner(file); scanner.Scan(); {
		if !strings.HasPrefix(scanner.Text(), "#") {
			all = append(all, scanner.Text())
		}
	}
	return all
}

func readJudgements(tb testing.TB, name string) (all []judgement) {
	tb.Helper()
	seen := map[string]bool{}
	for i, line := range lines(tb, name) {
		f := strings.Split(line, "\t")
		switch {
		case len(f) != 5 || seen[f[2]]:
			tb.Fatalf("not five columns, or judged twice: %q", line)
		case i == 0:
			continue // the header
		}
		seen[f[2]] = true
		j := judgement{class: f[0], kept: f[1] == "kept", query: f[2], judged: f[3] != ""}
		if f[3] != "" && f[3] != "-" {
			for group := range strings.SplitSeq(f[3], " > ") {
				j.parts = append(j.parts, strings.Split(group, ","))
			}
		}
		if f[4] != "" {
			j.forks = strings.Split(f[4], ",")
		}
		all = append(all, j)
	}
	return all
}

// frozen is the catalog that the queries were judged over. Where this test
// fails, somebody changed parts, forks or bikes of the demo shop. A change that
// takes no part, size, name or fit away and adds none needs nothing but the new
// sum, which the test names. Any other raises demo.Version, and every judgement
// is looked through against the new catalog, by the catalog and not by what is
// found, before the sum is put here.
const frozen = "0d69198ddd827c3086e8c0c4d6e7c8b34cad87cba5a9b150b69a26d310b70d5b"

// TestFrozen holds the catalog still under the judgements. It reads only what
// can be found: further columns do not matter.
func TestFrozen(t *testing.T) {
	db := demoShop(t)
	sum := sha256.New()
	for _, query := range []string{
		`SELECT json_array(number, maker, role, description, unit, inner_um, outer_um, height_um, overall_um, thread, material, elastomer)
			FROM part ORDER BY maker_norm, number_norm`,
		`SELECT json_array(f.name, f.layout, f.leg_um, p.seq, p.role, p.leg, p.fitted, p.inner_um, p.outer_um, p.height_um, p.overall_um, p.thread,
			(SELECT json_group_array(n) FROM (SELECT q.number AS n FROM position_part x JOIN part q ON q.id = x.part WHERE x.position = p.id ORDER BY 1)))
			FROM fork f LEFT JOIN position p ON p.fork = f.id ORDER BY f.name_norm, p.seq`,
		`SELECT json_array(m.make, m.model, m.variant, m.year_from, m.year_to, f.name)
			FROM fitment m JOIN fork f ON f.id = m.fork ORDER BY m.make_norm, m.model_norm, m.year_from, f.name_norm, m.variant`,
		`SELECT json_array(k.number, c.seq, c.role, c.pieces, p.number) FROM kit_content c JOIN part k ON k.id = c.kit
			LEFT JOIN part p ON p.id = c.part ORDER BY k.number_norm, c.seq`,
	} {
		err := db.Read(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			return tx.Each(ctx, func(scan store.Scan) error {
				var row string
				err := scan(&row)
				fmt.Fprintln(sum, row)
				return err
			}, query)
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if got := fmt.Sprintf("%x", sum.Sum(nil)); got != frozen {
		t.Errorf("catalog %s, judged over %s: see above what to do", got, frozen)
	}
}
