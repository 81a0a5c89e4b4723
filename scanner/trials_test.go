//go:build trials

package scanner

import (
	"bufio"
	"context"
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// The photos come with the module that decodes; what they say is in its own
// tests. ../../shared is only there where the long trials run.
func TestTrialPhotos(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/makiuchi-d/gozxing").Output()
	if err != nil {
		t.Fatal(err)
	}
	list, err := os.Open("../../shared/bench/barcodes/photos.tsv")
	if err != nil {
		t.Fatal(err)
	}
	defer list.Close()
	var c tally
	for in := bufio.NewScanner(list); in.Scan(); {
		if strings.HasPrefix(in.Text(), "#") {
			continue
		}
		f := strings.Split(in.Text(), "\t")
		var want string
		if err := json.Unmarshal([]byte(f[2]), &want); err != nil {
			t.Fatal(err)
		}
		c.read(t, filepath.Join(strings.TrimSpace(string(dir)), f[0]), f[1], want)
	}
	t.Logf("photos: %+v", c)
}

// Photos of symbologies that are not read here must give nothing.
func TestTrialForeign(t *testing.T) {
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/makiuchi-d/gozxing").Output()
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, folder := range []string{"aztec/testdata", "oned/rss/testdata", "oned/testdata/codabar", "oned/testdata/code93"} {
		root := filepath.Join(strings.TrimSpace(string(dir)), folder)
		err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".png") {
				return err
			}
			data, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			p, err := Read(context.Background(), data)
			n++
			for _, s := range p.Symbols {
				t.Errorf("%s: read %s %q", strings.TrimPrefix(path, root), s.Symbology, s.Text)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 70 {
		t.Errorf("%d photos, want 70", n)
	}
}

func TestTrialLabels(t *testing.T) {
	data, err := os.ReadFile("../../shared/checks/barcodes/manifest.json")
	if err != nil {
		t.Fatal(err)
	}
	var m struct {
		Items []struct{ File, Sym, Data string }
	}
	if err := json.Unmarshal(data, &m); err != nil {
		t.Fatal(err)
	}
	for _, item := range m.Items {
		data, err := os.ReadFile("../../shared/checks/barcodes/" + item.File)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Read(context.Background(), data)
		t.Logf("%s %s %q: %v %+v", item.File, item.Sym, item.Data, err, p.Symbols)
	}
}

type tally struct{ Right, Wrong, Unread, Told, Twice int }

func (c *tally) read(t *testing.T, path, symbology, want string) {
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Read(context.Background(), data)
	if err != nil {
		t.Errorf("%s: %v", path, err)
	}
	if right := len(p.Symbols) > 0; right && len(p.Unread) > 0 {
		c.Told++
		t.Logf("told %s: %v", path, p.Unread)
	}
	right := false
	for _, s := range p.Symbols {
		switch {
		case right && s.Text == want:
			c.Twice++
			t.Logf("TWICE %s: %s %q at %v", path, s.Symbology, s.Text, s.Bounds())
		case s.Text == want || strings.TrimRight(s.Text, "\n") == want:
			right = true
		default:
			c.Wrong++
			t.Logf("WRONG %s: %s %q, want %s %q", path, s.Symbology, s.Text, symbology, want)
		}
	}
	if right {
		c.Right++
	} else {
		c.Unread++
		t.Logf("unread %s %s: %q; refused %+v", symbology, path, want, p.Refused)
	}
}

// TestTrialMade reads pictures made elsewhere: BARCODES names a folder with
// S.jsonl (one symbol each) and pages.jsonl (many).
func TestTrialMade(t *testing.T) {
	dir := os.Getenv("BARCODES")
	if dir == "" {
		t.Skip("BARCODES is not set")
	}
	one, many := map[string]*tally{}, &tally{}
	eachJSON(t, filepath.Join(dir, "S.jsonl"), func(line []byte) {
		var m struct{ Fmt, Deg, Path, Expected string }
		if err := json.Unmarshal(line, &m); err != nil {
			t.Fatal(err)
		}
		for _, name := range []string{m.Fmt, m.Deg, "all"} {
			if one[name] == nil {
				one[name] = &tally{}
			}
		}
		var c tally
		c.read(t, m.Path, m.Fmt, m.Expected)
		for _, name := range []string{m.Fmt, m.Deg, "all"} {
			one[name].Right += c.Right
			one[name].Wrong += c.Wrong
			one[name].Unread += c.Unread
		}
	})
	eachJSON(t, filepath.Join(dir, "pages.jsonl"), func(line []byte) {
		var m struct {
			Path     string
			Expected []string
		}
		if err := json.Unmarshal(line, &m); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(m.Path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Read(context.Background(), data)
		if err != nil {
			t.Error(err)
		}
		left := map[string]int{}
		for _, text := range m.Expected {
			left[text]++
		}
		for _, s := range p.Symbols {
			if left[s.Text]--; left[s.Text] < 0 {
				many.Wrong++
				t.Logf("WRONG %s: %q", m.Path, s.Text)
			} else {
				many.Right++
			}
		}
		for text, n := range left {
			if n > 0 {
				many.Unread += n
				t.Logf("unread %s: %q", m.Path, text)
			}
		}
	})
	for _, name := range slices.Sorted(maps.Keys(one)) {
		t.Logf("%-12s %+v", name, *one[name])
	}
	t.Logf("pages %+v", *many)
}

func eachJSON(t *testing.T, path string, do func(line []byte)) {
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		do(in.Bytes())
	}
}
