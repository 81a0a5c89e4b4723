package inventory

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"forkstock/internal/fault"
)

// A message comes back as it was kept: its id, numbers as numbers, messages in
// messages. What is neither is kept as its text.
func TestPacked(t *testing.T) {
	for _, tt := range []struct{ keep, want fault.Message }{
		{fault.Message{}, fault.Message{}},
		{fault.Say("a"), fault.Say("a")},
		{fault.Say("a", "x\"}{", 7, int64(-8)), fault.Say("a", "x\"}{", int64(7), int64(-8))},
		{fault.Say("a", fault.Say("b", fault.Say("c", 1))), fault.Say("a", fault.Say("b", fault.Say("c", int64(1))))},
		{fault.Say("a", true), fault.Say("a", "true")},
	} {
		text, err := packed(tt.keep)
		if err != nil {
			t.Fatal(err)
		}
		got, err := unpacked(text)
		if diff := cmp.Diff(tt.want, got, cmpopts.IgnoreUnexported(fault.Message{})); err != nil || diff != "" {
			t.Errorf("%s: %v (-want +got):\n%s", text, err, diff)
		}
	}
	for _, text := range []string{"{", "7", `{"id":"a","args":[true]}`, `{"id":"a","args":[{"id":7}]}`} {
		if _, err := unpacked(text); err == nil {
			t.Errorf("%s was taken for a message", text)
		}
	}
}
