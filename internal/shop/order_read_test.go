package shop_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/store"
	"forkstock/scanner"
)

// orderShop is a shop with ten orders: check digits of one and two figures.
func orderShop(t *testing.T, language string) *shop.Shop {
	t.Helper()
	s := labelShop(t, language)
	load(t, s, func(ctx context.Context, tx *store.Tx) error {
		for i := range 10 {
			name := fmt.Sprintf("Zweiradteile Halm & Söhne %d", i)
			if _, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: name, LeadDays: 3}); err != nil {
				return err
			}
		}
		return nil
	})
	for i := range 10 {
		_, err := s.OrderPart(t.Context(), fmt.Sprintf("Zweiradteile Halm & Söhne %d", i), shop.LineRequest{Part: "KB-39", Packs: 2, Unlisted: true})
		if err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// The label of every order reads back, as labels of parts do: by our scanner, and
// by zbar where it knows the code.
func TestOrderLabelsReadBack(t *testing.T) {
	wantPrograms(t)
	s := orderShop(t, "de")
	if _, err := s.PlaceOrder(t.Context(), "1", "", ""); err != nil {
		t.Fatal(err)
	}
	for _, code := range shop.LabelCodes {
		for _, lies := range []string{"A4 3x8 64x34 margin 7x12.5 gap 2x0", "roll 57x32"} {
			q := shop.LabelRequest{LabelSheet: shop.LabelSheet{Sheet: lies, Code: code, DPI: 203}}
			for n := range 10 {
				q.Orders = append(q.Orders, fmt.Sprint(n+1))
			}
			out, err := s.LabelAgain(t.Context(), q)
			if err != nil {
				t.Fatalf("%s, %s: %v", code, lies, err)
			}
			readBack(t, out, code+", "+lies)
		}
	}
	_, err := s.LabelAgain(t.Context(), shop.LabelRequest{Orders: []string{"99"}})
	if fault.KindOf(err) != fault.NotFound {
		t.Errorf("the label of no order: %v, want notfound", err)
	}
}

func wantPrograms(t *testing.T) {
	t.Helper()
	for _, program := range []string{"pdftoppm", "zbarimg"} {
		if _, err := exec.LookPath(program); err != nil {
			t.Skipf("%s is not installed: scripts/setup test", program)
		}
	}
}

// The bars of an order's sheet read back from the printed page, and name the order
// that they stand on, as the box of the pages and `receive --order` take it.
func TestOrderSheetReadsBack(t *testing.T) {
	wantPrograms(t)
	s := orderShop(t, "en")
	for _, name := range []string{"1", "10"} {
		pdf, err := s.OrderSheet(t.Context(), name, shop.OrderPDF, "Probe")
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.Order(t.Context(), name)
		if err != nil {
			t.Fatal(err)
		}
		for _, dpi := range []int{203, 300} {
			page := drawn(t, pdf, dpi)[0]
			data, err := os.ReadFile(page)
			if err != nil {
				t.Fatal(err)
			}
			pic, err := scanner.Read(t.Context(), data, scanner.Options{})
			if err != nil {
				t.Fatal(err)
			}
			var read []string
			for _, y := range pic.Symbols {
				read = append(read, y.Symbology+" "+y.Text)
			}
			if !slices.Equal(read, []string{scanner.Code128 + " " + want.Code}) {
				t.Errorf("order %s at %d dpi: we read %v, want %s", name, dpi, read, want.Code)
			}
			said, _ := exec.Command("zbarimg", "--quiet", "--raw", page).Output()
			if got := strings.TrimSpace(string(said)); got != want.Code {
				t.Errorf("order %s at %d dpi: zbar reads %q, want %s", name, dpi, got, want.Code)
			}
		}
		again, err := s.Order(t.Context(), want.Code)
		if err != nil || again.Number != want.Number || !shop.IsOrderCode(want.Code) {
			t.Errorf("%s names order %d, %v", want.Code, again.Number, err)
		}
	}
}

// A code whose digits do not agree is none: mod 10 with weights 3 and 1, as the
// GS1 General Specifications, 7.9.1, reckon it for their keys (ORDER-1-7 by hand:
// 1 x 3 = 3, to the next ten 7).
func TestOrderCode(t *testing.T) {
	for text, want := range map[string]bool{
		"ORDER-1-7": true, " order-1-7 ": true, "ORDER-12-3": true,
		"ORDER-1-8": false, "ORDER-1": false, "ORDER--7": false, "ORDER-1234567890-1": false, "ORDER-1-7X": false, "": false,
	} {
		if got := shop.IsOrderCode(text); got != want {
			t.Errorf("IsOrderCode(%q) = %v, want %v", text, got, want)
		}
	}
}
