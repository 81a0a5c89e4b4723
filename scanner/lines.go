package scanner

import (
	"io"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
)

// MaxLine is the longest line that a hand scanner may send, in bytes.
const MaxLine = 4096

// A Line is one scan of a hand scanner.
type Line struct {
	Number    int    // of the line in the input, from 1, blank lines counted
	Symbology string // "" unless an AIM identifier (]E0 and so on) stood in front
	Text      string // without AIM identifier
	Elements  gs1.Elements
}

// Key gives the text under which the shop files the line, as Symbol.Key.
func (l Line) Key() (key string, gtin bool) { return key3(l.Symbology, l.Text, l.Elements) }

// A BadLine is a line that cannot be used, and why.
type BadLine struct {
	Number int
	Err    *fault.Error
}

// Lines reads what a hand scanner typed until the input ends.
func Lines(r io.Reader) ([]Line, []BadLine, error) { return nil, nil, nil }
