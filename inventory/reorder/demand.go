package reorder

// What is short at the end of a time t, with S there or on its way at its
// beginning, is EB(S;t) = E[(D-S)+], D the use within t. Of the use of a review
// period R, which orders arriving L after each review have to cover,
//
//	fill(S) = 1 - (EB(S;R+L) - EB(S;L)) / E[use within R]
//
// is there when needed (Hadley and Whitin 1963, from memory). With x f(x) of
// the one distribution = mean * f(x-1) of a neighbour,
//
//	Poisson:           EB = m P(D >= S) - S P(D > S)
//	negative binomial: EB = m P(D' >= S) - S P(D > S), D' of size k+1
//
// where D has size k = m/(v/m - 1) and P(D > x) = I(1-p; x+1, k), p = m/v.
// Size is proportional to time and p is not, so that use in disjoint weeks
// adds up. fill rises with S, from 0 at S = 0, so that S is found by bisection.

import "gonum.org/v1/gonum/mathext"

// Demand is the use of a part as a distribution.
type Demand struct {
	Mean  float64 // of a week
	Ratio float64 // variance by mean; up to 1 means Poisson
}

// alike is the Ratio up to which the two distributions are taken for one: no
// stock shows the difference, and the incomplete beta function loses digits as
// the size grows.
const alike = 1.001

// rule names the distribution.
func (d Demand) rule() Rule {
	switch {
	case d.Mean == 0:
		return None
	case d.Ratio <= alike:
		return Poisson
	}
	return NegativeBinomial
}

// Backorders gives EB(s;weeks), the mean of what is short.
func (d Demand) Backorders(s int64, weeks float64) float64 {
	mean := d.Mean * weeks
	if mean == 0 {
		return 0
	}
	return max(0, mean*d.tail(s-1, mean, 1)-float64(s)*d.tail(s, mean, 0))
}

// tail gives P(D > x) for a use of that mean; with more = 1 for the neighbour
// of D that the formula of Backorders wants.
func (d Demand) tail(x int64, mean, more float64) float64 {
	switch {
	case x < 0:
		return 1
	case d.Ratio <= alike:
		return mathext.GammaIncReg(float64(x)+1, mean)
	}
	size := mean / (d.Ratio - 1)
	return mathext.RegIncBeta(float64(x)+1, size+more, 1-1/d.Ratio)
}

// Fill gives the share of pieces there when needed with s to order up to, a
// review every so many weeks (above 0) and a delivery of so many weeks. It is
// 1 where there is no use.
func (d Demand) Fill(s int64, review, lead float64) float64 {
	if d.Mean == 0 {
		return 1
	}
	short := d.Backorders(s, review+lead) - d.Backorders(s, lead)
	return min(1, max(0, 1-short/(d.Mean*review)))
}

// Level gives the smallest s with that Fill, which is above 0 and below 1, so
// that s is 1 at least.
func (d Demand) Level(fill, review, lead float64) int64 {
	low, high := int64(0), int64(1)
	for d.Fill(high, review, lead) < fill {
		low, high = high, 2*high
	}
	for high-low > 1 {
		if middle := low + (high-low)/2; d.Fill(middle, review, lead) < fill {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}
