package inventory_test

import (
	"context"
	"errors"
	"image"
	"testing"

	"github.com/google/go-cmp/cmp"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

func (s *shelf) scan(scans ...inventory.Scan) (states []string) {
	s.must(func(ctx context.Context, tx *store.Tx) error {
		states = nil
		var all []inventory.Scan
		for i, sc := range scans {
			sc.Delivery, sc.Person = s.delivery.ID, s.person
			if sc.Text == "" {
				sc.Text = sc.Code
			}
			sc.Key = sc.Sheet + string(rune('a'+i))
			sc.Content = sc.Code
			got, _, err := inventory.Record(ctx, tx, sc)
			if err != nil {
				return err
			}
			all = append(all, got)
		}
		for _, sc := range all {
			if sc.State == inventory.ScanOpen {
				var err error
				if sc, err = inventory.Settle(ctx, tx, sc); err != nil {
					return err
				}
			}
			states = append(states, sc.State)
		}
		return nil
	})
	return states
}

func (s *shelf) link(code string, p catalog.Part, pieces int64) {
	s.must(func(ctx context.Context, tx *store.Tx) error {
		return catalog.LinkCode(ctx, tx, catalog.Link{Code: code, Part: p.ID, Pieces: pieces}, s.person, false)
	})
}

func (s *shelf) onHand(p catalog.Part) (n int64) {
	s.must(func(ctx context.Context, tx *store.Tx) (err error) {
		n, err = inventory.OnHand(ctx, tx, p.ID)
		return err
	})
	return n
}

func at(sheet, code string, x, y int) inventory.Scan {
	return inventory.Scan{Sheet: sheet, Code: code, Box: image.Rect(x, y, x+100, y+40)}
}

func element(sc inventory.Scan, batch string) inventory.Scan {
	sc.Symbology, sc.Text, sc.Batch = "gs1_datamatrix", "01"+sc.Code+"10"+batch, batch
	return sc
}

func typed(sheet, code string, line int) inventory.Scan {
	return inventory.Scan{Sheet: sheet, Code: code, Box: image.Rect(0, line, 0, line)}
}

func TestOnePackIsCountedOnce(t *testing.T) {
	const p, c, x = inventory.ScanPosted, inventory.ScanToConfirm, inventory.ScanUnknown
	for _, tt := range []struct {
		name  string
		scans []inventory.Scan
		want  []string
		pairs int64 // on hand of the seal after them, G for 2 pieces, M for 1
	}{
		{
			"equal symbols at two places are two packs",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "G", 400, 0)},
			[]string{p, p},
			4,
		},
		{
			"two codes on one bag",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "M", 0, 60)},
			[]string{p, c},
			2,
		},
		{
			"two bags with two codes each, in any order",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "M", 600, 60), at("1", "M", 0, 60), at("1", "G", 600, 0)},
			[]string{p, p, c, c},
			3,
		},
		{
			"two codes far apart in one picture are asked about",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "M", 900, 900)},
			[]string{p, c},
			2,
		},
		{
			"a bag with both, and a bag with one",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "M", 0, 60), at("1", "G", 900, 0)},
			[]string{p, c, p},
			4,
		},
		{
			"codes of different parts are not one pack",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "W", 0, 60)},
			[]string{p, p},
			2,
		},
		{
			"codes in different pictures are two packs",
			[]inventory.Scan{at("1", "G", 0, 0), at("2", "M", 0, 60)},
			[]string{p, p},
			3,
		},
		{
			"two codes one after the other by hand are asked about",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "M", 2)},
			[]string{p, c},
			2,
		},
		{
			"with another between they are two packs",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "W", 2), typed("s", "M", 3)},
			[]string{p, p, p},
			3,
		},
		{
			"each pack with both codes, by hand",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "M", 2), typed("s", "G", 3), typed("s", "M", 4)},
			[]string{p, c, p, c},
			4,
		},
		{
			"equal lines are two packs",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "G", 2)},
			[]string{p, p},
			4,
		},
		{
			"three codes on one bag",
			[]inventory.Scan{at("1", "G", 0, 0), at("1", "M", 0, 60), at("1", "N", 0, 120)},
			[]string{p, c, c},
			2,
		},
		{
			"three codes on one bag, by hand",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "M", 2), typed("s", "N", 3)},
			[]string{p, c, c},
			2,
		},
		{
			"a plain number beside an element string with it",
			[]inventory.Scan{at("1", "G", 0, 0), element(at("1", "G", 0, 60), "ONE")},
			[]string{p, c},
			2,
		},
		{
			"two element strings with other batches are two packs",
			[]inventory.Scan{element(at("1", "G", 0, 0), "ONE"), element(at("1", "G", 0, 60), "TWO")},
			[]string{p, p},
			4,
		},
		{
			"an unknown code waits",
			[]inventory.Scan{typed("s", "G", 1), typed("s", "?", 2)},
			[]string{p, x},
			2,
		},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := newShelf(t)
			s.link("G", s.seal, 2)
			s.link("M", s.seal, 1)
			s.link("N", s.seal, 1)
			s.link("W", s.wiper, 1)
			if diff := cmp.Diff(s.scan(tt.scans...), tt.want); diff != "" {
				t.Errorf("states (-got +want)\n%s", diff)
			}
			if got := s.onHand(s.seal); got != tt.pairs {
				t.Errorf("on hand %d, want %d", got, tt.pairs)
			}
			if diff := cmp.Diff(s.scan(tt.scans...), tt.want); diff != "" {
				t.Errorf("the same scans again (-got +want)\n%s", diff)
			}
			if got := s.onHand(s.seal); got != tt.pairs {
				t.Errorf("on hand after the same scans again %d, want %d", got, tt.pairs)
			}
			s.clean()
		})
	}
}

func TestLearntCodeOnACountedBag(t *testing.T) {
	s := newShelf(t)
	s.link("G", s.seal, 2)
	s.scan(at("1", "G", 0, 0), at("1", "M", 0, 60), at("2", "M", 0, 0))
	s.link("M", s.seal, 2)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.SettleCode(ctx, tx, "M")
		return err
	})
	if got := s.onHand(s.seal); got != 4 { // the bag of picture 1, and the one of picture 2
		t.Errorf("on hand %d, want 4", got)
	}
	for _, answer := range []struct {
		packs int
		want  int64
	}{{1, 4}, {2, 6}} { // the second answer brings back what the first took for the same pack
		s.must(func(ctx context.Context, tx *store.Tx) error {
			if err := catalog.SetPacks(ctx, tx, "M", "G", answer.packs); err != nil {
				return err
			}
			_, err := inventory.SettlePair(ctx, tx, "G", "M")
			return err
		})
		if got := s.onHand(s.seal); got != answer.want {
			t.Errorf("after the answer %d: on hand %d, want %d", answer.packs, got, answer.want)
		}
	}
	s.scan(at("3", "G", 0, 0), at("3", "M", 0, 60)) // two packs, by the last answer
	if got := s.onHand(s.seal); got != 10 {
		t.Errorf("with two packs to a pair of codes: on hand %d, want 10", got)
	}
	s.clean()
}

func TestTwoReadings(t *testing.T) {
	const ean8, upce = "00000001234565", "00012345000065"
	s := newShelf(t)
	if got := s.scan(typed("s", "01234565", 1)); got[0] != inventory.ScanUnknown {
		t.Fatalf("state %s, want unknown", got[0])
	}
	s.link(upce, s.seal, 1)
	s.must(func(ctx context.Context, tx *store.Tx) error {
		_, err := inventory.SettleCode(ctx, tx, upce)
		return err
	})
	if got := s.onHand(s.seal); got != 1 {
		t.Errorf("on hand %d after the link, want 1", got)
	}
	s.link(ean8, s.wiper, 1)
	if got := s.scan(typed("t", "01234565", 1)); got[0] != inventory.ScanUnknown {
		t.Errorf("with both readings known: %s, want it to wait", got[0])
	}
}

func TestScanKeyIsKept(t *testing.T) {
	s := newShelf(t)
	record := func(content string) (repeated bool, err error) {
		err = s.try(func(ctx context.Context, tx *store.Tx) error {
			_, repeated, err = inventory.Record(ctx, tx, inventory.Scan{
				Key: "k", Content: content, Delivery: s.delivery.ID, Person: s.person, Text: content, Code: content, Sheet: "s",
			})
			return err
		})
		return repeated, err
	}
	for _, tt := range []struct {
		content  string
		repeated bool
		want     fault.Kind
	}{{"A", false, ""}, {"A", true, ""}, {"B", true, fault.Conflict}} {
		repeated, err := record(tt.content)
		if repeated != tt.repeated || fault.KindOf(err) != tt.want {
			t.Errorf("Record %s = %v, %v", tt.content, repeated, err)
		}
	}
}

func TestSessionBelongsToOneDelivery(t *testing.T) {
	s := newShelf(t)
	err := s.try(func(ctx context.Context, tx *store.Tx) error {
		other, err := inventory.DeliveryNamed(ctx, tx, "d2")
		return errors.Join(err, inventory.JoinSession(ctx, tx, "s1", s.delivery), inventory.JoinSession(ctx, tx, "s1", s.delivery),
			inventory.JoinSession(ctx, tx, "s1", other))
	})
	if fault.KindOf(err) != fault.Conflict {
		t.Errorf("a session of two deliveries = %v, want conflict", err)
	}
}
