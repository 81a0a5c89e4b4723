package catalog_test

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/internal/words"
)

// people are the persons of the claims in these tests.
var people = []string{"Mika", "Nora"}

func addPeople(ctx context.Context, tx *store.Tx) error {
	for _, name := range people {
		if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ($1, $1, '2026')`, name); err != nil {
			return err
		}
	}
	return nil
}

// claimed makes a shop with one seal, and gives ways to claim its size and to
// look at it.
func claimed(t *testing.T, f func(claim func(value string, w catalog.Word) catalog.Claim, now func() (size, line string), tx *store.Tx)) {
	t.Helper()
	with(t, func(ctx context.Context, tx *store.Tx) error {
		if err := addPeople(ctx, tx); err != nil {
			return err
		}
		p, err := catalog.AddPart(ctx, tx, catalog.Part{Number: "KB-39", Maker: "Tolmek", Role: catalog.OilSeal, Unit: catalog.Piece})
		if err != nil {
			return err
		}
		claim := func(value string, w catalog.Word) catalog.Claim {
			t.Helper()
			c, err := catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutPart, Subject: p.ID, Field: "size", Value: value, Word: w})
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		now := func() (string, string) {
			t.Helper()
			p, _, err := catalog.PartByID(ctx, tx, p.ID)
			if err != nil {
				t.Fatal(err)
			}
			s, err := catalog.StandingOn(ctx, tx, catalog.AboutPart, p.ID, "size")
			if err != nil {
				t.Fatal(err)
			}
			return p.Size.String(), words.For("en").Text(s.Line())
		}
		f(claim, now, tx)
		return nil
	})
}

func list(source string) catalog.Word {
	return catalog.Word{How: "list", Source: source, Person: "Mika"}
}

func hand(name string) catalog.Word { return catalog.Word{How: "told", Person: name, Decides: true} }

// A list adds its word and replaces nothing; a hand decides; seeing counts.
func TestValueInForce(t *testing.T) {
	claimed(t, func(claim func(string, catalog.Word) catalog.Claim, now func() (string, string), tx *store.Tx) {
		want := func(size, line string) {
			t.Helper()
			if gotSize, gotLine := now(); gotSize != size || gotLine != line {
				t.Errorf("got %q, %q\nwant %q, %q", gotSize, gotLine, size, line)
			}
		}
		saw := func(c catalog.Claim, right bool) {
			t.Helper()
			c, err := catalog.ClaimNumbered(t.Context(), tx, c.Number)
			if err == nil {
				err = catalog.Saw(t.Context(), tx, c, right, "", "Nora")
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		take := func(c catalog.Claim) {
			t.Helper()
			c, err := catalog.ClaimNumbered(t.Context(), tx, c.Number)
			if err == nil {
				err = catalog.Withdraw(t.Context(), tx, c, "slip", "Nora")
			}
			if err != nil {
				t.Fatal(err)
			}
		}
		want("", "")
		first := claim("39x52x11", list("Halm 3/2026"))
		want("39x52x11", "one list says so (Halm 3/2026)")
		claim("39x52", list("Ost 1/2026")) // states less: no contradiction
		want("39x52x11", "one list says so (Halm 3/2026)")
		other := claim("39x52x10.5", list("Ost 2/2026"))
		want("39x52x11", "one list says so (Halm 3/2026); lists disagree: height 11 / 10.5")
		if again := claim("39x52x10.5", list("Ost 2/2026")); again.Number != other.Number {
			t.Errorf("the same list again: claim %d beside %d", again.Number, other.Number)
		}
		saw(other, true) // the better of two lists
		want("39x52x10.5", "confirmed 1 time; lists disagree: height 10.5 / 11")
		saw(first, true)
		saw(first, true)
		saw(first, false)
		want("39x52x11", "confirmed 2 times; seen wrong 1 time; lists disagree: height 11 / 10.5")
		saw(first, false)
		want("39x52x10.5", "confirmed 1 time; lists disagree: height 10.5 / 11")
		saw(first, true)
		want("39x52x11", "confirmed 3 times; seen wrong 2 times; lists disagree: height 11 / 10.5")
		mika := claim("40x52x10.5", hand("Mika"))
		want("40x52x10.5", "told by Mika; sources disagree: 40×52×10.5 / 39×52×11 / 39×52 / 39×52×10.5")
		nora := claim("39x52x11", hand("Nora"))
		want("39x52x11", "confirmed 3 times; seen wrong 2 times; sources disagree: 39×52×11 / 39×52×10.5 / 40×52×10.5")
		claim("39x52x10.5", hand("Nora")) // she corrects herself
		if c, _ := catalog.ClaimNumbered(t.Context(), tx, nora.Number); c.Withdrawn != fmt.Sprintf("→ #%d", nora.Number+1) || c.WithdrawnBy != "Nora" {
			t.Errorf("her earlier word: withdrawn %q by %q", c.Withdrawn, c.WithdrawnBy)
		}
		claim("40x52x10.5", hand("Mika")) // he insists
		want("40x52x10.5", "told by Mika; sources disagree: 40×52×10.5 / 39×52×11 / 39×52 / 39×52×10.5")
		take(mika)
		want("39x52x10.5", "confirmed 1 time; sources disagree: height 10.5 / 11")
	})
}

// What stood in a column before claims were kept is somebody's word too.
func TestClaimedAdoptsWhatWasKnown(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		if err := addPeople(ctx, tx); err != nil {
			return err
		}
		p, err := catalog.AddPart(ctx, tx, seal("KB-39", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		if _, err := catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutPart, Subject: p.ID, Field: "size", Value: "39x52x10.5", Word: list("L")}); err != nil {
			return err
		}
		p, _, err = catalog.PartByID(ctx, tx, p.ID)
		claims, _ := catalog.Claims(ctx, tx, catalog.AboutPart, p.ID)
		if p.Size.String() != "39x52x11" || len(claims) != 2 {
			t.Errorf("size %s, %d claims: the list has replaced it", p.Size, len(claims))
		}
		return err
	})
}

// A column that somebody changed without a word is not put back by the next
// word on it.
func TestUntoldChangeStays(t *testing.T) {
	claimed(t, func(claim func(string, catalog.Word) catalog.Claim, now func() (string, string), tx *store.Tx) {
		ctx := t.Context()
		c := claim("39x52x11", hand("Mika"))
		other := claim("39x52x10", list("L"))
		for _, size := range []string{"39x52x9", "39x52x8"} {
			p, _, err := catalog.PartByID(ctx, tx, c.Subject)
			if err == nil {
				p.Size, err = measure.ParseSize(size)
			}
			if err == nil {
				err = catalog.ChangePart(ctx, tx, p)
			}
			if err == nil && size == "39x52x9" {
				err = catalog.Saw(ctx, tx, c, true, "", "Nora")
			} else if err == nil {
				err = catalog.Withdraw(ctx, tx, other, "slip", "Nora")
			}
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := now(); got != size {
				t.Errorf("size %s, want %s", got, size)
			}
		}
	})
}

// Reasons are asked for, and nothing is withdrawn twice.
func TestClaimRefuses(t *testing.T) {
	claimed(t, func(claim func(string, catalog.Word) catalog.Claim, _ func() (string, string), tx *store.Tx) {
		ctx := t.Context()
		c := claim("39x52x11", hand("Mika"))
		if err := catalog.Withdraw(ctx, tx, c, "", "Nora"); fault.KindOf(err) != fault.Invalid {
			t.Errorf("without a reason: %v", err)
		}
		if err := catalog.Withdraw(ctx, tx, c, "slip", "Nora"); err != nil {
			t.Fatal(err)
		}
		gone, err := catalog.ClaimNumbered(ctx, tx, c.Number)
		if err != nil {
			t.Fatal(err)
		}
		for name, err := range map[string]error{"withdrawn": catalog.Withdraw(ctx, tx, gone, "slip", "Nora"), "seen": catalog.Saw(ctx, tx, gone, true, "", "Nora")} {
			if fault.KindOf(err) != fault.Conflict {
				t.Errorf("%s twice: %v, want conflict", name, err)
			}
		}
		if _, err := catalog.ClaimNumbered(ctx, tx, 99); fault.KindOf(err) != fault.NotFound {
			t.Errorf("no such claim: %v", err)
		}
		_, err = catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutPart, Subject: c.Subject, Field: "size", Value: "1x2", Word: catalog.Word{How: "dreamt", Person: "Mika"}})
		if fault.KindOf(err) != fault.Invalid {
			t.Errorf("a dream: %v, want invalid", err)
		}
		other := claim("39x52x10", hand("Mika"))
		if err := catalog.Saw(ctx, tx, other, true, "", "Nora"); err != nil {
			t.Fatal(err)
		}
		for _, q := range []string{`DELETE FROM claim WHERE number = 1`, `UPDATE claim SET value = 'x'`, `DELETE FROM claim_seen`} {
			if _, err := tx.Exec(ctx, q); err == nil {
				t.Errorf("%s was let through", q)
			}
		}
	})
}

// ruled is the rule of what is in force, told anew and plainly: the last
// decision that stands; else the value with the best count; else the first.
func ruled(claims []catalog.Claim) string {
	best, decided, count := "", int64(0), map[string]int{}
	var standing []catalog.Claim
	for _, c := range claims {
		if c.Withdrawn == "" {
			standing = append(standing, c)
			count[c.Value] += c.Right - c.Wrong
		}
	}
	for i := len(standing) - 1; i >= 0; i-- {
		switch c := standing[i]; {
		case c.Decided > decided:
			best, decided = c.Value, c.Decided
		case decided == 0 && (best == "" || count[c.Value] >= count[best]):
			best = c.Value
		}
	}
	return best
}

// Whatever is said, seen and taken back, the column holds what the rule says
// of the claims that stand, and no claim is ever lost.
func TestColumnFollowsClaims(t *testing.T) {
	db, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "db"), sqlite.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.Write(t.Context(), addPeople); err != nil {
		t.Fatal(err)
	}
	parts := 0
	rapid.Check(t, func(r *rapid.T) {
		err := db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			parts++
			p, err := catalog.AddPart(ctx, tx, seal(fmt.Sprint("N", parts), "Tolmek", 39, 52, 11))
			if err == nil && rapid.Bool().Draw(r, "told") {
				err = catalog.TellPart(ctx, tx, catalog.Part{}, p, hand("Mika"))
			}
			if err != nil {
				return err
			}
			most := 0
			for range rapid.IntRange(1, 12).Draw(r, "steps") {
				if err := step(ctx, tx, r, p); err != nil {
					return err
				}
				claims, err := catalog.Claims(ctx, tx, catalog.AboutPart, p.ID)
				if err != nil {
					return err
				}
				if len(claims) < most {
					r.Fatalf("%d claims left of %d", len(claims), most)
				}
				most = len(claims)
				kept, _, err := catalog.PartByID(ctx, tx, p.ID)
				if err != nil {
					return err
				}
				if want := ruled(claims); most > 0 && kept.Size.String() != want {
					r.Fatalf("in force %q, want %q of %+v", kept.Size, want, claims)
				}
				if force, ok := catalog.InForce(claims); ok && force.Withdrawn != "" {
					r.Fatalf("claim %d is in force and withdrawn", force.Number)
				}
			}
			return nil
		})
		if err != nil {
			r.Fatal(err)
		}
	})
}

// step claims, sees or withdraws something of the size of p, or changes it by
// hand.
func step(ctx context.Context, tx *store.Tx, r *rapid.T, p catalog.Part) error {
	person := rapid.SampledFrom(people).Draw(r, "person")
	value := rapid.SampledFrom([]string{"39x52x11", "39x52x10.5", "39x52", "40x52x11/12"}).Draw(r, "value")
	claims, err := catalog.Claims(ctx, tx, catalog.AboutPart, p.ID)
	if err != nil {
		return err
	}
	what := rapid.SampledFrom([]string{"list", "list", "list", "hand", "change", "right", "right", "wrong", "wrong", "withdraw"}).Draw(r, "what")
	switch what {
	case "list":
		w := list(rapid.SampledFrom([]string{"Halm 3/2026", "Ost 1/2026"}).Draw(r, "source"))
		_, err = catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutPart, Subject: p.ID, Field: "size", Value: value, Word: w})
		return err
	case "hand":
		_, err = catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutPart, Subject: p.ID, Field: "size", Value: value, Word: hand(person)})
		return err
	case "change":
		was, _, err := catalog.PartByID(ctx, tx, p.ID)
		if err != nil {
			return err
		}
		now := was
		if now.Size, err = measure.ParseSize(value); err != nil {
			return err
		}
		if err := catalog.ChangePart(ctx, tx, now); err != nil {
			return err
		}
		return catalog.TellPart(ctx, tx, was, now, hand(person))
	}
	if len(claims) == 0 {
		return nil
	}
	c := rapid.SampledFrom(claims).Draw(r, "claim")
	if what == "withdraw" {
		err = catalog.Withdraw(ctx, tx, c, "slip", person)
	} else {
		err = catalog.Saw(ctx, tx, c, what == "right", "", person)
	}
	if c.Withdrawn != "" && fault.KindOf(err) == fault.Conflict {
		return nil
	}
	return err
}

// A fit is named, doubted, refuted and taken back; the place answers by it.
func TestFitsAreClaims(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		if err := addPeople(ctx, tx); err != nil {
			return err
		}
		same, err := catalog.AddPart(ctx, tx, seal("SAME", "Tolmek", 39, 52, 11))
		if err != nil {
			return err
		}
		f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Corva 39", Layout: "conventional", Leg: 39000})
		if err != nil {
			return err
		}
		pos, err := catalog.AddPosition(ctx, tx, f.ID, catalog.Position{
			Seq: 1, Role: catalog.OilSeal, Leg: "both", PerLeg: 1, Renew: "always", Fitted: "yes", Size: same.Size,
		})
		if err != nil {
			return err
		}
		answer := func() []string {
			t.Helper()
			all, err := catalog.Positions(ctx, tx, f.ID)
			if err != nil {
				t.Fatal(err)
			}
			matches, err := catalog.PartsFor(ctx, tx, all[0])
			if err != nil || len(matches) != 1 {
				t.Fatalf("%d matches, %v", len(matches), err)
			}
			say := words.For("en").Text
			forks, err := catalog.ForksTaking(ctx, tx, same)
			if err != nil {
				t.Fatal(err)
			}
			m := matches[0]
			return []string{string(m.Verdict), say(m.Why[len(m.Why)-1]), say(m.Said), fmt.Sprint(forks)}
		}
		fit := func(value string, w catalog.Word) catalog.Claim {
			t.Helper()
			c, err := catalog.Claimed(ctx, tx, catalog.Claim{About: catalog.AboutFit, Subject: catalog.FitSubject(pos.ID, same.ID), Field: "fits", Value: value, Word: w})
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		want := func(texts ...string) {
			t.Helper()
			if diff := cmp.Diff(answer(), texts); diff != "" {
				t.Errorf("-got +want\n%s", diff)
			}
		}
		want("fits", "same size", "", "[Corva 39]")
		named := fit("yes", list("Halm 3/2026"))
		want("fits", "named for this fork by Halm 3/2026", "one list says so (Halm 3/2026)", "[Corva 39]")
		doubt := fit("no", hand("Nora"))
		want("near", "Nora saw that it does not fit: –", "", "[]")
		if err := catalog.Withdraw(ctx, tx, doubt, "wrong fork", "Nora"); err != nil {
			return err
		}
		want("fits", "named for this fork by Halm 3/2026", "one list says so (Halm 3/2026)", "[Corva 39]")
		if err := catalog.Saw(ctx, tx, named, false, "leaks", "Nora"); err != nil {
			return err
		}
		want("near", "seen wrong 1 time, right 0 times: leaks", "", "[]")
		if err := catalog.Withdraw(ctx, tx, named, "printed wrong", "Nora"); err != nil {
			return err
		}
		want("fits", "same size", "", "[Corva 39]")
		all, err := catalog.ClaimsOfPart(ctx, tx, same)
		if len(all) != 2 || all[0].Why != "leaks" || all[0].Withdrawn != "printed wrong" {
			t.Errorf("claims of the part: %+v", all)
		}
		return err
	})
}

// The leg diameter of a fork is claimed, and cannot go unknown.
func TestLegIsClaimed(t *testing.T) {
	with(t, func(ctx context.Context, tx *store.Tx) error {
		if err := addPeople(ctx, tx); err != nil {
			return err
		}
		f, err := catalog.AddFork(ctx, tx, catalog.Fork{Name: "Corva 39", Layout: "conventional", Leg: 39000})
		if err != nil {
			return err
		}
		if err := catalog.TellFork(ctx, tx, catalog.Fork{}, f, hand("Mika")); err != nil {
			return err
		}
		claims, err := catalog.ClaimsOfFork(ctx, tx, f.ID)
		if err != nil || len(claims) != 2 || claims[0].Value != "39" || claims[1].Value != "conventional" {
			t.Fatalf("claims of the fork: %+v, %v", claims, err)
		}
		was := f
		f.Leg = 39500
		if err := catalog.ChangeFork(ctx, tx, f); err != nil {
			return err
		}
		if err := catalog.TellFork(ctx, tx, was, f, hand("Nora")); err != nil {
			return err
		}
		claims, _ = catalog.ClaimsOfFork(ctx, tx, f.ID)
		if err := catalog.Withdraw(ctx, tx, claims[2], "measured where it is worn", "Mika"); err != nil {
			return err
		}
		if f, _, _ = catalog.ForkByID(ctx, tx, f.ID); f.Leg != 39000 {
			t.Errorf("leg %s, want 39 again", f.Leg)
		}
		err = catalog.Withdraw(ctx, tx, claims[0], "no", "Mika")
		if fault.KindOf(err) != fault.Invalid {
			t.Errorf("the last leg diameter: %v, want invalid", err)
		}
		return nil
	})
}
