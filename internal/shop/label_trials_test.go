//go:build trials

package shop_test

import (
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/internal/shop"
)

// Every label of every kind of code, on sheets and rolls of many sizes, reads
// back by zxing-wasm, label by label, as printers of 203 and 300 dots to the
// inch would print it.
func TestTrialLabels(t *testing.T) {
	s := labelShop(t, "de")
	var list strings.Builder
	want := map[string]string{}
	for _, code := range shop.LabelCodes {
		for _, lies := range []string{
			"A4 3x8 64x34 margin 7x12.5 gap 2x0", "A4 5x13 38.1x21.2 margin 4.75x10.7 gap 2.5x0", "Letter 3x10 2.625inx1in margin 3/16inx1/2in gap 1/8inx0",
			"A4 2x4 99x67.7 margin 4.65x13 gap 2.5x0", "roll 57x32", "roll 100x150", "roll 40x14",
		} {
			for _, dpi := range []int{203, 300} {
				out, err := s.Label(t.Context(), labelsOf(shop.LabelSheet{Sheet: lies, Code: code, DPI: dpi}))
				if err != nil {
					t.Errorf("%s, %s: %v", code, lies, err)
					continue
				}
				at := 0
				for n, page := range drawn(t, out.PDF, dpi) {
					data, err := os.ReadFile(page)
					if err != nil {
						t.Fatal(err)
					}
					for _, label := range cutOut(t, data, out, page, n) {
						id := fmt.Sprintf("%s, %s, %d dpi, label %d", code, lies, dpi, at)
						want[id] = out.Labels[at].Text
						fmt.Fprintf(&list, "%s\t%s\n", id, greyOf(t, label))
						at++
					}
				}
				if at != out.Count {
					t.Errorf("%s, %s: %d labels cut out, want %d", code, lies, at, out.Count)
				}
			}
		}
	}
	read := zxingWasm(t, list.String())
	for id, text := range want {
		if read[id] != text {
			t.Errorf("%s: zxing-wasm reads %q, want %q", id, read[id], text)
		}
	}
	t.Logf("%d labels", len(want))
}

// greyOf turns a picture into a file of grey values, as the peers read it.
func greyOf(t *testing.T, picture string) string {
	t.Helper()
	if said, err := exec.Command("convert", picture, "-colorspace", "Gray", "-depth", "8", picture+".pgm").CombinedOutput(); err != nil {
		t.Fatalf("convert: %v\n%s", err, said)
	}
	return picture + ".pgm"
}

// zxingWasm gives what the reader that scripts/setup trials installs reads in
// pictures: the texts of each, by its id.
func zxingWasm(t *testing.T, list string) map[string]string {
	t.Helper()
	cmd := exec.Command("node", "../../../shared/bench/barcodes/peers/wasm.mjs", "hard", "0")
	npm, err := filepath.Abs("../../.tools/peers")
	if err != nil {
		t.Fatal(err)
	}
	var said bytes.Buffer
	cmd.Env, cmd.Stdin, cmd.Stderr = append(os.Environ(), "NPM_DIR="+npm), strings.NewReader(list), &said
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("zxing-wasm: %v (scripts/setup trials installs it)\n%s", err, said.String())
	}
	read := map[string]string{}
	for line := range strings.Lines(string(out)) {
		var r struct {
			ID  string
			Res []struct{ Text string }
		}
		if err := json.Unmarshal([]byte(line), &r); err != nil {
			t.Fatalf("%v in %q", err, line)
		}
		var texts []string
		for _, s := range r.Res {
			text, err := hex.DecodeString(s.Text)
			if err != nil {
				t.Fatal(err)
			}
			texts = append(texts, string(text))
		}
		read[r.ID] = strings.Join(texts, " ")
	}
	return read
}
