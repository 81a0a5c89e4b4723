package shop_test

import (
	"strings"
	"testing"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
)

// lots gives the numbers of the lots of a part, as they should be used.
func lots(t *testing.T, s *shop.Shop, part string) (all []shop.StockLine) {
	t.Helper()
	out, err := s.Stock(t.Context(), part, "")
	if err != nil {
		t.Fatal(err)
	}
	return out.Lines
}

// arrive links a code to a part and takes so many packs in.
func arrive(t *testing.T, s *shop.Shop, delivery, part string) {
	t.Helper()
	code := strings.ReplaceAll(part, "-", "")
	if _, err := s.Link(t.Context(), shop.LinkRequest{Code: code, Part: part, Pieces: 1}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Receive(t.Context(), shop.Intake{Delivery: delivery, Lines: strings.NewReader(code)}); err != nil {
		t.Fatal(err)
	}
}

// ISO 2230:2002, as two secondary pages print it: NBR 7 years and 3 more, FKM
// 10 and 5. Counted from the end of the quarter: common practice, no source.
func TestAging(t *testing.T) {
	s, c := newShop(t)
	sealed(t, s)
	arrive(t, s, "d1", "KB-39")
	arrive(t, s, "d2", "KB-39")
	arrive(t, s, "d1", "PK-1")
	if all := lots(t, s, "KB-39"); len(all) != 2 || all[0].Lot != 1 || all[0].Cure != "" || all[0].AgesBy != "" || !all[0].Age.IsZero() {
		t.Errorf("without a cure date: %+v", all)
	}
	for lot, cure := range map[int64]string{1: "1Q25", 2: "3Q24", 3: "3Q18"} {
		if _, err := s.ChangeLot(t.Context(), lot, cure); err != nil {
			t.Fatal(err)
		}
	}
	// What was cured first is used first, whenever it came.
	all := lots(t, s, "KB-39")
	if all[0].Lot != 2 || all[0].AgesBy != "2034-09-30" || all[0].Group != "C" || all[1].Lot != 1 {
		t.Errorf("by cure date: %+v", all)
	}
	// A kit ages with the shortest of its elastomers: NBR, not FKM.
	for day, want := range map[string]string{"2025-09-30": "rubber.use_by", "2025-10-01": "rubber.inspect", "2028-09-30": "rubber.inspect", "2028-10-01": "rubber.old"} {
		now, err := time.Parse(time.DateOnly, day)
		if err != nil {
			t.Fatal(err)
		}
		c.now = now.Add(12 * time.Hour)
		if kit := lots(t, s, "PK-1")[0]; kit.AgesBy != "2025-09-30" || kit.Group != "B" || kit.Age.ID != want {
			t.Errorf("on %s: %+v, want %s", day, kit.Aging, want)
		}
	}
	// The day begins at the shop's midnight: in Vienna it is October already.
	c.now = time.Date(2025, 9, 30, 22, 30, 0, 0, time.UTC)
	if page, err := s.PartPage(t.Context(), "PK-1"); err != nil || page.Aged.IsZero() {
		t.Errorf("half an hour into October: %+v, %v", page.Aged, err)
	}
	// Age never blocks; an unknown elastomer is never fine.
	if _, err := s.Move(t.Context(), shop.MoveRequest{Kind: "issue", Part: "PK-1", Amount: 1}); err != nil {
		t.Error(err)
	}
	if _, err := s.ChangePart(t.Context(), "KB-39", shop.PartFacts{Elastomer: p("")}); err != nil {
		t.Fatal(err)
	}
	if l := lots(t, s, "KB-39")[0]; l.Age.ID != "rubber.unknown" || l.AgesBy != "" {
		t.Errorf("of nobody knows what: %+v", l.Aging)
	}
	if page, err := s.PartPage(t.Context(), "PK-1"); err != nil || page.Elastomer != "?, NBR" {
		t.Errorf("the kit is of %q, %v", page.Elastomer, err)
	}
}

func TestChangeLotRefuses(t *testing.T) {
	s, _ := newShop(t)
	sealed(t, s)
	arrive(t, s, "d1", "KB-39")
	for _, tt := range []struct {
		lot  int64
		cure string
		kind fault.Kind
	}{
		{9, "1Q25", fault.NotFound},
		{1, "1Q26", ""}, // today's quarter
		{1, "2Q26", fault.Invalid},
		{1, "3/25", fault.Ambiguous},
		{1, "then", fault.Invalid},
		{1, "", ""},
	} {
		if _, err := s.ChangeLot(t.Context(), tt.lot, tt.cure); fault.KindOf(err) != tt.kind {
			t.Errorf("lot %d cured %q: %v, want %s", tt.lot, tt.cure, err, tt.kind)
		}
	}
	// Two lots of a delivery do not become one unasked.
	if _, err := s.ChangeLot(t.Context(), 1, "1Q25"); err != nil {
		t.Fatal(err)
	}
	arrive(t, s, "d1", "KB-39")
	if all := lots(t, s, "KB-39"); len(all) == 2 {
		if _, err := s.ChangeLot(t.Context(), 2, "1Q25"); fault.KindOf(err) != fault.Conflict {
			t.Errorf("the same lot twice: %v", err)
		}
	} else {
		t.Errorf("lots: %+v", all)
	}
}
