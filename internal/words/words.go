// Package words holds every message of forkstock in English and German, and
// renders fault.Message values in one of them.
//
// A room keeps its texts in a file of its own here (catalog.go, cli.go, ...);
// the ids begin with the room's name. In a text {0}, {1} stand for the
// arguments, and {0|piece|pieces} for a word that follows the number of
// argument 0. JSON and CSV never pass through here but for their messages:
// numbers there always have a point.
//
// Non-goals: guessing a language, formatting dates for more than two
// languages, plural rules beyond one and many.
package words

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"forkstock/internal/fault"
)

// texts maps a message id to its text in English and in German.
type texts map[string][2]string

// Message is fault.Message, so that rooms above need not name both.
type Message = fault.Message

// Languages lists what a shop can be set to, the default first.
var Languages = []string{"en", "de"}

// A Printer renders messages in one language. It is safe for concurrent use.
type Printer struct {
	column int  // of texts
	mark   rune // decimal mark
}

// For gives the Printer of a language of Languages; any other is read as
// English.
func For(language string) *Printer {
	if language == "de" {
		return &Printer{column: 1, mark: ','}
	}
	return &Printer{column: 0, mark: '.'}
}

// Language gives the name of p's language.
func (p *Printer) Language() string { return Languages[p.column] }

// Mark gives the decimal mark of p's language.
func (p *Printer) Mark() rune { return p.mark }

// Say renders the message with that id and those arguments.
func (p *Printer) Say(id string, args ...any) string {
	return p.Text(fault.Say(id, args...))
}

// Text renders m. An id without text is shown as it stands, with its
// arguments: a defect that a test finds, but never a lost message.
func (p *Printer) Text(m Message) string {
	if m.IsZero() {
		return ""
	}
	text, ok := table[m.ID]
	if !ok {
		return fault.Say(m.ID, m.Args...).String()
	}
	return p.expand(text[p.column], m.Args)
}

// Screener is an argument that reads differently by language: a length, a
// size, an amount of money.
type Screener interface {
	// Screen gives the text to show, with mark between whole and part.
	Screen(mark rune) string
}

// Show renders one argument the way Text does.
func (p *Printer) Show(arg any) string {
	switch a := arg.(type) {
	case Message:
		return p.Text(a)
	case Screener:
		return a.Screen(p.mark)
	case string:
		return a
	}
	return fmt.Sprint(arg)
}

// Described gives the word of an id and a description of the same thing, and
// the description alone where it holds the word itself.
func (p *Printer) Described(id, description string) string {
	word := p.Say(id)
	if strings.Contains(strings.ToLower(description), strings.ToLower(word)) {
		return description
	}
	return word + ": " + description
}

// expand fills the places of text in.
func (p *Printer) expand(text string, args []any) string {
	var b strings.Builder
	for {
		before, rest, ok := strings.Cut(text, "{")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		place, after, ok := strings.Cut(rest, "}")
		if !ok {
			b.WriteString("{" + rest)
			return b.String()
		}
		b.WriteString(p.place(place, args))
		text = after
	}
}

// place renders what stands between braces: "0" or "0|piece|pieces".
func (p *Printer) place(place string, args []any) string {
	part := strings.Split(place, "|")
	n, err := strconv.Atoi(part[0])
	if err != nil || n < 0 || n >= len(args) {
		return "{" + place + "}"
	}
	shown := p.Show(args[n])
	if len(part) != 3 {
		return shown
	}
	if shown == "1" {
		return part[1]
	}
	return part[2]
}

// Fill renders every Message inside the value that v points to, through
// structs, slices, maps' values and pointers, so that encoding/json shows
// them in p's language.
func (p *Printer) Fill(v any) { p.fill(reflect.ValueOf(v)) }

var messageType = reflect.TypeFor[Message]()

func (p *Printer) fill(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			p.fill(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			p.fill(v.Index(i))
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			p.fill(v.MapIndex(key))
		}
	case reflect.Struct:
		if v.Type() == messageType {
			if m := v.Interface().(Message); v.CanSet() && !m.IsZero() {
				v.Set(reflect.ValueOf(m.Filled(p.Text(m))))
			}
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				p.fill(v.Field(i))
			}
		}
	}
}

// table is every message there is.
var table = join(
	orderTexts, orderSheetTexts, trayTexts, orderPageTexts, countTexts,
	countPageTexts, stocktakeTexts,
	openDeliveryTexts,
	importTexts,
	intakeTexts,
	kitTexts, rubberTexts, usualTexts, auditTexts,
	commonTexts, roleTexts, measureTexts, storeTexts, catalogTexts, inventoryTexts, ledgerTexts, takeTexts, reorderTexts,
	gs1Texts, scannerTexts, pageFileTexts, watchTexts, sheetTexts, labelTexts, searchTexts, shopTexts, tableTexts, cliTexts, webTexts, demoTexts,
	addTexts, forkTexts, fitTexts, xrefTexts, claimTexts, pageTexts, identifyTexts, complaintTexts, complaintPageTexts)

// join puts the rooms' texts together; an id that stands in two rooms is a
// defect that stops the program at once.
func join(rooms ...texts) texts {
	all := texts{}
	for _, room := range rooms {
		for id, text := range room {
			if _, twice := all[id]; twice {
				panic("words: message id in two rooms: " + id)
			}
			all[id] = text
		}
	}
	return all
}

// IDs lists every message id, sorted.
func IDs() []string { return slices.Sorted(maps.Keys(table)) }
