// Package fault holds the kinds of error that forkstock tells apart, and the
// messages that errors and explanations are made of.
//
// A message is an id with arguments, never finished text: internal/words
// renders it at the edge (command line, page, sheet) in the shop's language.
// A kind says what a caller may do about an error; the command line turns it
// into an exit code, the pages turn it into an HTTP status. Both tables stand
// there, not here.
//
// Non-goals: logging, stack traces, rendering.
package fault

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// Kind tells what sort of thing went wrong.
type Kind string

// The kinds. Their names are part of the contract: JSON shows them as they
// stand here, in every language.
const (
	Invalid   Kind = "invalid"   // bad input, wrong use
	NotFound  Kind = "notfound"  // a named part, fork, bin, order or shop that does not exist
	Ambiguous Kind = "ambiguous" // more than one fits; candidates are listed, none is picked
	Conflict  Kind = "conflict"  // refused by the state of the stock or of an order
	Short     Kind = "short"     // fewer on hand than asked for
	NoLogin   Kind = "nologin"   // no login
	Denied    Kind = "denied"    // lesser role, or no permission on a file
	Busy      Kind = "busy"      // the shop's files are locked by another program
	Damaged   Kind = "damaged"   // a broken file, or one of a newer version
	Full      Kind = "full"      // the disk is full
	Internal  Kind = "internal"  // a defect of forkstock
)

// A Message is something to tell the user: an id of the message table in
// internal/words and the arguments that its text refers to as {0}, {1}, ...
// An argument is a string, an integer, a fmt.Stringer or another Message.
// The zero Message says nothing.
type Message struct {
	ID   string
	Args []any
	text string // rendered, once words has filled it in
}

// Say makes a Message.
func Say(id string, args ...any) Message { return Message{ID: id, Args: args} }

// Plain makes a Message that reads the same in every language: a name, a
// number, text that the user typed.
func Plain(text string) Message { return Message{ID: "plain", Args: []any{text}} }

// IsZero reports whether m says nothing. JSON has null for it, and leaves
// fields out with omitzero.
func (m Message) IsZero() bool { return m.ID == "" }

// Filled returns m with its rendered text, as MarshalJSON and String give it.
func (m Message) Filled(text string) Message {
	m.text = text
	return m
}

// String gives the rendered text, or the bare id and arguments where nobody
// has rendered the message (in a log).
func (m Message) String() string {
	if m.text != "" || m.ID == "" {
		return m.text
	}
	var b strings.Builder
	b.WriteString(m.ID)
	for _, a := range m.Args {
		fmt.Fprintf(&b, " %v", a)
	}
	return b.String()
}

// MarshalJSON writes the rendered text as a JSON string; null where m says
// nothing.
func (m Message) MarshalJSON() ([]byte, error) {
	if m.IsZero() {
		return []byte("null"), nil
	}
	return json.Marshal(m.String())
}

// A Candidate is one of several things that a request could have meant.
type Candidate struct {
	Name    string  `json:"name"`
	Tell    Message `json:"tell_apart,omitzero"` // how to tell it from the others
	Command string  `json:"command,omitempty"`   // the exact command that means this one
}

// Error is every error that leaves a package of forkstock.
type Error struct {
	Kind       Kind
	Message    Message     // what happened, one line
	Hint       Message     // what to do about it, if anything
	Candidates []Candidate // for Ambiguous
	Err        error       // the cause, for the log and for errors.Is
}

// New makes an Error of a kind; id and args are those of its Message.
func New(kind Kind, id string, args ...any) *Error {
	return &Error{Kind: kind, Message: Say(id, args...)}
}

// WithHint adds what to do, and returns e.
func (e *Error) WithHint(id string, args ...any) *Error {
	e.Hint = Say(id, args...)
	return e
}

// WithCause adds the error behind e, and returns e.
func (e *Error) WithCause(err error) *Error {
	e.Err = err
	return e
}

// Error gives kind, message and cause for a log; users read the rendered
// Message and Hint instead.
func (e *Error) Error() string {
	s := string(e.Kind) + ": " + e.Message.String()
	if e.Err != nil {
		s += ": " + e.Err.Error()
	}
	return s
}

// MarshalJSON writes what a program may read of e: kind, message and hint ("" for
// none), candidates where there are any, never the cause.
func (e *Error) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Kind       Kind        `json:"kind"`
		Message    string      `json:"message"`
		Hint       string      `json:"hint"`
		Candidates []Candidate `json:"candidates,omitempty"`
	}{e.Kind, e.Message.String(), e.Hint.String(), e.Candidates})
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// KindOf gives the kind of the outermost *Error in err's chain: Internal
// where there is none, "" for nil.
func KindOf(err error) Kind {
	if err == nil {
		return ""
	}
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Kind
	}
	return Internal
}

// Of gives err as an *Error, wrapping a stranger as Internal. Of(nil) is nil.
func Of(err error) *Error {
	if err == nil {
		return nil
	}
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	return New(Internal, "internal").WithHint("internal.hint").WithCause(err)
}
