package fault

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"testing"
)

func TestKindOf(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want Kind
	}{
		{nil, ""},
		{io.EOF, Internal},
		{New(Short, "x"), Short},
		{fmt.Errorf("receive d1 line 3: %w", New(NotFound, "bin", "A-1")), NotFound},
		{New(Busy, "x").WithCause(New(Full, "y")), Busy},
	} {
		if got := KindOf(tt.err); got != tt.want {
			t.Errorf("KindOf(%v) = %q, want %q", tt.err, got, tt.want)
		}
	}
}

func TestOf(t *testing.T) {
	if got := Of(nil); got != nil {
		t.Errorf("Of(nil) = %v, want nil", got)
	}
	e := Of(io.EOF)
	if e.Kind != Internal || e.Hint.IsZero() || !errors.Is(e, io.EOF) {
		t.Errorf("Of(io.EOF) = %+v, want Internal with a hint and its cause", e)
	}
	inner := New(Short, "x").WithHint("h", 2)
	if got := Of(fmt.Errorf("issue: %w", inner)); got != inner {
		t.Errorf("Of(wrapped) = %v, want the error inside", got)
	}
}

func TestMessageJSON(t *testing.T) {
	got, err := json.Marshal(struct {
		Why  Message `json:"why,omitzero"`
		None Message `json:"none,omitzero"`
	}{Why: Say("a", 1).Filled("one piece")})
	if err != nil || string(got) != `{"why":"one piece"}` {
		t.Errorf("Marshal = %s, %v", got, err)
	}
	if got := Say("short", 3, "A-1").String(); got != "short 3 A-1" {
		t.Errorf("unrendered String() = %q", got)
	}
}

// The keys are those of the contract (DEVELOPERS.md, Errors): hint is always
// there, candidates only where there are some, the cause never.
func TestErrorJSON(t *testing.T) {
	bare := New(NotFound, "x").WithCause(io.EOF)
	bare.Message = bare.Message.Filled("there is no x")
	full := New(Ambiguous, "y").WithHint("h")
	full.Candidates = []Candidate{{Name: "a/b", Tell: Say("t").Filled("red"), Command: "do a/b"}, {Name: "c"}}
	for _, tt := range []struct {
		err  *Error
		want string
	}{
		{bare, `{"kind":"notfound","message":"there is no x","hint":""}`},
		{full, `{"kind":"ambiguous","message":"y","hint":"h","candidates":[{"name":"a/b","tell_apart":"red","command":"do a/b"},{"name":"c"}]}`},
	} {
		if got, err := json.Marshal(tt.err); err != nil || string(got) != tt.want {
			t.Errorf("Marshal(%v) = %s, %v, want %s", tt.err, got, err, tt.want)
		}
	}
}
