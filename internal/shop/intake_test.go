package shop_test

import (
	"context"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/shop"
	"forkstock/internal/store"
)

// What a code stands for can hold on one supplier's goods alone. How suppliers
// number and pack is common practice, no source; all of it is invented.
func TestLinkBySupplier(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	err := s.Load(ctx, func(ctx context.Context, tx *store.Tx, who shop.Actor) error {
		id := map[string]string{}
		for _, name := range []string{"Halm", "Nordal"} {
			v, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: name, LeadDays: 1})
			if err != nil {
				return err
			}
			id[name] = v.ID
		}
		p, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "KB-39", Maker: "Tolmek", Role: catalog.OilSeal, Unit: catalog.Piece})
		if err != nil {
			return err
		}
		link := func(supplier string, pieces int64) {
			if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: "1001", Part: p.ID, Pieces: pieces, Supplier: supplier}, who.ID, false); err != nil {
				t.Fatal(err)
			}
		}
		says := func(when, supplier string, pieces int64) {
			t.Helper()
			l, ok, err := catalog.LinkFrom(ctx, tx, "1001", supplier)
			if err != nil || ok != (pieces > 0) || ok && l.Pieces != pieces {
				t.Errorf("%s: %+v, %v, %v; want %d pieces", when, l, ok, err, pieces)
			}
		}
		says("nobody said anything", "", 0)
		link(id["Halm"], 2)
		says("Halm's, from Halm", id["Halm"], 2)
		says("Halm's, from Nordal", id["Nordal"], 0)
		says("Halm's, from nobody in particular", "", 2)
		link(id["Nordal"], 10)
		says("two that differ are not guessed", "", 0)
		link("", 1)
		says("everybody's, from nobody in particular", "", 1)
		says("Halm's before everybody's", id["Halm"], 2)
		if err := catalog.UnlinkCode(ctx, tx, "1001", id["Halm"], who.ID); err != nil {
			return err
		}
		says("Halm's taken back", id["Halm"], 1)
		says("Nordal's stays", id["Nordal"], 10)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// A carton whose label says how many packs are in it (AI 02 and 37) brings as
// many as it says, each time. Source: GS1 General Specifications, clause 3.2,
// AIs 02 and 37; the GTIN begins with 952, the prefix for demonstrations.
func TestCartonThatCounts(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	if _, err := s.AddPart(ctx, "Tolmek/KB-39", shop.PartFacts{Role: new("oil_seal")}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Link(ctx, shop.LinkRequest{Code: "9521016150103", Part: "KB-39", Pieces: 2}); err != nil {
		t.Fatal(err)
	}
	receive := func(session, lines string) shop.Received {
		t.Helper()
		out, err := s.Receive(ctx, shop.Intake{Delivery: "D1", Session: session, Lines: strings.NewReader(lines)})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	out := receive("s1", "]C102095210161501033712\n")
	if len(out.Unknown) != 1 || len(out.Unknown[0].Meant) != 1 || out.Unknown[0].Meant[0].Total() != 24 {
		t.Fatalf("proposed: %+v, want 12 packs of 2 pieces", out.Unknown)
	}
	if out, err := s.Link(ctx, shop.LinkRequest{Code: out.Unknown[0].Code, Accept: true}); err != nil || len(out.Lines) != 1 || out.Lines[0].Amount != 24 {
		t.Fatalf("accepted: %+v, %v; want 24 pieces", out.Lines, err)
	}
	if out := receive("s2", "]C10209521016150103375\n"); len(out.Lines) != 1 || out.Lines[0].Amount != 10 {
		t.Errorf("a carton of five: %+v, want 10 pieces", out.Lines)
	}
	if out := receive("s3", "]C10209521016150103\n"); len(out.Lines) != 0 || len(out.Unknown) != 1 {
		t.Errorf("a carton that does not count: %+v, %+v; want it to wait", out.Lines, out.Unknown)
	}
}

// Trying lines changes nothing, and says what receiving them would.
func TestTryLines(t *testing.T) {
	s, _ := newShop(t)
	ctx := t.Context()
	if _, err := s.AddPart(ctx, "Tolmek/KB-39", shop.PartFacts{Role: new("oil_seal")}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Link(ctx, shop.LinkRequest{Code: "BAG-1", Part: "KB-39", Pieces: 2}); err != nil {
		t.Fatal(err)
	}
	out, err := s.TryLines(ctx, strings.NewReader("BAG-1\n=3\nBAG-1\nKB-39\nNEVER\n=1000\nX\n=12\n"), "")
	if err != nil {
		t.Fatal(err)
	}
	type count struct {
		text, state string
		packs       int
		pieces      int64
		last        int
	}
	var got []count
	for _, c := range out.Counts {
		got = append(got, count{c.Text, c.State, c.Packs, c.Pieces, c.Last})
	}
	want := []count{{"X", "unknown", 1, 0, 7}, {"NEVER", "unknown", 1, 0, 5}, {"KB-39", "likely", 1, 1, 4}, {"BAG-1", "known", 4, 8, 3}}
	if len(got) != len(want) {
		t.Fatalf("counted %+v, want %+v", got, want)
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("counted %+v, want %+v", got[i], want[i])
		}
	}
	if out.Packs != 7 || out.Next != 12 || len(out.Bad) != 1 || out.Bad[0].Line != 6 {
		t.Errorf("%d packs, next %d, bad %+v; want 7, 12, line 6", out.Packs, out.Next, out.Bad)
	}
	if waiting, err := s.Waiting(ctx); err != nil || len(waiting.Symbols) != 0 {
		t.Errorf("trying recorded %+v, %v", waiting.Symbols, err)
	}
}
