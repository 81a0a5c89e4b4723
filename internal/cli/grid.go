package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// grid lines columns up. Columns in right are set flush right.
type grid struct {
	rows  [][]string
	right []int
}

func (g *grid) add(cells ...string) { g.rows = append(g.rows, cells) }

func (g *grid) write(w io.Writer) {
	var width []int
	for _, row := range g.rows {
		for i, cell := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range g.rows {
		var b strings.Builder
		for i, cell := range row {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if i > 0 {
				b.WriteString("  ")
			}
			if g.flushRight(i) {
				b.WriteString(pad + cell)
			} else {
				b.WriteString(cell + pad)
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
}

func (g *grid) flushRight(i int) bool {
	for _, r := range g.right {
		if r == i {
			return true
		}
	}
	return false
}
