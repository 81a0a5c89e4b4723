package demo

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/inventory"
)

var wednesday = time.Date(2026, time.March, 4, 0, 0, 0, 0, time.UTC)

// fill makes a demo shop in a new database.
func fill(t testing.TB, opt Options) (*store.DB, error) {
	t.Helper()
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "shop.db"), sqlite.Options{
		Create: true, Clock: func() time.Time { return opt.End }, Random: Random(opt.Seed), Synchronous: "OFF",
	})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db, db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Nora', 'then')`); err != nil {
			return err
		}
		before := tx.Now
		err := Fill(ctx, tx, "p", opt)
		if !tx.Now.Equal(before) {
			t.Errorf("Fill left the time at %v", tx.Now)
		}
		return err
	})
}

// filled is fill where nothing may go wrong.
func filled(t testing.TB, opt Options) *store.DB {
	t.Helper()
	db, err := fill(t, opt)
	if err != nil {
		t.Fatal(err)
	}
	return db
}

// look reads a database.
func look(t testing.TB, db *store.DB, f func(context.Context, *store.Tx) error) {
	t.Helper()
	if err := db.Read(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

// list gives the first column of a query.
func list(t testing.TB, db *store.DB, query string, args ...any) (all []string) {
	t.Helper()
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var s string
			err := scan(&s)
			all = append(all, s)
			return err
		}, query, args...)
	})
	return all
}

// dump gives every row of some tables.
func dump(t testing.TB, db *store.DB, tables ...string) map[string][]string {
	t.Helper()
	all := map[string][]string{}
	for _, table := range tables {
		columns := list(t, db, `SELECT name FROM pragma_table_info($1) ORDER BY cid`, table)
		if len(columns) == 0 {
			t.Fatalf("no table %s", table)
		}
		all[table] = list(t, db, `SELECT json_array(`+strings.Join(columns, ", ")+`) FROM `+table+` ORDER BY 1`)
	}
	return all
}

var (
	catalogTables = []string{
		"bin", "part", "kit_content", "fork", "fork_leg", "position", "position_part", "fitment", "oil_fill", "supplier",
		"supplier_item", "code_link", "code_pair", "other_number", "replacement", "still_usable", "swap", "tightening",
	}
	stockTables = []string{"delivery", "lot", "posting", "movement", "balance", "holding"}
)

func TestSameOptionsSameShop(t *testing.T) {
	opt := Options{Seed: 3, End: wednesday}
	tables := slices.Concat(catalogTables, stockTables)
	one := dump(t, filled(t, opt), tables...)
	opt.End = opt.End.Add(17 * time.Hour) // the same day
	two := dump(t, filled(t, opt), tables...)
	if d := cmp.Diff(one, two); d != "" {
		t.Error(d)
	}
	for table, rows := range one {
		if len(rows) == 0 && table != "code_pair" {
			t.Errorf("%s is empty", table)
		}
	}
}

func TestCatalogDoesNotDependOnTheDay(t *testing.T) {
	one := filled(t, Options{Seed: 3, End: wednesday})
	two := filled(t, Options{Seed: 3, End: wednesday.AddDate(0, 0, 90)}) // a day on which the fork of the story is short of more
	if d := cmp.Diff(dump(t, one, catalogTables...), dump(t, two, catalogTables...)); d != "" {
		t.Error(d)
	}
	if cmp.Equal(dump(t, one, "balance"), dump(t, two, "balance")) {
		t.Error("two days have the same stock")
	}
	testStory(t, two)
}

func TestSeedMovesPricesOnly(t *testing.T) {
	a, b := newBook(1, 0, map[string]bool{}), newBook(2, 0, map[string]bool{})
	words := func(b *book) (all []string) {
		for _, w := range b.wares {
			all = append(all, fmt.Sprint(w.Name(), w.Description, w.Size, w.shelf, w.Minimum))
		}
		for _, l := range b.labels {
			all = append(all, fmt.Sprint(l.code, l.pieces, l.ware.Name()))
		}
		for _, o := range b.offers {
			all = append(all, fmt.Sprint(o.supplier, o.number, o.text, o.pack))
		}
		return all
	}
	if d := cmp.Diff(words(a), words(b)); d != "" {
		t.Error(d)
	}
	if a.offers[0].price == b.offers[0].price && a.offers[1].price == b.offers[1].price {
		t.Error("two seeds have the same prices")
	}
}

// TestShop looks at one shop from several sides.
func TestShop(t *testing.T) {
	db := filled(t, Options{Seed: 1, End: wednesday})
	for name, f := range map[string]func(*testing.T, *store.DB){
		"counts": testCounts, "ledger": testLedger, "scale": testScale, "forks": testForks, "codes": testCodes,
		"sizes": testSizes, "story": testStory,
	} {
		t.Run(name, func(t *testing.T) { f(t, db) })
	}
}

func testCounts(t *testing.T, db *store.DB) {
	for _, c := range []struct {
		query    string
		min, max int
	}{
		{`SELECT id FROM part`, 560, 660},
		{`SELECT id FROM fork`, 25, 30},
		{`SELECT DISTINCT make FROM fitment`, 5, 5},
		{`SELECT DISTINCT make || model FROM fitment`, 38, 46},
		{`SELECT DISTINCT maker FROM part`, 8, 8},
		{`SELECT DISTINCT kit FROM kit_content`, 55, 65},
		{`SELECT id FROM supplier`, 4, 4},
		{`SELECT id FROM supplier_item`, 850, 950},
		{`SELECT id FROM supplier_item WHERE part IS NULL`, 60, 120},
		{`SELECT id FROM supplier_item WHERE pack_price_minor IS NULL`, 20, 70},
		{`SELECT id FROM bin WHERE kind = 'shelf'`, 80, 80},
		{`SELECT id FROM bin WHERE kind = 'intake'`, 1, 1},
		{`SELECT id FROM posting WHERE kind = 'issue'`, 400, 700},
		{`SELECT id FROM posting WHERE kind = 'return'`, 10, 80},
		{`SELECT id FROM posting WHERE kind = 'scrap'`, 2, 30},
		{`SELECT id FROM posting WHERE kind = 'found'`, 1, 30},
		{`SELECT id FROM lot WHERE use_by <> ''`, 50, 900},
		{`SELECT part FROM holding WHERE unknown > 0`, 3, 200},
		// A job found its parts nearly always: seldom was one bought round the corner.
		{`SELECT id FROM posting WHERE reason LIKE 'bought%'`, 1, 50},
		// The spring peak: more jobs from March to June than in the other eight months of these years.
		{`SELECT id FROM posting WHERE kind = 'issue' AND substr(at, 6, 2) IN ('03', '04', '05', '06')`, 250, 400},
		{`SELECT id FROM posting WHERE kind = 'issue' AND substr(at, 6, 2) IN ('11', '12', '01')`, 30, 110},
		// What a part is used for can be seen in the reorder list: some short, most there.
		{`SELECT part FROM holding WHERE known + unknown = 0`, 3, 60},
		{`SELECT part FROM holding WHERE known + unknown > 0`, 200, 400},
	} {
		if got := len(list(t, db, c.query)); got < c.min || got > c.max {
			t.Errorf("%d rows, want %d to %d: %s", got, c.min, c.max, c.query)
		}
	}
}

// The ledger is played back from nothing: no bin ever holds less than nothing
// of a lot, time never runs back, and it ends where the balance says.
func testLedger(t *testing.T, db *store.DB) {
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		entries, err := inventory.Ledger(ctx, tx, inventory.LedgerOf{})
		if err != nil {
			return err
		}
		sum := map[string]int64{}
		var last time.Time
		for i, e := range entries {
			key := e.Part + e.Bin + e.Lot
			sum[key] += e.Amount
			if sum[key] < 0 || e.At.Before(last) || !e.At.Before(wednesday) || e.Seq != int64(i+1) || e.Key == e.Posting {
				t.Errorf("movement %d of %s at %v leaves %d", e.Seq, e.Key, e.At, sum[key])
			}
			last = e.At
		}
		lines, err := inventory.Stock(ctx, tx, "")
		for _, l := range lines {
			if got := sum[l.Part+l.Bin.ID+l.Lot.ID]; got != l.Amount {
				t.Errorf("the book says %d, the ledger %d", l.Amount, got)
			}
			delete(sum, l.Part+l.Bin.ID+l.Lot.ID)
		}
		for key, n := range sum {
			if n != 0 {
				t.Errorf("%d of %s are in no bin", n, key)
			}
		}
		findings, err2 := inventory.Check(ctx, tx)
		if len(findings) > 0 {
			t.Error(findings)
		}
		return errors.Join(err, err2)
	})
}

func testScale(t *testing.T, one *store.DB) {
	three := filled(t, Options{Seed: 1, End: wednesday, Scale: 3})
	for _, table := range []string{"part", "fork", "fitment", "supplier_item", "position"} {
		query := `SELECT id FROM ` + table
		if got, want := len(list(t, three, query)), 3*len(list(t, one, query)); got != want {
			t.Errorf("%d rows in %s, want %d", got, table, want)
		}
	}
	// The shop itself is not changed by its copies.
	query := `SELECT maker || number || description || coalesce(inner_um, 0) FROM part WHERE number NOT LIKE '%-V_' ORDER BY 1`
	if d := cmp.Diff(list(t, one, query), list(t, three, query)); d != "" {
		t.Error(d)
	}
	stock := `SELECT p.number || ' ' || sum(b.amount) FROM balance b JOIN part p ON p.id = b.part
		WHERE p.number NOT LIKE '%-V_' GROUP BY p.id ORDER BY 1`
	if d := cmp.Diff(list(t, one, stock), list(t, three, stock)); d != "" {
		t.Error(d)
	}
}

func TestFillRefuses(t *testing.T) {
	for _, opt := range []Options{
		{End: wednesday, Scale: MostScale + 1}, {}, {End: time.Date(2017, 12, 31, 0, 0, 0, 0, time.UTC)},
	} {
		if _, err := fill(t, opt); fault.KindOf(err) != fault.Invalid {
			t.Errorf("Fill(%+v) = %v", opt, err)
		}
	}
	if _, err := fill(t, Options{End: time.Date(2018, 1, 1, 0, 0, 0, 0, time.UTC)}); err != nil {
		t.Error(err)
	}
}

func BenchmarkFill(b *testing.B) {
	for _, scale := range []int{1, 10} {
		b.Run(fmt.Sprint(scale), func(b *testing.B) {
			for b.Loop() {
				filled(b, Options{Seed: 1, End: wednesday, Scale: scale})
			}
		})
	}
}
