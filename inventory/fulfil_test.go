package inventory

import "testing"

// Packs of 3 for 10.00 that come one by one: 3.33, 3.34, 3.33, and the six of two
// packs cost 20.00 together, whatever portions they come in.
func TestCostOfPortions(t *testing.T) {
	line := PurchaseLine{Part: "s", Pack: 3, Packs: 2, PackPrice: Value{1000, true}}
	for _, steps := range [][]int64{{1, 1, 1, 1, 1, 1}, {2, 4}, {5, 1}, {6}} {
		l := line
		var sum int64
		for _, n := range steps {
			for _, p := range portions([]PurchaseLine{l}, "s", n) {
				sum += p.cost().Minor
				l.Received += p.amount
			}
		}
		if sum != 2000 || l.Missing() != 0 {
			t.Errorf("in portions of %v: %d, want 2000; %d missing", steps, sum, l.Missing())
		}
	}
	if all := portions([]PurchaseLine{line}, "s", 9); len(all) != 1 || all[0].amount != 6 {
		t.Errorf("nine for six: %+v, three of them belong to no line", all)
	}
	if all := portions([]PurchaseLine{line}, "w", 1); len(all) != 0 {
		t.Errorf("a part that is not ordered: %+v", all)
	}
}
