package reorder_test

import (
	"math"
	"strings"
	"testing"

	"forkstock/internal/fault"
	"forkstock/internal/words"
	"forkstock/inventory/reorder"
)

// year spreads n pieces of use over 52 weeks, one at a time.
func year(n int) []int64 {
	use := make([]int64, 52)
	for i := range n {
		use[(i*52/n)%52]++
	}
	return use
}

// weeks gives 52 weeks without use but for those at the end.
func weeks(last ...int64) []int64 {
	return append(make([]int64, 52-len(last)), last...)
}

// The levels agree with sums of probabilities made apart in Python: at 38 a
// year and 9 days, 3 give 0.853 and 4 give 0.954; of the pairs, 6 give 0.945
// and 7 give 0.969; beside the one-off, 1 gives 0.902 and 2 give 0.995.
func TestAdvise(t *testing.T) {
	for name, tt := range map[string]struct {
		part               reorder.Part
		level, order, pack int64
		rule               reorder.Rule
		why                [2]string
	}{
		"short": {
			reorder.Part{Use: year(38), OnHand: 1, LeadDays: 9, Fill: 0.95},
			4, 3, 3, reorder.Poisson,
			[2]string{
				"used 38 last year (0.7 a week); 9 days' delivery plus a week: order up to 4, so that 95 % of parts are there when needed; 1 in stock",
				"im letzten Jahr 38 verbraucht (0,7 je Woche); 9 Tage Lieferzeit plus eine Woche: bis 4 auffüllen, damit 95 % der Teile da sind, wenn sie gebraucht werden; 1 im Bestand",
			},
		},
		"packs and jobs": {
			reorder.Part{Use: year(38), OnHand: 3, OnOrder: 1, SetAside: 2, LeadDays: 1, ReviewDays: 14, Pack: 10, Fill: 0.975},
			4, 10, 1, reorder.Poisson,
			[2]string{
				"used 38 last year (0.7 a week); 1 day's delivery plus 14 days: order up to 4, so that 97.5 % of parts are there when needed; 3 in stock, 1 ordered; 2 set aside; 2 missing, sold in packs of 10",
				"im letzten Jahr 38 verbraucht (0,7 je Woche); 1 Tag Lieferzeit plus 14 Tage: bis 4 auffüllen, damit 97,5 % der Teile da sind, wenn sie gebraucht werden; 3 im Bestand, 1 bestellt; 2 zurückgelegt; 2 fehlen, nur in Packungen zu 10",
			},
		},
		"enough": {
			reorder.Part{Use: year(38), OnHand: 2, OnOrder: 7, LeadDays: 9, Fill: 0.95},
			4, 0, 0, reorder.Poisson,
			[2]string{"used 38 last year (0.7 a week); 9 days' delivery plus a week: order up to 4, so that 95 % of parts are there when needed; 2 in stock, 7 ordered"},
		},
		"in pairs": {
			reorder.Part{Use: []int64{2, 0, 0, 0, 4, 0, 0, 2, 0, 0, 2, 0}, LeadDays: 7, Fill: 0.95},
			7, 7, 7, reorder.NegativeBinomial,
			[2]string{"used 10 in 12 weeks (0.8 a week); 7 days' delivery plus a week: order up to 7, so that 95 % of parts are there when needed; 0 in stock"},
		},
		"slow": {
			reorder.Part{Use: weeks(1), Fill: 0.95},
			1, 1, 1, reorder.Poisson,
			[2]string{"used 1 last year; 0 days' delivery plus a week: order up to 1, so that 95 % of parts are there when needed; 0 in stock"},
		},
		"no use": {
			reorder.Part{Use: year(0), OnHand: 1, SetAside: 1, Fill: 0.95},
			0, 0, 0, reorder.None,
			[2]string{"not used last year; 1 in stock; 1 set aside", "im letzten Jahr nicht verbraucht; 1 im Bestand; 1 zurückgelegt"},
		},
		"promised beyond stock": {
			reorder.Part{Use: year(0), OnHand: 1, SetAside: 4, Fill: 0.95},
			0, 3, 3, reorder.None,
			[2]string{"not used last year; 1 in stock; 4 set aside"},
		},
		"minimum": {
			reorder.Part{Use: year(0), Min: 2, Fill: 0.95},
			2, 2, 2, reorder.None,
			[2]string{"not used last year; order up to your minimum of 2; 0 in stock", "im letzten Jahr nicht verbraucht; bis zum eigenen Mindestbestand von 2 auffüllen; 0 im Bestand"},
		},
		"minimum below need": {
			reorder.Part{Use: year(38), Min: 2, LeadDays: 9, Fill: 0.95},
			4, 4, 4, reorder.Poisson,
			[2]string{"used 38 last year (0.7 a week); 9 days' delivery plus a week: order up to 4, so that 95 % of parts are there when needed; 0 in stock"},
		},
		"new": {
			reorder.Part{Min: 1, Fill: 0.95},
			1, 1, 1, reorder.None,
			[2]string{"no use known yet; order up to your minimum of 1; 0 in stock", "noch kein Verbrauch bekannt; bis zum eigenen Mindestbestand von 1 auffüllen; 0 im Bestand"},
		},
		"one week": {
			reorder.Part{Use: []int64{1}, LeadDays: 9, Fill: 0.95},
			5, 5, 5, reorder.Poisson,
			[2]string{"used 1 in 1 week (1 a week); 9 days' delivery plus a week: order up to 5, so that 95 % of parts are there when needed; 0 in stock"},
		},
		"one-off": {
			reorder.Part{Use: weeks(1, 0, 100, 0, 1), LeadDays: 9, Fill: 0.95},
			2, 2, 2, reorder.Poisson,
			[2]string{
				"used 102 last year (0.1 a week); 100 of them in one week, taken for a one-off; 9 days' delivery plus a week: order up to 2, so that 95 % of parts are there when needed; 0 in stock",
				"im letzten Jahr 102 verbraucht (0,1 je Woche); davon 100 in einer Woche, als einmalig gewertet; 9 Tage Lieferzeit plus eine Woche: bis 2 auffüllen, damit 95 % der Teile da sind, wenn sie gebraucht werden; 0 im Bestand",
			},
		},
		"nothing but a one-off": {
			reorder.Part{Use: weeks(100), LeadDays: 9, Fill: 0.95},
			0, 0, 0, reorder.None,
			[2]string{"used 100 last year; 100 of them in one week, taken for a one-off; 0 in stock"},
		},
		"older than a year": {
			reorder.Part{Use: append([]int64{500, 500}, year(0)...), Fill: 0.95},
			0, 0, 0, reorder.None,
			[2]string{"not used last year; 0 in stock"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := reorder.Advise(tt.part)
			if err != nil {
				t.Fatal(err)
			}
			if got.Level != tt.level || got.Order != tt.order || got.Packs != tt.pack || got.Rule != tt.rule {
				t.Errorf("up to %d, order %d in %d packs by %s, want %d, %d, %d, %s",
					got.Level, got.Order, got.Packs, got.Rule, tt.level, tt.order, tt.pack, tt.rule)
			}
			if got.Rule != reorder.None && got.Expected < tt.part.Fill {
				t.Errorf("Expected = %v, want %v at least", got.Expected, tt.part.Fill)
			}
			if got.Rule == reorder.None && got.Expected != 1 {
				t.Errorf("Expected = %v without use, want 1", got.Expected)
			}
			for i, lang := range words.Languages {
				if why := words.For(lang).Text(got.Why); tt.why[i] != "" && why != tt.why[i] {
					t.Errorf("Why in %s:\n got %s\nwant %s", lang, why, tt.why[i])
				}
			}
		})
	}
}

// The estimates: mean, and variance with n-1 below, of 2 0 0 0 4 0 0 2 0 0 2 0
// by hand: mean 10/12, squares 28 - 100/12.
func TestAdviseEstimates(t *testing.T) {
	use := []int64{2, 0, 0, 0, 4, 0, 0, 2, 0, 0, 2, 0}
	mean, variance := 10.0/12, (28-100.0/12)/11
	ratio := variance / mean
	for _, tt := range []struct {
		pool, variance float64
	}{
		{0, variance},
		{ratio, variance},
		{1, mean * (12*ratio + 5*1) / 17},
		{6, mean * (12*ratio + 5*6) / 17},
	} {
		got, err := reorder.Advise(reorder.Part{Use: use, Fill: 0.95, Pool: tt.pool})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.MeanWeek-mean) > 1e-12 || math.Abs(got.VarWeek-tt.variance) > 1e-12 {
			t.Errorf("pool %v: mean %v, variance %v, want %v, %v", tt.pool, got.MeanWeek, got.VarWeek, mean, tt.variance)
		}
	}
}

// By hand: 2 0 2 0 has mean 1 and variance 4/3, 0 0 0 4 has one week of use,
// 1 1 has none to spread.
func TestPoolRatio(t *testing.T) {
	got := reorder.PoolRatio([][]int64{{2, 0, 2, 0}, {0, 0, 0, 4}, {0, 0}, {1, 1}, nil})
	if want := (4.0/3 + 0) / 2; math.Abs(got-want) > 1e-12 {
		t.Errorf("PoolRatio = %v, want %v", got, want)
	}
	if got := reorder.PoolRatio([][]int64{{0, 1}, {0, 0}}); got != 0 {
		t.Errorf("PoolRatio of too little use = %v, want 0", got)
	}
}

func TestOneOff(t *testing.T) {
	for _, tt := range []struct {
		use  []int64
		bulk int64
		want int64
	}{
		{[]int64{0, 10, 0, 0}, 0, 10},
		{[]int64{0, 9, 0, 0}, 0, 0},  // below Bulk
		{[]int64{0, 9, 0, 0}, 9, 9},  // Bulk of the caller's
		{[]int64{0, 12, 4, 0}, 0, 0}, // three times the next
		{[]int64{0, 13, 4, 0}, 0, 13},
		{[]int64{4, 16, 4, 4, 4}, 0, 0},
		{[]int64{4, 17, 4, 4, 4}, 0, 17},
		{[]int64{30, 0, 30}, 0, 0}, // twice is no one-off
		{[]int64{30}, 0, 30},
	} {
		got, err := reorder.Advise(reorder.Part{Use: tt.use, Fill: 0.95, Bulk: tt.bulk})
		if err != nil || got.OneOff != tt.want {
			t.Errorf("%v: one-off %d, %v, want %d", tt.use, got.OneOff, err, tt.want)
		}
	}
}

func TestAdviseRefuses(t *testing.T) {
	ok := reorder.Part{Use: year(38), Fill: 0.95}
	for name, spoil := range map[string]func(*reorder.Part){
		"use below 0": func(p *reorder.Part) { p.Use = []int64{1, -1} },
		"use absurd":  func(p *reorder.Part) { p.Use = []int64{1_000_001} },
		"stock":       func(p *reorder.Part) { p.OnHand = -1 },
		"stock huge":  func(p *reorder.Part) { p.OnHand = math.MaxInt64 },
		"orders":      func(p *reorder.Part) { p.OnOrder = -1 },
		"set aside":   func(p *reorder.Part) { p.SetAside = -1 },
		"minimum":     func(p *reorder.Part) { p.Min = -1 },
		"pack":        func(p *reorder.Part) { p.Pack = -1 },
		"bulk":        func(p *reorder.Part) { p.Bulk = -1 },
		"lead":        func(p *reorder.Part) { p.LeadDays = -1 },
		"lead long":   func(p *reorder.Part) { p.LeadDays = 1001 },
		"review":      func(p *reorder.Part) { p.ReviewDays = -7 },
		"fill 0":      func(p *reorder.Part) { p.Fill = 0 },
		"fill 1":      func(p *reorder.Part) { p.Fill = 1 },
		"fill NaN":    func(p *reorder.Part) { p.Fill = math.NaN() },
		"pool":        func(p *reorder.Part) { p.Pool = -1 },
		"pool NaN":    func(p *reorder.Part) { p.Pool = math.NaN() },
		"pool Inf":    func(p *reorder.Part) { p.Pool = math.Inf(1) },
	} {
		p := ok
		spoil(&p)
		_, err := reorder.Advise(p)
		isFault(t, name, err, fault.Invalid)
	}
	if _, err := reorder.Advise(ok); err != nil {
		t.Errorf("unspoilt: %v", err)
	}
}

// isFault checks the kind of err, and that both its texts stand in the table.
func isFault(t *testing.T, name string, err error, want fault.Kind) {
	t.Helper()
	if got := fault.KindOf(err); got != want {
		t.Errorf("%s: kind %q, want %q", name, got, want)
		return
	}
	e := fault.Of(err)
	for _, m := range []fault.Message{e.Message, e.Hint} {
		if text := words.For("de").Text(m); text == "" || strings.Contains(text, "reorder.") {
			t.Errorf("%s: text %q", name, text)
		}
	}
}

// Absurd but possible numbers come to an end, with an order that covers S.
func TestAdviseExtremes(t *testing.T) {
	most := make([]int64, 52)
	for i := range most {
		most[i] = 1_000_000
	}
	uneven := append([]int64{}, most...)
	clear(uneven[26:])
	for name, use := range map[string][]int64{"even": most, "uneven": uneven, "one": weeks(1), "bulk": weeks(1_000_000, 1_000_000)} {
		for _, fill := range []float64{1e-9, 0.95, 1 - 1e-15} {
			got, err := reorder.Advise(reorder.Part{Use: use, LeadDays: 1000, ReviewDays: 1000, Fill: fill, Pack: 7})
			if err != nil || got.Order < got.Level || got.Order >= got.Level+7 || got.Order%7 != 0 || got.Level < 1 {
				t.Errorf("%s %v: %+v, %v", name, fill, got, err)
			}
		}
	}
}

func BenchmarkAdvise(b *testing.B) {
	p := reorder.Part{Use: year(38), OnHand: 1, LeadDays: 9, Fill: 0.95}
	for b.Loop() {
		if _, err := reorder.Advise(p); err != nil {
			b.Fatal(err)
		}
	}
}
