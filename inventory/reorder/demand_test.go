package reorder

import (
	"bufio"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
)

// table reads a file of numbers under headings, which has to hold exactly
// want rows; comma is the mark between them.
func table(t *testing.T, file, comma string, want int) []map[string]float64 {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var heads []string
	var rows []map[string]float64
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		fields := strings.Split(lines.Text(), comma)
		if heads == nil {
			heads = fields
			continue
		}
		row := map[string]float64{}
		for i, head := range heads {
			if row[head], err = strconv.ParseFloat(fields[i], 64); err != nil {
				t.Fatalf("%s: %v", file, err)
			}
		}
		rows = append(rows, row)
	}
	if len(rows) != want {
		t.Fatalf("%s: %d rows, want %d", file, len(rows), want)
	}
	return rows
}

// near checks got against a value that R printed, to tolerance.
func near(t *testing.T, what string, row map[string]float64, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%v: %s = %.15g, want %.15g", row, what, got, want)
	}
}

func TestPoisson(t *testing.T) { checkPoisson(t, table(t, "testdata/poisson.tsv", "\t", 40)) }

func checkPoisson(t *testing.T, rows []map[string]float64) {
	t.Helper()
	for _, row := range rows {
		d, s := Demand{Mean: row["lambda"], Ratio: 1}, int64(row["S"])
		near(t, "cdf", row, 1-d.tail(s, d.Mean, 0), row["cdf_at_S"], 1e-11)
		near(t, "loss", row, d.Backorders(s, 1), row["loss"], 1e-10)
		// With reviews ever closer, what is short is what finds no stock.
		near(t, "fill", row, d.Fill(s, 1e-6, 1), row["fill_unit_basestock"], 2e-6)
	}
}

func TestNegativeBinomial(t *testing.T) {
	checkNegativeBinomial(t, table(t, "testdata/negbin.tsv", "\t", 48))
}

func checkNegativeBinomial(t *testing.T, rows []map[string]float64) {
	t.Helper()
	for _, row := range rows {
		d, s := Demand{Mean: row["mean"], Ratio: row["vmr"]}, int64(row["S"])
		near(t, "cdf", row, 1-d.tail(s, d.Mean, 0), row["cdf_at_S"], 1e-11)
		near(t, "P(0)", row, 1-d.tail(0, d.Mean, 0), row["p0"], 1e-11)
		near(t, "loss", row, d.Backorders(s, 1), row["loss"], 1e-10)
	}
}

func TestReview(t *testing.T) { checkReview(t, table(t, "testdata/rs_poisson.tsv", "\t", 40)) }

func checkReview(t *testing.T, rows []map[string]float64) {
	t.Helper()
	for _, row := range rows {
		d, s := Demand{Mean: row["lambda"], Ratio: 1}, int64(row["S"])
		near(t, "fill", row, d.Fill(s, row["R"], row["L"]), row["fill"], 1e-10)
		near(t, "cdf", row, 1-d.tail(s, d.Mean*(row["R"]+row["L"]), 0), row["csl"], 1e-11)
		if row["fill"] < 1e-9 || row["fill"] > 1-1e-9 {
			continue
		}
		if got := d.Level(row["fill"]-1e-10, row["R"], row["L"]); got != s {
			t.Errorf("%v: order up to %d, want %d", row, got, s)
		}
		if got := d.Level(row["fill"]+1e-10, row["R"], row["L"]); got != s+1 {
			t.Errorf("%v: order up to %d for more, want %d", row, got, s+1)
		}
	}
}

// The formula of Backorders is the sum that defines it, for both
// distributions and the step from one to the other.
func TestBackordersBySum(t *testing.T) {
	for _, d := range []Demand{{0.02, 1}, {0.7, 1.6}, {3, 1.002}, {2, 9}, {0.1, 40}} {
		for _, s := range []int64{0, 1, 4, 20} {
			mean, k := d.Mean, d.Mean/(d.Ratio-1)
			want, sum, pmf := 0.0, 0.0, math.Exp(-mean)
			if d.Ratio > 1 {
				pmf = math.Pow(d.Ratio, -k)
			}
			for x := int64(0); x < 5000; x++ {
				want += max(0, float64(x-s)) * pmf
				sum += pmf
				if d.Ratio > 1 {
					pmf *= (float64(x) + k) / float64(x+1) * (1 - 1/d.Ratio)
				} else {
					pmf *= mean / float64(x+1)
				}
			}
			if got := d.Backorders(s, 1); math.Abs(got-want) > 1e-6 {
				t.Errorf("%v: Backorders(%d) = %g, want %g (sum %g)", d, s, got, want, sum)
			}
		}
	}
}

// The share that Fill promises is what weeks of ordering and using give, to
// 0.01: a simulation of the policy, with orders that arrive lead weeks after
// the review and what is short waiting.
func TestFillBySimulation(t *testing.T) {
	const weeks = 200_000
	random := rand.New(rand.NewPCG(1, 2))
	for _, tt := range []struct {
		d    Demand
		lead int
		s    int64
	}{
		{Demand{0.7, 1}, 1, 3},
		{Demand{0.7, 1.6}, 1, 3},
		{Demand{0.2, 3}, 2, 3},
		{Demand{4, 2.5}, 3, 18},
		{Demand{0.7, 1.6}, 0, 2},
	} {
		road := make([]int64, tt.lead+1)
		road[0] = tt.s
		stock, served, used := int64(0), int64(0), int64(0)
		for week := range weeks {
			stock += road[week%len(road)]
			u := draw(random, tt.d)
			served += min(u, max(0, stock))
			stock -= u
			used += u
			road[week%len(road)] = 0
			road[(week+tt.lead+1)%len(road)] = u
		}
		got, want := float64(served)/float64(used), tt.d.Fill(tt.s, 1, float64(tt.lead))
		if math.Abs(got-want) > 0.01 {
			t.Errorf("%v: %.4f of %d served, Fill = %.4f", tt, got, used, want)
		}
	}
}

// draw gives one week's use, by the sum of probabilities.
func draw(random *rand.Rand, d Demand) int64 {
	k, q := d.Mean/(d.Ratio-1), 1-1/d.Ratio
	pmf := math.Exp(-d.Mean)
	if d.Ratio > 1 {
		pmf = math.Pow(d.Ratio, -k)
	}
	u, x := random.Float64(), int64(0)
	for ; u > pmf && x < 10_000; x++ {
		u -= pmf
		if d.Ratio > 1 {
			pmf *= (float64(x) + k) / float64(x+1) * q
		} else {
			pmf *= d.Mean / float64(x+1)
		}
	}
	return x
}

// More asked for, a longer review, a longer delivery or more use never need
// less stock. (More spread can, where few are to be there in time.)
func TestLevelRises(t *testing.T) {
	fills := []float64{0.001, 0.5, 0.95, 0.99, 0.9999999}
	times := []float64{0, 1.0 / 7, 9.0 / 7, 4, 20}
	means := []float64{1.0 / 52, 0.5, 0.7, 3, 4000}
	ratios := []float64{0, 1.0015, 1.6, 10, 300}
	level := func(i [5]int) int64 {
		d := Demand{means[i[3]], ratios[i[4]]}
		return d.Level(fills[i[0]], times[i[1]]+1, times[i[2]])
	}
	sizes := [5]int{len(fills), len(times), len(times), len(means), len(ratios)}
	var at [5]int
	for {
		here := level(at)
		if here < 1 {
			t.Fatalf("%v: order up to %d", at, here)
		}
		for dim, name := range []string{"fill", "review", "lead", "mean"} {
			more := at
			if more[dim]++; more[dim] == sizes[dim] {
				continue
			}
			if there := level(more); there < here {
				t.Errorf("more %s: %v needs %d, %v needs %d", name, at, here, more, there)
			}
		}
		if !next(&at, sizes) {
			return
		}
	}
}

// next counts at up.
func next(at *[5]int, sizes [5]int) bool {
	for i := range at {
		if at[i]++; at[i] < sizes[i] {
			return true
		}
		at[i] = 0
	}
	return false
}

func BenchmarkLevel(b *testing.B) {
	for name, d := range map[string]Demand{"poisson": {0.7, 1}, "negbin": {0.7, 1.6}, "litres": {4000, 300}} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				d.Level(0.95, 1, 9.0/7)
			}
		})
	}
}
