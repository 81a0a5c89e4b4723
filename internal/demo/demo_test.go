package demo

import (
	"fmt"
	"testing"
)

func TestTmp(t *testing.T) {
	b := newBook(1, 0, map[string]bool{})
	by := map[string]int{}
	for _, w := range b.wares {
		by[string(w.Role)]++
		by[w.Maker]++
		fmt.Printf("%-10s %-14s %-14s %-20s %-10s %4d %6d %s | %s\n", w.Maker, w.Number, w.Role, w.Size, w.Thread, w.bag, w.cost, w.shelf, w.Description)
	}
	fmt.Println(len(b.wares), len(b.byName), len(b.kits), len(b.offers), len(b.labels), by)
}
