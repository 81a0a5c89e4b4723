package search

import (
	"context"
	"path/filepath"
	"strings"
	"testing"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
)

// A small catalog, all of it invented; sizes follow common practice for the
// leg diameters, no source. Parts: number, maker, role, sizes, thread,
// elastomer, description.
const shopParts = `
OS-3952    Orvelk   oil_seal      39x52x11         -        NBR  Fork seal, black, with garter spring
BG 39 52   Brammwig oil_seal      39x52x11         -        FKM  Seal low friction green
OS-3952T   Orvelk   oil_seal      39x52x12.5       -        NBR  Fork seal, tall body
OS-3952S   Orvelk   oil_seal      39x52x9.5        -        NBR  Fork seal, short body
OS-4154    Orvelk   oil_seal      41x54x11         -        NBR  Fork seal, black
OS-41353   Orvelk   oil_seal      41.3x53x11       -        NBR  Fork seal, black
OS-4355    Orvelk   oil_seal      43x55x9.5/10.5   -        NBR  Fork seal, black
WP-39      Orvelk   wiper         39x52.5x5        -        NBR  Dust cover pressed in
WP-41      Brammwig wiper         41x54.5x5        -        NBR  Dust cover pressed in
WP-43      Brammwig wiper         43x55.5x5        -        NBR  Dust cover pressed in
TB-39      Orvelk   tube_bushing  37x39x15         -        -    Split ring coated outside
LB-39      Orvelk   lower_bushing 39x41x20         -        -    Split ring coated inside
CL-52      Orvelk   clip          50x54x1.8        -        -    Round wire
BB-10      Brammwig bottom_bolt   ?x?x30           M10x1.25 -    Socket head, hollow
BB-10X     Brammwig bottom_bolt   ?x?x30           M10      -    Socket head, 36 mm across
BB-8       Brammwig bottom_bolt   ?x?x25           M8x1.25  -    Socket head, rounded
DR-6       Brammwig drain_screw   ?x?x10           M6x1     -    Small screw, hard core
CW-1014    Brammwig bottom_washer 10x14x1.5        -        -    Copper
CW-610     Brammwig drain_washer  6x10x1           -        -    Copper
SH-3952    Gessel   other         39x52x11         -        NBR  Shaft seal for pumps
KIT-39     Orvelk   kit           -                -        -    Both legs, with wipers
KIT-41     Orvelk   kit           -                -        -    Both legs, with wipers
KIT-MIX    Gessel   kit           -                -        -    Seals of one fork, wipers of another
OIL-10W    Gessel   oil           -                -        -    Suspension fluid 10W synthetic grade10
CO-1O4     Gessel   cap_oring     34x38            -        NBR  Ring of round cord, soft
GT-39      Gessel   gaiter        38x60x200        -        -    Folds
LI-20      Gessel   spacer        20x30x90         -        -    Tube
SP-41      Gessel   spring        -                -        -    Linear, pair, 41 mm legs
SP-41X     Gessel   spring        30x37x280        -        -    Progressive, 41mm leg
SP-T41     Gessel   spring        -                -        -    Progressive for T41, pair
SP-T413    Gessel   spring        -                -        -    Progressive for T41.3, 300 mm
PR-41L     Gessel   protector     -                -        -    Shield, left, 41 mm leg
PR-41R     Gessel   protector     -                -        -    Shield, right, 41 mm leg
3900-77    Gessel   tool          -                -        -    Driver for 39 mm
`

// Forks: name, layout, leg, places (- before one that is not fitted, left: before one of the left leg); bikes: make, model, years.
const shopForks = `
Kuru 39 DR; conventional; 39;   oil_seal 39x52x11, wiper 39x52.5x5, tube_bushing 37x39x15, lower_bushing 39x41x20, clip 50x54x1.8, bottom_bolt M10x1.25 30, bottom_washer 10x14, drain_screw M6x1, -gaiter 38x60x200; Kuru|Sorvo 500|1988|1996, Talvi|600|1999|2004
T41;        conventional; 41;   oil_seal 41x54x11, wiper 41x54.5x5;                                                                                                               Talvi|600|2003|2010, Talvi|Lumi 900|2000|0
T41.3;      conventional; 41.3; oil_seal 41.3x53x11;                                                                                                                              Kuru|Sorvo 750|1990|1994, Kuru|Sorvo 500 R|1997|2001
T36;        conventional; 36;   oil_seal ?x52, left:bottom_bolt M8x1.25 25, right:bottom_bolt M10x1.25 30;                                                                                                                                    Kuru|GT|1980|1984
UD-43;      upside-down;  43;   oil_seal 43x55x9.5/10.5, wiper 43x55.5x5;                                                                                                         Talvi|Lumi 900 S|2005|2012
`

// shop makes the catalog in a real database. The ids of the parts are given by
// their numbers.
func shop(t testing.TB) (*store.DB, map[string]string) {
	t.Helper()
	return shopIn(t, t.TempDir())
}

// shopIn makes it in dir.
func shopIn(t testing.TB, dir string) (*store.DB, map[string]string) {
	t.Helper()
	db, err := sqlite.Open(t.Context(), filepath.Join(dir, "shop.db"), sqlite.Options{Create: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	ids := map[string]string{}
	inTx(t, db, func(ctx context.Context, tx *store.Tx) error {
		for line := range strings.Lines(strings.TrimSpace(shopParts)) {
			p, err := catalog.AddPart(ctx, tx, readPart(t, line))
			if err != nil {
				return err
			}
			ids[p.Number] = p.ID
		}
		for line := range strings.Lines(strings.TrimSpace(shopForks)) {
			if err := addFork(ctx, tx, t, line); err != nil {
				return err
			}
		}
		return addOffers(ctx, tx, ids)
	})
	return db, ids
}

func inTx(t testing.TB, db *store.DB, f func(context.Context, *store.Tx) error) {
	t.Helper()
	if err := db.Write(t.Context(), f); err != nil {
		t.Fatal(err)
	}
}

func readPart(t testing.TB, line string) catalog.Part {
	line = strings.Replace(line, "BG 39 52", "BG_39_52", 1)
	f := strings.Fields(line)
	p := catalog.Part{
		Number: strings.ReplaceAll(f[0], "_", " "), Maker: f[1], Role: catalog.Role(f[2]), Unit: catalog.Piece,
		Description: strings.Join(f[6:], " "), Source: "hand-made",
	}
	if f[3] != "-" {
		p.Size = readSize(t, f[3])
	}
	if f[4] != "-" {
		p.Thread = f[4]
	}
	if f[5] != "-" {
		p.Elastomer = f[5]
	}
	if p.Role == catalog.Oil {
		p.Unit = catalog.Millilitre
	}
	return p
}

func readSize(t testing.TB, text string) measure.Size {
	t.Helper()
	s, err := measure.ParseSize(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func addFork(ctx context.Context, tx *store.Tx, t testing.TB, line string) error {
	f := strings.Split(strings.TrimSpace(line), ";")
	leg, err := measure.ParseLength(strings.TrimSpace(f[2]))
	if err != nil {
		return err
	}
	fork, err := catalog.AddFork(ctx, tx, catalog.Fork{
		Name: f[0], Layout: strings.TrimSpace(f[1]), Leg: leg, Note: "scribed ring",
		Legs: []catalog.Leg{{Leg: "left", Damping: "damper_rod", Springing: "coil"}, {Leg: "right", Damping: "damper_rod", Springing: "coil"}},
	})
	if err != nil {
		return err
	}
	for i, place := range strings.Split(f[3], ",") {
		role, what, _ := strings.Cut(strings.TrimSpace(place), " ")
		p := catalog.Position{Seq: i + 1, Leg: "both", PerLeg: 1, Renew: "judge", Fitted: "yes"}
		if leg, one, found := strings.Cut(role, ":"); found {
			p.Leg, role = leg, one
		}
		if one, found := strings.CutPrefix(role, "-"); found {
			p.Fitted, role = "no", one
		}
		p.Role = catalog.Role(role)
		if strings.HasPrefix(what, "M") { // with the bolt's length
			thread, long, told := strings.Cut(what, " ")
			if p.Thread = thread; told {
				if p.Size.Height, err = measure.ParseLength(long); err != nil {
					return err
				}
			}
		} else {
			p.Size = readSize(t, what)
		}
		if _, err := catalog.AddPosition(ctx, tx, fork.ID, p); err != nil {
			return err
		}
	}
	for bike := range strings.SplitSeq(f[4], ",") {
		b := strings.Split(strings.TrimSpace(bike), "|")
		from, to := readYear(b[2]), readYear(b[3])
		m := catalog.Fitment{Make: b[0], Model: b[1], YearFrom: from, YearTo: to, Fork: fork.ID, Source: "hand-made"}
		if _, err := catalog.AddFitment(ctx, tx, m); err != nil {
			return err
		}
	}
	return nil
}

// addOffers adds kits, suppliers and codes. The GTIN has the prefix 952 of
// GS1's demonstrations.
func addOffers(ctx context.Context, tx *store.Tx, ids map[string]string) error {
	for kit, in := range map[string][]string{"KIT-39": {"OS-3952", "WP-39"}, "KIT-41": {"OS-4154", "WP-41"}, "KIT-MIX": {"OS-3952", "WP-41"}} {
		var contents []catalog.Content
		for _, n := range in {
			contents = append(contents, catalog.Content{Part: catalog.Part{ID: ids[n], Role: catalog.OilSeal}, Pieces: 2})
		}
		if err := catalog.SetContents(ctx, tx, catalog.Part{ID: ids[kit], Role: catalog.Kit}, contents); err != nil {
			return err
		}
	}
	s, err := catalog.AddSupplier(ctx, tx, catalog.Supplier{Name: "Harrow & Lund", LeadDays: 2})
	if err != nil {
		return err
	}
	for _, i := range []catalog.Item{
		{Number: "77-1001", Description: "FORK SEAL 39X52X11 PAIR", Part: ids["OS-3952"], Pack: 2},
		{Number: "77-1002", Description: "FORK SEAL 39X52X11 SINGLE", Pack: 1},
		{Number: "77-1003", Description: "FORK SEAL 41X54X11 PAIR", Pack: 2},
		{Number: "77-1004", Description: "SHAFT 39X52X11 PUMP", Pack: 1},
	} {
		i.Supplier = s.ID
		if err := addItem(ctx, tx, i); err != nil {
			return err
		}
	}
	if _, err := tx.Exec(ctx, `INSERT INTO person (id, name, since) VALUES ('p', 'Nora', '2026-01-01')`); err != nil {
		return err
	}
	for code, part := range map[string]string{"09520000000011": ids["WP-39"], "lab:77/A": ids["BB-8"], "parcel-1": ""} {
		if err := catalog.LinkCode(ctx, tx, catalog.Link{Code: code, Part: part, Pieces: 1}, "p", false); err != nil {
			return err
		}
	}
	return nil
}

// onHand says that one part is in stock.
func onHand(id string) string { return "p.id = '" + id + "'" }

// addItem adds an item as a price list does: read, and found by its words.
func addItem(ctx context.Context, tx *store.Tx, i catalog.Item) error {
	i, err := catalog.AddItem(ctx, tx, i)
	if err != nil {
		return err
	}
	return catalog.DescribeItem(ctx, tx, i, wording.Words(i.Description), wording.Read(i.Description, wording.Known{}).Item())
}
