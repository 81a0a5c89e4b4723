package demo

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// filler enters the demo shop into a transaction.
type filler struct {
	tx        *store.Tx
	person    string
	opt       Options
	bins      map[string]string // ids by name
	suppliers []catalog.Supplier
}

// The bins beside the shelves: parts of a job, and what is never picked.
const tray, blocked = "TRAY-1", "HOLD"

// addBins makes the bins. INTAKE is there in a shop, not in a bare database.
func (s *filler) addBins(ctx context.Context) error {
	kinds := map[string]string{inventory.Intake: "intake", tray: "tray", blocked: "blocked"}
	for _, name := range append(slices.Sorted(maps.Keys(kinds)), bins()...) {
		b, err := inventory.BinNamed(ctx, s.tx, name)
		if fault.KindOf(err) == fault.NotFound {
			kind := kinds[name]
			if kind == "" {
				kind = "shelf"
			}
			b, err = inventory.AddBin(ctx, s.tx, inventory.Bin{Name: name, Kind: kind})
		}
		if err != nil {
			return err
		}
		s.bins[name] = b.ID
	}
	return nil
}

func (s *filler) addSuppliers(ctx context.Context) error {
	for _, v := range suppliers {
		added, err := catalog.AddSupplier(ctx, s.tx, catalog.Supplier{Name: v.name, LeadDays: v.lead})
		if err != nil {
			return err
		}
		s.suppliers = append(s.suppliers, added)
	}
	return nil
}

// enter enters a copy of the catalog.
func (s *filler) enter(ctx context.Context, b *book) error {
	for _, w := range b.wares {
		w.HomeBin = s.bins[w.shelf]
		added, err := catalog.AddPart(ctx, s.tx, w.Part)
		if err != nil {
			return err
		}
		w.Part = added
		if err := catalog.TellPart(ctx, s.tx, catalog.Part{}, w.Part, s.listed(w.Source)); err != nil {
			return err
		}
	}
	for _, f := range b.forks {
		if err := s.enterFork(ctx, f); err != nil {
			return err
		}
	}
	for _, k := range b.kits {
		var contents []catalog.Content
		for _, c := range k.contents {
			contents = append(contents, catalog.Content{Part: c.Part, Pieces: c.pieces})
		}
		if err := catalog.SetContents(ctx, s.tx, k.Part, contents); err != nil {
			return err
		}
		if err := catalog.SetLegs(ctx, s.tx, k.Part, k.legs); err != nil {
			return err
		}
	}
	for _, l := range b.labels {
		link := catalog.Link{Code: l.code, Part: l.ware.ID, Pieces: l.pieces}
		if err := catalog.LinkCode(ctx, s.tx, link, s.person, false); err != nil {
			return err
		}
	}
	if err := s.enterOffers(ctx, b.offers); err != nil {
		return err
	}
	return s.enterReplaced(ctx, b)
}

func (s *filler) enterFork(ctx context.Context, f *fork) error {
	added, err := catalog.AddFork(ctx, s.tx, f.Fork)
	if err != nil {
		return err
	}
	f.Fork = added
	for i := range f.places {
		p := &f.places[i]
		for _, w := range p.wares {
			if p.named(w) {
				source := sources[w.Maker]
				if w.Role == catalog.Oil {
					source = "bench: the grade that the parts list asks for"
				}
				p.Parts = append(p.Parts, catalog.NamedPart{Part: w.ID, Source: source})
			}
		}
		if p.Position, err = catalog.AddPosition(ctx, s.tx, f.ID, p.Position); err != nil {
			return err
		}
	}
	for i := range f.bikes {
		f.bikes[i].Fork = f.ID
		if f.bikes[i], err = catalog.AddFitment(ctx, s.tx, f.bikes[i]); err != nil {
			return err
		}
		if err := catalog.TellFitment(ctx, s.tx, catalog.Fitment{}, f.bikes[i], s.listed(f.bikes[i].Source)); err != nil {
			return err
		}
	}
	for _, o := range f.fills {
		if err := catalog.AddOilFill(ctx, s.tx, f.ID, o); err != nil {
			return err
		}
	}
	if err := s.claimFork(ctx, f); err != nil {
		return err
	}
	return s.touring(ctx, f)
}

// touring enters the one fill that differs by bike.
func (s *filler) touring(ctx context.Context, f *fork) error {
	for _, bike := range f.bikes {
		if bike.Model != "Nordane 650 GT" {
			continue
		}
		o := f.fills[0]
		o.Fitment, o.DryML, o.RefillML, o.Gap = bike.ID, o.DryML+12, o.RefillML+12, o.Gap-5000
		if err := catalog.AddOilFill(ctx, s.tx, f.ID, o); err != nil {
			return err
		}
	}
	return nil
}

// named reports whether a list names w for the place: the fork maker's does,
// and others where no size says what fits.
func (p *place) named(w *ware) bool {
	return w.Maker == vaskuro || p.Size.Inner == 0 && p.Size.Outer == 0 && p.Thread == ""
}

func (s *filler) enterOffers(ctx context.Context, offers []offer) error {
	for _, o := range offers {
		item := catalog.Item{
			Supplier: s.suppliers[o.supplier].ID, Number: o.number, Description: o.text, Pack: o.pack,
			PackPriceMinor: o.price, Priced: o.price != 0,
		}
		if o.ware != nil {
			item.Part = o.ware.ID
		}
		item, err := catalog.AddItem(ctx, s.tx, item)
		if err == nil {
			err = catalog.DescribeItem(ctx, s.tx, item, wording.Words(o.text), wording.Read(o.text, wording.Known{}).Item())
		}
		if err != nil {
			return fmt.Errorf("item %s: %w", o.number, err)
		}
	}
	return nil
}
