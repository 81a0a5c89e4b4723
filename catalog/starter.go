package catalog

import (
	"embed"
	"strings"
)

//go:embed starter/*.tsv
var starter embed.FS

// starterRows reads a table that comes with the program: tab-separated, a
// heading first, every row as wide as it. A table that is not so is a defect
// that stops the program.
func starterRows(name string) []map[string]string {
	file, err := starter.ReadFile("starter/" + name + ".tsv")
	if err != nil {
		panic("catalog: " + err.Error())
	}
	lines := strings.Split(strings.TrimRight(string(file), "\n"), "\n")
	heads := strings.Split(lines[0], "\t")
	var rows []map[string]string
	for _, line := range lines[1:] {
		cells := strings.Split(line, "\t")
		if len(cells) != len(heads) {
			panic("catalog: starter/" + name + ".tsv: " + line)
		}
		row := map[string]string{}
		for i, head := range heads {
			row[head] = cells[i]
		}
		rows = append(rows, row)
	}
	return rows
}
