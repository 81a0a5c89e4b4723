package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

var noon = time.Date(2026, 11, 28, 12, 0, 0, 0, time.UTC)

// contents gives the drawing operators of each page, read from the file as ISO
// 32000-1 has it: deflated streams between stream and endstream.
func contents(t *testing.T, pdf []byte) (pages []string) {
	t.Helper()
	for _, part := range bytes.Split(pdf, []byte("\nstream\n"))[1:] {
		data, _, _ := bytes.Cut(part, []byte("\nendstream"))
		r, err := zlib.NewReader(bytes.NewReader(data))
		if err != nil {
			continue
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Contains(text, []byte(" Td ")) || bytes.Contains(text, []byte(" re\n")) {
			pages = append(pages, string(text))
		}
	}
	return pages
}

var rectangle = regexp.MustCompile(`(?m)^(\S+) (\S+) (\S+) (\S+) re$`)

// boxes gives the rectangles of each path of a page in mm, from its upper left
// corner.
func boxes(t *testing.T, page string, height float64) (paths [][]Box) {
	t.Helper()
	for _, path := range strings.Split(page, "0 g\n")[1:] {
		path, _, _ = strings.Cut(path, "\nf")
		var all []Box
		for _, m := range rectangle.FindAllStringSubmatch(path+"\n", -1) {
			var v [4]float64
			for i := range v {
				x, err := strconv.ParseFloat(m[i+1], 64)
				if err != nil {
					t.Fatal(err)
				}
				v[i] = x * 25.4 / 72
			}
			all = append(all, Box{v[0], height - v[1] - v[3], v[2], v[3]})
		}
		if len(all) > 0 {
			paths = append(paths, all)
		}
	}
	return paths
}

// near reports whether two lengths in mm are equal to a ten-thousandth of one.
func near(a, b float64) bool { return a-b < 1e-4 && b-a < 1e-4 }

// symbols of 0400000000176, with quiet zones, as zint 2.11.1 draws them (`zint
// -b 20` and `zint -b 71 --square`, with --dump).
var (
	bars   = symbol(10, 0, "D3 92 33 66 6C CD 99 B3 27 35 EE CE 9D A3 1D 6", 123)
	matrix = symbol(1, 1, "AA A8|C8 24|89 60|A0 64|A5 18|92 A4|9C 98|D3 14|F7 00|A9 BC|BF D0|F7 1C|C8 28|FF FC", 14)
)

// symbol reads rows of hexadecimal digits, so many modules each.
func symbol(side, upright int, hex string, across int) (rows [][]bool) {
	empty := make([]bool, across+2*side)
	for range upright {
		rows = append(rows, empty)
	}
	for _, row := range strings.Split(hex, "|") {
		var bits strings.Builder
		for _, digit := range strings.ReplaceAll(row, " ", "") {
			v, _ := strconv.ParseUint(string(digit), 16, 4)
			fmt.Fprintf(&bits, "%04b", v)
		}
		line := make([]bool, across+2*side)
		for i, bit := range (bits.String() + "000")[:across] {
			line[side+i] = bit == '1'
		}
		rows = append(rows, line)
	}
	for range upright {
		rows = append(rows, empty)
	}
	return rows
}

// dark counts the modules of a symbol that are dark.
func dark(modules [][]bool) (n int) {
	for _, row := range modules {
		for _, on := range row {
			if on {
				n++
			}
		}
	}
	return n
}
