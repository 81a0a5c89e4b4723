package search

import (
	"context"
	"slices"

	"forkstock/internal/store"
)

// mostBikes is how many bikes are offered for one that is not known.
const mostBikes = 3

// BikesLike gives the bikes whose make and model are two slips from b's at
// most, the fewest slips first. Digits are never guessed at.
func BikesLike(ctx context.Context, tx *store.Tx, b Bike) ([]Bike, error) {
	var near [3][]Bike // by slips
	wide, long := key(b.Make), key(b.Model)
	err := tx.Each(ctx, func(scan store.Scan) error {
		var is Bike
		err := scan(&is.Make, &is.Model)
		n := slips(wide, key(is.Make), 2)
		if n <= 2 {
			n += slips(long, key(is.Model), 2)
		}
		if n <= 2 {
			near[n] = append(near[n], is)
		}
		return err
	}, `SELECT min(make), min(model) FROM fitment WHERE withdrawn = 0 GROUP BY make_norm, model_norm ORDER BY make_norm, model_norm`)
	all := slices.Concat(near[:]...)
	return all[:min(len(all), mostBikes)], err
}

// Layout gives the layout of a fork that a word of the trade means: usd.
func Layout(typed string) (layout string, ok bool) {
	for layout, list := range layoutWords {
		if slices.ContainsFunc(commas(list), func(w string) bool { return key(w) == key(typed) }) {
			return layout, true
		}
	}
	return "", false
}
