//go:build trials

package scanner

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The long trials read photos that come with the module that decodes (what
// they say stands in its own tests, MIT licence), and material beside the
// project, without which they fail.
const beside = "../../shared/"

// tally counts symbols: Wrong are texts that are not there, Twice symbols read
// once too often.
type tally struct{ Right, Wrong, Twice, Unread int }

func (c *tally) add(d tally) {
	c.Right += d.Right
	c.Wrong += d.Wrong
	c.Twice += d.Twice
	c.Unread += d.Unread
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

// photosRare are the texts of photos of symbologies that are seldom met, by the
// tests of the module.
var photosRare = map[string]string{
	"codabar/01.png": "1234567890", "codabar/02.png": "1234567890", "codabar/03.png": "294/586", "codabar/04.png": "123455",
	"codabar/09.png": "12345", "codabar/10.png": "123456", "codabar/11.png": "3419500", "codabar/12.png": "31117013206375",
	"codabar/13.png": "12345", "codabar/14.png": "31117013206375", "codabar/15.png": "123456789012",
	"code93/1.png": "1234567890", "code93/2.png": "CODE 93", "code93/3.png": "DATA",
	// GS1 DataBar, as element strings; some of them are stacked, which is not read.
	"testdata/1_1.png": "0104412345678909", "testdata/1_2.png": "0100821935106427", "testdata/1_3.png": "0100075678164125",
	"testdata/1_4.png": "0120012345678909", "testdata/1_5.png": "0100034567890125", "testdata/1_6.png": "0100012345678905",
	"testdata/2_6.png": "0102001234567893", "testdata/2_7.png": "0102001234567893", "testdata/2_8.png": "0102001234567893",
	"testdata/2_13.png": "0102001234567893", "testdata/2_14.png": "0102001234567893", "testdata/2_20.png": "0100012345678905",
	"testdata/2_23.png": "0100012345678905", "testdata/2_24.png": "0100012345678905", "testdata/2_1.png": "0104412345678909",
	"testdata/2_2.png": "0104412345678909", "testdata/2_3.png": "0104412345678909", "testdata/2_4.png": "0104412345678909",
	"testdata/2_5.png": "0102001234567893", "testdata/2_9.png": "0102001234567893", "testdata/2_10.png": "0102001234567893",
	"testdata/2_11.png": "0102001234567893", "testdata/2_12.png": "0102001234567893", "testdata/2_15.png": "0102001234567893",
	"testdata/2_16.png": "0102001234567893", "testdata/2_17.png": "0102001234567893", "testdata/2_18.png": "0102001234567893",
	"testdata/2_19.png": "0102001234567893", "testdata/2_21.png": "0100012345678905", "testdata/2_22.png": "0100012345678905",
}

// Photos of symbologies that are not read here must give nothing, those of
// which are seldom met nothing wrong.
func TestTrialForeign(t *testing.T) {
	n, right := 0, 0
	for _, folder := range []string{"aztec/testdata", "oned/rss/testdata", "oned/testdata/codabar", "oned/testdata/code93"} {
		root := filepath.Join(photos(t), folder)
		err := filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".png") {
				return err
			}
			n++
			for _, s := range read(t, path).Symbols {
				if s.Text == photosRare[filepath.Base(folder)+"/"+d.Name()] {
					right++
					continue
				}
				t.Errorf("%s: read %s %q", strings.TrimPrefix(path, root), s.Symbology, s.Text)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	fmt.Printf("| %d photos of other symbologies, %d of %d of Codabar, Code 93 and GS1 DataBar right\n", n, right, len(photosRare))
	if n < 80 || right < 21 {
		t.Errorf("%d photos, %d of those of Codabar, Code 93 and GS1 DataBar right, want 80 and 21", n, right)
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
