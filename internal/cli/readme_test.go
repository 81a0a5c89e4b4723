package cli_test

import (
	"os"
	"os/exec"
	"strings"
	"testing"
)

// The lines of the README's "Use it" work as they stand, in their order, on an
// empty shop. Building and serving are tested elsewhere.
func TestReadme(t *testing.T) {
	b, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, use, _ := strings.Cut(string(b), "\n## Use it\n")
	use, _, _ = strings.Cut(use, "\n## ")
	dir, ran := t.TempDir(), 0
	t.Setenv("FORKSTOCK_SHOP", "")
	for line := range strings.Lines(use) {
		command, ok := strings.CutPrefix(line, "    ")
		if !ok || strings.Contains(command, "go build") || strings.Contains(command, "forkstock serve") {
			continue
		}
		cmd := exec.Command("sh", "-c", strings.ReplaceAll(command, "./forkstock ", "forkstock "))
		cmd.Dir = dir
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("%s%v\n%s", command, err, out)
		}
		ran++
	}
	if ran < 8 {
		t.Errorf("%d commands found, want 8 or more", ran)
	}
}
