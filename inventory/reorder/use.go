package reorder

// Mean and variance of use are those of the weeks, the variance with n-1 below.
// The ratio of the two is drawn towards that of all the shop's parts, as if
// five more weeks had shown that one: a few weeks of one slow part say little
// about it.
//
// A week that may be a one-off (a fleet's forks done at once, a bag of washers
// written off) counts as the highest of the other weeks where it used as much
// as Bulk, more than all the others together, and more than three times the
// highest of them. Common practice, no source.

const (
	yearWeeks   = 52
	poolWeeks   = 5
	defaultBulk = 10
)

// estimate gives the distribution of use, and the one-off that was left out
// of it, if any. Weeks that are not known are not zero: use holds known ones.
func estimate(use []int64, pool float64, bulk int64) (d Demand, oneOff int64) {
	if len(use) == 0 {
		return Demand{}, 0
	}
	if bulk == 0 {
		bulk = defaultBulk
	}
	highest, other, sum := topTwo(use)
	if highest >= bulk && highest > sum-highest && highest > 3*other {
		oneOff = highest
		sum += other - highest
	}
	n := float64(len(use))
	d.Mean = float64(sum) / n
	if sum == 0 {
		return d, oneOff
	}
	squares := 0.0
	for _, u := range use {
		if u == oneOff && oneOff > 0 {
			u = other
		}
		squares += (float64(u) - d.Mean) * (float64(u) - d.Mean)
	}
	d.Ratio = 1
	if len(use) > 1 {
		d.Ratio = squares / (n - 1) / d.Mean
	}
	if pool > 0 {
		d.Ratio = (n*d.Ratio + poolWeeks*pool) / (n + poolWeeks)
	}
	return d, oneOff
}

// PoolRatio gives the Pool of a shop from the weeks of use of its parts: the
// mean of their ratios of variance and mean, over parts with two weeks of use
// or more; 0 where there is none.
func PoolRatio(parts [][]int64) float64 {
	sum, n := 0.0, 0
	for _, use := range parts {
		inUse := 0
		for _, u := range use {
			if u > 0 {
				inUse++
			}
		}
		if inUse < 2 {
			continue
		}
		d, _ := estimate(use, 0, 0)
		sum += d.Ratio
		n++
	}
	if n == 0 {
		return 0
	}
	return sum / float64(n)
}

// topTwo gives the two highest of use, and the sum of all.
func topTwo(use []int64) (highest, other, sum int64) {
	for _, u := range use {
		sum += u
		if u > highest {
			highest, other = u, highest
		} else {
			other = max(other, u)
		}
	}
	return highest, other, sum
}
