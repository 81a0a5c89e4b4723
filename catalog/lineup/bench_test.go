package lineup

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"forkstock/internal/measure"
)

// What one step costs: narrowing down after one answer, and finding the next
// question among six, of as many forks as a wholesaler's list may name.
func BenchmarkStep(b *testing.B) {
	r := rand.New(rand.NewPCG(1, 2))
	length := func(from, to measure.Length) []Value {
		return []Value{{Length: from + measure.Length(r.Int64N(int64(to-from)/100))*100}}
	}
	for _, n := range []int{28, 2800, 28_000} {
		var forks []Fork
		for i := range n {
			forks = append(forks, Fork{Name: fmt.Sprint(i), Can: map[string][]Value{
				"leg": length(30_000, 55_000), "shape": words(shape.Words[r.IntN(3)]), "flats": length(20_000, 50_000),
				"axle": length(12_000, 26_000), "wiper": length(40_000, 65_000), "inner": length(28_000, 52_000),
			}})
		}
		axle, wiper := Question{Name: "axle", Tolerance: 300}, Question{Name: "wiper", Tolerance: 500}
		questions := []Question{shape, leg, flats, axle, wiper, inner}
		for name, answers := range map[string][]Answer{"first": nil, "second": {{leg, Value{Length: 41_000}}}} {
			b.Run(fmt.Sprintf("%d/%s", n, name), func(b *testing.B) {
				for b.Loop() {
					Next(Narrow(forks, answers), questions, answers)
				}
			})
		}
	}
}
