//go:build trials

package scanner

import (
	"bufio"
	"bytes"
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"image"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"forkstock/internal/gs1"
)

// peersDir holds the readers of other make, built by scripts/setup from
// ../shared/bench/barcodes/peers.
const peersDir = "../.tools/peers"

// An exhibit is a picture that all readers are shown, decoded: a file of grey
// values (PGM), so that nobody is charged for unpacking it.
type exhibit struct {
	id, kind, harm string
	want           []string
	pgm            string
}

// An answer is what one reader made of one exhibit.
type answer struct {
	texts []string
	ms    float64 // processor time
}

// A rival reads exhibits; sees says which kinds it knows.
type rival struct {
	name string
	run  func(t *testing.T, set []exhibit) map[string]answer
	sees func(kind string) bool
}

// strongest is the reader that processor time is measured against.
const strongest = "zxing-wasm"

func rivals() []rival {
	all := func(string) bool { return true }
	matrix := func(kind string) bool { return kind == DataMatrix || kind == GS1DataMatrix || kind == "bare" }
	return []rival{
		{"forkstock", ours, all},
		{strongest, peer("node", beside+"bench/barcodes/peers/wasm.mjs", "hard", "0"), all},
		{"zxing-cpp", peer(peersDir+"/zxc", "hard", "0"), all},
		{"zbar", peer(peersDir+"/zbar", "0"), all},
		{"dmtx", peer(peersDir+"/dmtx", "0"), matrix},
	}
}

// ours reads with this package, on one thread as the others do.
func ours(t *testing.T, set []exhibit) map[string]answer {
	all := map[string]answer{}
	for _, e := range set {
		pic := readPGM(t, e.pgm)
		before := processorTime(t)
		found, err := Decode(context.Background(), pic, Options{ITFLengths: []int{10}})
		a := answer{ms: processorTime(t) - before}
		if err != nil {
			t.Errorf("%s: %v", e.id, err)
		}
		for _, s := range found {
			a.texts = append(a.texts, s.Text)
		}
		all[e.id] = a
	}
	return all
}

// peer runs a program of the list-in, lines-of-JSON-out protocol.
func peer(program string, args ...string) func(*testing.T, []exhibit) map[string]answer {
	return func(t *testing.T, set []exhibit) map[string]answer {
		var list, said strings.Builder
		for _, e := range set {
			fmt.Fprintf(&list, "%s\t%s\n", e.id, e.pgm)
		}
		cmd := exec.Command(program, args...)
		npm, _ := filepath.Abs(peersDir)
		cmd.Env = append(os.Environ(), "NPM_DIR="+npm)
		cmd.Stdin, cmd.Stderr = strings.NewReader(list.String()), &said
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("%s: %v (scripts/setup trials builds the peers)\n%s", program, err, said.String())
		}
		all := map[string]answer{}
		lines := bufio.NewScanner(bytes.NewReader(out))
		lines.Buffer(nil, 1<<24)
		for lines.Scan() {
			var r struct {
				ID  string
				MS  float64
				Res []struct{ Text string }
			}
			if err := json.Unmarshal(lines.Bytes(), &r); err != nil {
				t.Fatalf("%s: %v in %q", program, err, lines.Text())
			}
			a := answer{ms: r.MS}
			for _, s := range r.Res {
				text, err := hex.DecodeString(s.Text)
				if err != nil {
					t.Fatal(err)
				}
				a.texts = append(a.texts, string(text))
			}
			all[r.ID] = a
		}
		if len(all) != len(set) {
			t.Errorf("%s answered for %d of %d pictures\n%s", program, len(all), len(set), said.String())
		}
		return all
	}
}

// bare takes off what readers add to a text or write in their own way: FNC1,
// AIM identifiers, zeros in front of a GTIN, the long form of a UPC-E.
func bare(kind, text string) string {
	for _, front := range []string{"\xe8", "\x1d", "]C1", "]d2", "]Q3"} {
		text = strings.TrimPrefix(text, front)
	}
	text = strings.TrimRight(strings.ReplaceAll(text, "\x1d", ""), "\n")
	if kind == UPCE && len(text) == 8 {
		if long, ok := gs1.ExpandUPCE(text); ok {
			text = long
		}
	}
	if strings.Trim(text, "0123456789") == "" {
		text = strings.TrimLeft(text, "0")
	}
	return text
}

// judge counts one answer. Our own texts count as they are but for a line feed
// at the end, those of others without what bare takes off.
func judge(e exhibit, a answer, own bool) (c tally) {
	form := func(s string) string {
		if own {
			return strings.TrimRight(s, "\n")
		}
		return bare(e.kind, s)
	}
	left := map[string]int{}
	for _, w := range e.want {
		left[form(w)]++
	}
	for _, text := range a.texts {
		n, there := left[form(text)]
		switch {
		case n > 0:
			left[form(text)]--
			c.Right++
		case there:
			c.Twice++
		case !slices.Contains(seconds, text):
			c.Wrong++
		}
	}
	c.Unread = len(e.want) - c.Right
	return c
}

func writePGM(t *testing.T, path string, pic *image.Gray) {
	t.Helper()
	b := pic.Bounds()
	data := fmt.Appendf(nil, "P5\n%d %d\n255\n", b.Dx(), b.Dy())
	for y := b.Min.Y; y < b.Max.Y; y++ {
		at := pic.PixOffset(b.Min.X, y)
		data = append(data, pic.Pix[at:at+b.Dx()]...)
	}
	if err := os.WriteFile(path, data, 0o666); err != nil {
		t.Fatal(err)
	}
}

func readPGM(t *testing.T, path string) *image.Gray {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var w, h, most int
	if _, err := fmt.Sscanf(string(data[:min(40, len(data))]), "P5\n%d %d\n%d\n", &w, &h, &most); err != nil || most != 255 || len(data) < w*h {
		t.Fatalf("%s is no PGM of 255 shades: %v", path, err)
	}
	pic, err := Frame(w, h, w, data[len(data)-w*h:])
	if err != nil {
		t.Fatal(err)
	}
	return pic
}
