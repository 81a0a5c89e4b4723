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

// The long trials read photos that come with the module that decodes (what
// they say stands in its own tests, MIT licence), and material beside the
// project, without which they fail.
const beside = "../../shared/"

// tally counts pictures of one symbol: Wrong are texts that are not there,
// Twice symbols read once too often, Told places with bars and without text
// in a picture whose symbol was read.
type tally struct{ Right, Wrong, Twice, Unread, Told int }

func (c *tally) add(d tally) {
	c.Right += d.Right
	c.Wrong += d.Wrong
	c.Twice += d.Twice
	c.Unread += d.Unread
	c.Told += d.Told
}

// seconds are true texts of second labels in some photos, seen by eye.
var seconds = []string{"001EC947D49B", "001EC9476B0A"}

func read(t *testing.T, path string) Picture {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Read(context.Background(), data, Options{ITFLengths: []int{10}})
	if err != nil {
		t.Errorf("%s: %v", path, err)
	}
	return p
}

// one reads a picture with one symbol.
func one(t *testing.T, path, symbology, want string) (c tally) {
	p := read(t, path)
	for _, s := range p.Symbols {
		same := strings.TrimRight(s.Text, "\n") == strings.TrimRight(want, "\n")
		switch {
		case same && c.Right > 0:
			c.Twice++
			t.Logf("twice %s: %q", path, want)
		case same:
			c.Right++
		case !slices.Contains(seconds, s.Text):
			c.Wrong++
			t.Logf("wrong %s: %s %q, want %s %q", path, s.Symbology, s.Text, symbology, want)
		}
	}
	if c.Right == 0 {
		c.Unread++
		t.Logf("unread %s: %s %q, refused %+v", path, symbology, want, p.Refused)
	} else if len(p.Unread) > 0 {
		c.Told++
	}
	return c
}

func photos(t *testing.T) string {
	t.Helper()
	dir, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", "github.com/makiuchi-d/gozxing").Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(dir))
}

func eachLine(t *testing.T, path string, do func(line string)) {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		if !strings.HasPrefix(in.Text(), "#") {
			do(in.Text())
		}
	}
}

func TestTrialPhotos(t *testing.T) {
	const leastRight = 238
	dir := photos(t)
	var c tally
	eachLine(t, beside+"bench/barcodes/photos.tsv", func(line string) {
		f := strings.Split(line, "\t")
		var want string
		if err := json.Unmarshal([]byte(f[2]), &want); err != nil {
			t.Fatal(err)
		}
		c.add(one(t, filepath.Join(dir, f[0]), f[1], want))
	})
	t.Logf("photos: %+v", c)
	if c.Right < leastRight || c.Wrong > 0 || c.Twice > 0 {
		t.Errorf("%+v, want at least %d right, none wrong or twice", c, leastRight)
	}
}

// Photos of symbologies that are not read here must give nothing.
func TestTrialForeign(t *testing.T) {
	n := 0
	for _, folder := range []string{"aztec/testdata", "oned/rss/testdata", "oned/testdata/codabar", "oned/testdata/code93"} {
		root := filepath.Join(photos(t), folder)
		err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".png") {
				return err
			}
			n++
			for _, s := range read(t, path).Symbols {
				t.Errorf("%s: read %s %q", strings.TrimPrefix(path, root), s.Symbology, s.Text)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if n < 80 {
		t.Errorf("%d photos, want 80", n)
	}
}

// Labels made with zint; the texts are what was given to it, with the check
// digits that it printed.
func TestTrialLabels(t *testing.T) {
	for file, want := range map[string]string{
		"ean13.png": "ean13 9520123456788", "ean8.png": "ean8 95012346", "upca.png": "upca 012345678905",
		"upce.png": "upce 00123457", "itf14.png": "itf 19520123456785",
		"gs1-128_gtin_lot_exp.png":   "gs1_128 01095201234567881731120010L7-A/9",
		"gs1-128_lot_then_count.png": "gs1_128 010952012345678810ABC123\x1d3024",
		"gs1-128_sscc.png":           "gs1_128 00395201234560000123",
		"gs1_dm.png":                 "gs1_datamatrix 01095201234567881730053110B42\x1d21S0001",
		"gs1_qr.png":                 "gs1_qr 010952012345678810B42\x1d240SEAL-39-52-11",
		"dl_qr.png":                  "qr https://id.example.test/01/09520123456788/10/B42?17=300531",
		"dl_dm.png":                  "datamatrix https://id.example.test/01/09520123456788",
		"code39_plain.png":           "code39 FS-39-52-11", "code39_mod43.png": "code39 ABC12340",
		"code128_bin.png": "code128 BIN-A-03-2", "code128_mixed.png": "code128 0391-SEAL",
	} {
		p := read(t, beside+"checks/barcodes/"+file)
		if len(p.Symbols) != 1 || p.Symbols[0].Symbology+" "+p.Symbols[0].Text != want {
			t.Errorf("%s: %+v, want %q", file, p.Symbols, want)
		}
	}
}

// TestTrialMade reads pictures made elsewhere: BARCODES names a folder with
// S.jsonl (pictures of one symbol: fmt, deg, path, expected) and pages.jsonl
// (of many: path, expected).
func TestTrialMade(t *testing.T) {
	dir := os.Getenv("BARCODES")
	if dir == "" {
		t.Skip("BARCODES is not set")
	}
	by := map[string]*tally{"all": {}, "pages": {}}
	eachLine(t, filepath.Join(dir, "S.jsonl"), func(line string) {
		var m struct{ Fmt, Deg, Path, Expected string }
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			t.Fatal(err)
		}
		c := one(t, m.Path, m.Fmt, m.Expected)
		for _, name := range []string{m.Fmt, m.Deg, "all"} {
			if by[name] == nil {
				by[name] = &tally{}
			}
			by[name].add(c)
		}
	})
	eachLine(t, filepath.Join(dir, "pages.jsonl"), func(line string) {
		var m struct {
			Path     string
			Expected []string
		}
		if err := json.Unmarshal([]byte(line), &m); err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range read(t, m.Path).Symbols {
			got = append(got, s.Text)
		}
		missing, extra := compare(got, m.Expected)
		if len(missing)+len(extra) > 0 {
			t.Logf("%s: unread %q, wrong or twice %q", m.Path, missing, extra)
		}
		by["pages"].add(tally{Right: len(m.Expected) - len(missing), Wrong: len(extra), Unread: len(missing)})
	})
	for _, name := range slices.Sorted(maps.Keys(by)) {
		t.Logf("%-12s %+v", name, *by[name])
	}
	if by["all"].Wrong+by["all"].Twice+by["pages"].Wrong > 0 {
		t.Error("some were read wrong or twice")
	}
}
