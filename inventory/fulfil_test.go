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
			for _, p := range portions([]Expected{{PurchaseLine: l}}, "s", n, nil) {
				sum += p.cost().Minor
				l.Received += p.amount
			}
		}
		if sum != 2000 || l.Missing() != 0 {
			t.Errorf("in portions of %v: %d, want 2000; %d missing", steps, sum, l.Missing())
		}
	}
	if all := portions([]Expected{{PurchaseLine: line}}, "s", 9, nil); len(all) != 1 || all[0].amount != 6 {
		t.Errorf("nine for six: %+v, three of them belong to no line", all)
	}
	if all := portions([]Expected{{PurchaseLine: line}}, "w", 1, nil); len(all) != 0 {
		t.Errorf("a part that is not ordered: %+v", all)
	}
}

// What was sent instead fills the lines of its own part first, then those of the
// other, and its cost is not known: that of the line is another part's.
func TestPortionsInstead(t *testing.T) {
	lines := []Expected{
		{PurchaseLine: PurchaseLine{ID: "1", Part: "s", Pack: 2, Packs: 2, PackPrice: Value{1000, true}}},
		{PurchaseLine: PurchaseLine{ID: "2", Part: "b", Pack: 1, Packs: 1, PackPrice: Value{300, true}}},
	}
	all := portions(lines, "b", 9, []string{"s"})
	if len(all) != 2 || all[0].line.ID != "2" || all[0].amount != 1 || all[1].line.ID != "1" || all[1].amount != 4 {
		t.Fatalf("of 9 b, one ordered and sent instead of 4 s: %+v", all)
	}
	if all[0].cost() != (Value{300, true}) || all[1].cost() != (Value{}) {
		t.Errorf("costs %v, %v, want 300 and not known", all[0].cost(), all[1].cost())
	}
}
