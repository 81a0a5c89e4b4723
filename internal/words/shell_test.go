package words

import (
	"os/exec"
	"testing"
)

// A shell gives back every word as it was.
func TestShellWord(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []string{"AB-12.3/x", "", "it's", "`id`$HOME", "two words", "a\x1db\nc", `\'`, "-x", "Größe", `"q"`, "*", "~"} {
		out, err := exec.Command(bash, "-c", "printf %s "+ShellWord(s)).Output()
		if err != nil || string(out) != s {
			t.Errorf("a shell takes %s as %q, %v, want %q", ShellWord(s), out, err, s)
		}
	}
}
