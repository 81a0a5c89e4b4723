package demo_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/internal/demo"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/internal/table"
)

// open makes an empty shop.
func open(t *testing.T) *shop.Shop {
	t.Helper()
	dir := t.TempDir()
	opt := shop.Options{Clock: func() time.Time { return time.Date(2026, time.March, 4, 9, 0, 0, 0, time.UTC) }}
	set := shop.Settings{Zone: "Europe/Vienna", Currency: "EUR", Language: "en", Person: "Mika"}
	if err := shop.Init(t.Context(), dir, set, opt); err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// exportAll writes every kind of a shop to files, and gives their texts.
func exportAll(t *testing.T, s *shop.Shop, dir string) map[string]string {
	t.Helper()
	texts := map[string]string{}
	for _, kind := range shop.Exports {
		if kind == "movements" {
			continue
		}
		path := filepath.Join(dir, kind+".csv")
		err := table.StreamFile(path, func(w table.Writer) error { return s.ExportTo(t.Context(), kind, w.Write) })
		if err != nil {
			t.Fatalf("export %s: %v", kind, err)
		}
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		texts[kind] = string(text)
	}
	return texts
}

// importAll takes the files of every kind in, in the order of exchange.Kinds.
func importAll(t *testing.T, s *shop.Shop, dir string) map[string]shop.Imported {
	t.Helper()
	all := map[string]shop.Imported{}
	for _, kind := range shop.Exports {
		if kind == "movements" {
			continue
		}
		out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{filepath.Join(dir, kind+".csv")}})
		if err != nil {
			t.Fatalf("import %s: %v", kind, err)
		}
		for _, r := range out.Rejected {
			t.Errorf("%s:%d %s: %s %v", r.File, r.Line, r.Column, r.Why.ID, r.Why.Args)
		}
		all[kind] = out
	}
	return all
}

func lines(t *testing.T, text string) int {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader([]byte(text))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return len(rows) - 1
}

// What the demo shop gives out makes the same of an empty shop, and changes
// nothing in its own.
func TestExportThenImport(t *testing.T) {
	from := open(t)
	err := from.Load(t.Context(), func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		return demo.Fill(ctx, tx, who.ID, demo.Options{Seed: 1, End: time.Date(2026, time.March, 4, 0, 0, 0, 0, time.UTC)})
	})
	if err != nil {
		t.Fatal(err)
	}
	dir, again := t.TempDir(), t.TempDir()
	pastJobs(t, from)
	texts := exportAll(t, from, dir)
	for kind, c := range importAll(t, from, dir) {
		if c.Added+c.Changed > 0 {
			t.Errorf("%s into its own shop: %d added, %d changed", kind, c.Added, c.Changed)
		}
		if lines(t, texts[kind]) == 0 {
			t.Errorf("nothing of kind %s to try", kind)
		}
	}
	if !strings.Contains(texts["forks"], "wiper,both,1,always,yes") { // both shops could have lost it
		t.Error("a renewal that was told is not exported")
	}
	if !strings.Contains(texts["forks"], ",hexagon,46,M49x1.5,25,206,preload,damping,") {
		t.Error("what is seen and measured of a fork on the bike is not exported")
	}
	to := open(t)
	for kind, c := range importAll(t, to, dir) {
		if n := c.Added + c.Changed; n != lines(t, texts[kind]) {
			t.Errorf("%s into an empty shop: %d added, %d changed, %d unchanged", kind, c.Added, c.Changed, c.Unchanged)
		}
	}
	for kind, text := range exportAll(t, to, again) {
		if diff := cmp.Diff(text, texts[kind]); diff != "" {
			t.Errorf("%s differs (-again +first)\n%.2000s", kind, diff)
		}
	}
}

// pastJobs gives the demo shop what it has none of: jobs of former times, a
// number that was replaced, places whose renewal somebody told.
func pastJobs(t *testing.T, s *shop.Shop) {
	t.Helper()
	parts, err := s.Export(t.Context(), "parts")
	if err != nil {
		t.Fatal(err)
	}
	text := "job,day,number,maker,amount\n"
	for i := range 20 {
		p := parts[1+i*7]
		text += fmt.Sprintf("J%d,2024-0%d-17,%s,%s,%d\n", i/2, 1+i/2%9, p[0], p[1], 1+i%3)
	}
	for name, text := range map[string]string{
		"told.csv": "fork,leg,role,renew\nToldfork,41,oil_seal,always\nToldfork,,wiper,always\nToldfork,,clip,\n",
		"jobs.csv": text, "replaced.csv": "old number,maker,new number,both ways,since,reason,source\nA-1,Tolmek,A-2,yes,2019-05,other coating,list 7\n",
	} {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if out, err := s.Import(t.Context(), shop.ImportRequest{Files: []string{path}}); err != nil || out.Added != lines(t, text) {
			t.Fatalf("%s: %+v, %v", name, out, err)
		}
	}
}
