package shop_test

import (
	"bytes"
	"context"
	"image/png"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// labelled are the parts of labelShop, by number.
var labelled = []string{"KB-39", "KB-41", "W-10", "BB 10", "O-5", "X-1"}

// labelShop is a shop with parts of many kinds and two bins.
func labelShop(t *testing.T, language string) *shop.Shop {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "shop")
	c := &clock{time.Date(2026, 11, 28, 9, 0, 0, 0, time.UTC)}
	opt := shop.Options{Clock: c.read}
	if err := shop.Init(t.Context(), dir, shop.Settings{Zone: "Europe/Vienna", Currency: "EUR", Language: language, Person: "Mika"}, opt); err != nil {
		t.Fatal(err)
	}
	s, err := shop.Open(t.Context(), dir, opt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		a, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: "A-03-2", Kind: "shelf"})
		if err != nil {
			return err
		}
		if _, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: "WERKSTATT-REGAL-03.12-AB", Kind: "shelf"}); err != nil {
			return err
		}
		for _, p := range []catalog.Part{
			{Number: "KB-39", Role: catalog.OilSeal, Size: measure.Size{Inner: 39000, Outer: 52000, Height: 11000}, HomeBin: a.ID},
			{Number: "KB-41", Role: "lower_bushing", Size: measure.Size{Inner: 41000, Outer: 43500, Height: 12500}},
			{Number: "W-10", Role: catalog.BottomWasher, Size: washerSize},
			{Number: "BB 10", Role: catalog.BottomBolt, Thread: "M10x1.25", Size: measure.Size{Height: 30000}},
			{Number: "O-5", Role: catalog.Oil, Unit: catalog.Millilitre, Description: "Gabelöl, Dämpferrohr, 1 L"},
			{Number: "X-1", Role: catalog.Other, Description: "Öltrichter mit einem sehr langen Namen für schräge Gabeln"},
		} {
			p.Maker = "Tolmek"
			if p.Unit == "" {
				p.Unit = catalog.Piece
			}
			p, err := catalog.AddPart(ctx, tx, p)
			if err != nil {
				return err
			}
			if p.Unit == catalog.Millilitre {
				if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: "09520123456788", Part: p.ID, Pieces: 1000}, person(ctx, t, tx), false); err != nil {
					return err
				}
			}
		}
		return nil
	})
	return s
}

func labelsOf(how shop.LabelSheet) shop.LabelRequest {
	return shop.LabelRequest{LabelSheet: how, Parts: labelled, AllBins: true}
}

// texts gives what stands on labels, by part or bin.
func texts(out shop.Labelled) map[string]string {
	all := map[string]string{}
	for _, l := range out.Labels {
		all[l.Name()] = l.Text
	}
	return all
}

// Each part and bin gets one number, which scanning finds; asking again gives
// the same labels, to the byte, and no new numbers.
func TestLabel(t *testing.T) {
	s := labelShop(t, "de")
	if _, err := s.LabelAgain(t.Context(), labelsOf(shop.LabelSheet{})); fault.KindOf(err) != fault.Conflict {
		t.Errorf("labels without numbers, and without giving any: %v, want conflict", err)
	}
	out, err := s.Label(t.Context(), labelsOf(shop.LabelSheet{}))
	if err != nil {
		t.Fatal(err)
	}
	// Numbers in the order of the request: bins by name. The check digits are
	// those of TestOwn in internal/gs1; oil has its maker's.
	if diff := cmp.Diff(texts(out), map[string]string{
		"Tolmek/KB-39": "0400000000015", "Tolmek/KB-41": "0400000000022", "Tolmek/W-10": "0400000000039", "Tolmek/BB 10": "0400000000046",
		"Tolmek/O-5": "9520123456788", "Tolmek/X-1": "0400000000053", "A-03-2": "0400000000060", "INTAKE": "0400000000077",
		"WERKSTATT-REGAL-03.12-AB": "0400000000084",
	}); diff != "" {
		t.Errorf("(-got +want)\n%s", diff)
	}
	again, err := s.Label(t.Context(), labelsOf(shop.LabelSheet{}))
	if err != nil || !bytes.Equal(again.PDF, out.PDF) {
		t.Errorf("the same request gives another file: %v", err)
	}
	if slices.ContainsFunc(again.Labels, func(l shop.Label) bool { return l.New }) {
		t.Error("numbers were given twice")
	}
	read, err := s.LabelAgain(t.Context(), labelsOf(shop.LabelSheet{}))
	if err != nil || !bytes.Equal(read.PDF, out.PDF) {
		t.Errorf("without giving numbers: another file, %v", err)
	}
	if out.Count != 9 || out.Pages != 1 || !out.Usual || out.Code != "code128" || out.DPI != 600 {
		t.Errorf("made %+v", out)
	}
	found, err := s.Find(t.Context(), "0400000000022", 0)
	if err != nil || len(found.Parts) != 1 || found.Parts[0].Number != "KB-41" {
		t.Errorf("the number of a part finds %+v, %v", found.Parts, err)
	}
	found, err = s.Find(t.Context(), "0400000000060", 0)
	if err != nil || len(found.Parts) != 1 || found.Parts[0].Number != "KB-39" {
		t.Errorf("the number of a bin finds %+v, %v", found.Parts, err)
	}
	got := receive(t, s, "0400000000015")
	if len(got.Lines) != 1 || got.Lines[0].Number != "KB-39" || got.Lines[0].Amount != 1 || got.Lines[0].Bin != "A-03-2" {
		t.Errorf("received by its number: %+v", got.Lines)
	}
	moved, err := s.Move(t.Context(), shop.MoveRequest{Kind: inventory.Issue, Part: "0400000000015", Amount: 1, Bin: "0400000000060"})
	if err != nil || moved.Movements[0].Number != "KB-39" || moved.Movements[0].Bin != "A-03-2" {
		t.Errorf("issued by numbers: %+v, %v", moved, err)
	}
}

// A label for a pack of two has a number of its own, which counts two.
func TestLabelPieces(t *testing.T) {
	s := labelShop(t, "en")
	one, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"W-10"}})
	if err != nil {
		t.Fatal(err)
	}
	two, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"W-10"}, Pieces: 2})
	if err != nil || two.Labels[0].Text == one.Labels[0].Text {
		t.Fatalf("%+v, %v", two.Labels, err)
	}
	if got := receive(t, s, two.Labels[0].Text); got.Lines[0].Amount != 2 {
		t.Errorf("a label of two counts %d", got.Lines[0].Amount)
	}
}

// What came with a delivery or today, and what lies in a bin, gets its labels:
// one a part, or one a pack; what was undone gets none.
func TestLabelWhatCame(t *testing.T) {
	s := labelShop(t, "en")
	if _, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"KB-39", "W-10"}}); err != nil {
		t.Fatal(err)
	}
	receive(t, s, "0400000000015\n0400000000015\n0400000000022\n=3\n0400000000022")
	for _, q := range []shop.LabelRequest{{Delivery: "2026-11-28"}, {Today: true}} {
		out, err := s.Label(t.Context(), q)
		if err != nil || out.Count != 2 {
			t.Errorf("%+v: %d labels, %v, want one for each of two parts", q, out.Count, err)
		}
		q.Each = true
		if out, err = s.Label(t.Context(), q); err != nil || out.Count != 6 {
			t.Errorf("%+v: %d labels, %v, want 2 and 4", q, out.Count, err)
		}
		q.Copies = 2
		if out, err = s.Label(t.Context(), q); err != nil || out.Count != 12 {
			t.Errorf("%+v: %d labels, %v, want 4 and 8", q, out.Count, err)
		}
	}
	out, err := s.Label(t.Context(), shop.LabelRequest{Of: "a-03-2", Each: true})
	if err != nil || out.Count != 2 || out.Labels[0].Number != "KB-39" {
		t.Errorf("labels of a bin: %+v, %v", out.Labels, err)
	}
	ledger, err := s.Ledger(t.Context(), shop.LedgerRequest{Part: "KB-39"})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range ledger.Movements {
		if _, err := s.Undo(t.Context(), m.Posting, "", ""); err != nil {
			t.Fatal(err)
		}
	}
	if out, err = s.Label(t.Context(), shop.LabelRequest{Today: true, Each: true}); err != nil || out.Count != 4 || out.Labels[0].Number != "W-10" {
		t.Errorf("labels of what was not undone: %+v, %v", out.Labels, err)
	}
}

// The shop's usual sheet, code and printer are kept, and go before what is usual
// elsewhere.
func TestLabelSettings(t *testing.T) {
	s := labelShop(t, "en")
	set, err := s.SetSettings(t.Context(), shop.Change{Labels: "rolle 57x32", LabelCode: "qr", DPI: 300})
	if err != nil || set.Labels != "roll 57x32" {
		t.Fatalf("%+v, %v", set, err)
	}
	out, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"KB-39"}}) // without opening the shop again
	if err != nil || out.Sheet != "roll 57x32" || out.Code != "qr" || out.DPI != 300 || out.Usual {
		t.Errorf("printed %+v, %v", out, err)
	}
	for _, c := range []shop.Change{{Labels: "A4 3x8 71x37"}, {LabelCode: "morse"}, {DPI: 3}, {DPI: -300}} {
		if _, err := s.SetSettings(t.Context(), c); fault.KindOf(err) != fault.Invalid {
			t.Errorf("%+v: %v, want invalid", c, err)
		}
	}
}

func TestLabelRefuses(t *testing.T) {
	s := labelShop(t, "en")
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		_, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "O-6", Maker: "Tolmek", Role: catalog.Oil, Unit: catalog.Millilitre})
		return err
	})
	for _, tt := range []struct {
		q    shop.LabelRequest
		kind fault.Kind
	}{
		{shop.LabelRequest{}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-40"}}, fault.NotFound},
		{shop.LabelRequest{Bins: []string{"Z-9"}}, fault.NotFound},
		{shop.LabelRequest{Of: "INTAKE"}, fault.NotFound},
		{shop.LabelRequest{Today: true}, fault.NotFound},
		{shop.LabelRequest{Delivery: "yesterday"}, fault.NotFound},
		{shop.LabelRequest{Parts: []string{"O-6"}}, fault.Invalid}, // how much is in a bottle?
		{shop.LabelRequest{Parts: []string{"KB-39"}, Copies: -1}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, Copies: 2001}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39", "KB-41"}, Copies: 1001}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, Pieces: -2}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, LabelSheet: shop.LabelSheet{Code: "morse"}}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, LabelSheet: shop.LabelSheet{Module: "0.2"}}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, LabelSheet: shop.LabelSheet{Module: "wide"}}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, LabelSheet: shop.LabelSheet{Sheet: "roll 20x20"}}, fault.Invalid},
		{shop.LabelRequest{Parts: []string{"KB-39"}, LabelSheet: shop.LabelSheet{Start: 99}}, fault.Invalid},
	} {
		if out, err := s.Label(t.Context(), tt.q); fault.KindOf(err) != tt.kind {
			t.Errorf("%+v: %+v, %v, want %s", tt.q, out.Labels, err, tt.kind)
		}
	}
	// Nothing that was refused has used a number up.
	out, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"O-6"}, Pieces: 500})
	if err != nil || out.Labels[0].Text != "0400000000015" || out.Labels[0].Pieces != 500 {
		t.Errorf("%+v, %v, want the first number", out.Labels, err)
	}
}

// A bin is found by its name and by the code on its label, with what lies in it.
func TestBinPage(t *testing.T) {
	s := labelShop(t, "en")
	if _, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"KB-39"}, Bins: []string{"A-03-2"}}); err != nil {
		t.Fatal(err)
	}
	receive(t, s, "0400000000015")
	for _, name := range []string{"a-03-2", "0400000000022", "00400000000022"} {
		page, err := s.BinPage(t.Context(), name)
		if err != nil || page.Bin != "A-03-2" || page.Kind != "shelf" || page.Code != "00400000000022" || len(page.Lines) != 1 || page.Lines[0].Number != "KB-39" {
			t.Errorf("%s: %+v, %v", name, page, err)
		}
	}
	page, err := s.BinPage(t.Context(), "INTAKE")
	if err != nil || page.Code != "" || len(page.Lines) != 0 {
		t.Errorf("INTAKE: %+v, %v", page, err)
	}
	if _, err := s.BinPage(t.Context(), "0400000000015"); fault.KindOf(err) != fault.NotFound {
		t.Errorf("the code of a part: %v", err)
	}
}

// The label of a bin is no pack: what is scanned behind it goes into the bin,
// and the same lines again add nothing.
func TestReceiveBinLabel(t *testing.T) {
	s := labelShop(t, "en")
	if _, err := s.Label(t.Context(), shop.LabelRequest{Parts: []string{"KB-39", "W-10"}, AllBins: true}); err != nil {
		t.Fatal(err)
	}
	const seal, washer, shelf, intake = "0400000000015", "0400000000022", "0400000000039", "0400000000046"
	lines := strings.Join([]string{washer, shelf, washer, "=3", washer, intake, seal, seal}, "\n")
	for range 2 {
		got, err := s.Receive(t.Context(), shop.Intake{Session: "one", Bin: intake, Lines: strings.NewReader(lines)})
		if err != nil {
			t.Fatal(err)
		}
		in := map[string]int64{}
		for _, l := range got.Lines {
			in[l.Number+" "+l.Bin] += l.Amount
		}
		if diff := cmp.Diff(in, map[string]int64{"W-10 INTAKE": 1, "W-10 A-03-2": 4, "KB-39 INTAKE": 2}); diff != "" {
			t.Errorf("(-got +want)\n%s", diff)
		}
		if diff := cmp.Diff(got.Bins, []shop.BinSeen{{Bin: "A-03-2", Line: 2}, {Bin: "INTAKE", Line: 6}}); diff != "" {
			t.Errorf("bins (-got +want)\n%s", diff)
		}
		if len(got.Unknown) != 0 {
			t.Errorf("waits: %+v", got.Unknown)
		}
	}
	pic, err := scanner.Draw(scanner.QR, shelf, 3, 0)
	if err != nil {
		t.Fatal(err)
	}
	var file bytes.Buffer
	if err := png.Encode(&file, pic); err != nil {
		t.Fatal(err)
	}
	pictures := []shop.Picture{{Name: "shelf.png", Data: file.Bytes()}}
	got, err := s.Receive(t.Context(), shop.Intake{Pictures: pictures})
	if err != nil || len(got.Symbols) != 0 || len(got.Unknown) != 0 || !slices.Equal(got.Bins, []shop.BinSeen{{Bin: "A-03-2", Image: "shelf.png"}}) {
		t.Errorf("a picture of a bin's label: %+v, %v", got, err)
	}
	seen, err := s.Scan(t.Context(), pictures, "", nil)
	if err != nil || len(seen.Symbols) != 1 || seen.Symbols[0].Bin != "A-03-2" {
		t.Errorf("scanned: %+v, %v", seen, err)
	}
}

// The trial page is made for sheets and rolls alike, in the shop's language.
func TestLabelTrial(t *testing.T) {
	for _, language := range []string{"en", "de"} {
		s := labelShop(t, language)
		for _, lies := range []string{"", "Letter 2x2 100x100", "roll 57x32"} {
			pdf, err := s.LabelTrial(t.Context(), shop.LabelSheet{Sheet: lies})
			again, _ := s.LabelTrial(t.Context(), shop.LabelSheet{Sheet: lies})
			if err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Equal(pdf, again) {
				t.Errorf("%s, %q: %d bytes, %v", language, lies, len(pdf), err)
			}
		}
	}
	s := labelShop(t, "en")
	if _, err := s.LabelTrial(t.Context(), shop.LabelSheet{Sheet: "A4"}); fault.KindOf(err) != fault.Invalid {
		t.Errorf("no grid: %v", err)
	}
}
