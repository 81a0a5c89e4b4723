package shop

import (
	"context"
	"strings"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/measure"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Sizes is a size as JSON shows it: printed, and in micrometres; a length that
// is not known is left out. Of a bolt HeightUM is the length, and the printed
// size its thread and length; of a bushing HeightUM is the length, too.
type Sizes struct {
	Size      string         `json:"size"`
	InnerUM   measure.Length `json:"inner_um,omitzero"`
	OuterUM   measure.Length `json:"outer_um,omitzero"`
	HeightUM  measure.Length `json:"height_um,omitzero"`
	OverallUM measure.Length `json:"overall_um,omitzero"`
	Thread    string         `json:"thread,omitempty"`
	Entered   string         `json:"entered,omitempty"` // as it was entered in inches, or an O-ring's number
}

func sizes(m measure.Size, thread string) Sizes {
	s := Sizes{Size: m.String(), InnerUM: m.Inner, OuterUM: m.Outer, HeightUM: m.Height, OverallUM: m.Overall, Thread: thread}
	if m.Inner == 0 && m.Outer == 0 && thread != "" {
		s.Size = thread
		if m.Height != 0 {
			s.Size += "x" + m.Height.String()
		}
	}
	return s
}

// as gives s with the text that it was entered with.
func (s Sizes) as(entered string) Sizes {
	s.Entered = entered
	return s
}

// Screen gives the size for a screen, with mark between whole and part, and
// what was entered in inches behind it. A part without a bore, such as a clip,
// goes by its outside.
func (s Sizes) Screen(mark rune) string {
	text := s.millimetres(mark)
	if s.Entered != "" {
		text += " (" + s.Entered + ")"
	}
	return text
}

func (s Sizes) millimetres(mark rune) string {
	m := measure.Size{Inner: s.InnerUM, Outer: s.OuterUM, Height: s.HeightUM, Overall: s.OverallUM}
	switch {
	case m == measure.Size{} || m.Inner == 0 && m.Outer == 0:
		return strings.NewReplacer("x", "×", ".", string(mark)).Replace(s.Size)
	case m.Inner == 0:
		text := "Ø" + m.Outer.Screen(mark)
		if m.Height != 0 {
			text += "×" + m.Height.Screen(mark)
		}
		return text
	}
	return m.Screen(mark)
}

// Part is a part with what is on hand of it.
type Part struct {
	Number      string       `json:"number"`
	Role        catalog.Role `json:"role"`
	Maker       string       `json:"maker"`
	Description string       `json:"description"`
	Sizes
	Traits
	Unit      string        `json:"unit"`
	OnHand    int64         `json:"on_hand"`
	Available int64         `json:"available"`        // of it, what may be taken for any job: neither set aside nor in a blocked place or a tray
	SetAside  int64         `json:"set_aside"`        // of it, what is kept for jobs
	Bottles   fault.Message `json:"bottles,omitzero"` // of an oil on hand, how many, and what is in the open one
	Aged      fault.Message `json:"aged,omitzero"`    // advice on rubber past its time
	Bins      []string      `json:"bins"`             // where to take it from first
	Why       fault.Message `json:"why,omitzero"`
	Standing  fault.Message `json:"standing,omitzero"` // of a hit or a verdict: where that is known from, in a few words
}

// Name gives the number with its maker, as a command takes it.
func (p Part) Name() string { return p.Maker + "/" + p.Number }

// view shows a part with its stock.
func view(ctx context.Context, tx *store.Tx, p catalog.Part, why fault.Message) (Part, error) {
	lines, err := inventory.Stock(ctx, tx, p.ID)
	if err != nil {
		return Part{}, err
	}
	kept, err := inventory.KeptOf(ctx, tx, []string{p.ID})
	if err != nil {
		return Part{}, err
	}
	return viewLying(ctx, tx, p, why, lines, kept[p.ID])
}

// viewLying shows a part of which these lines are the stock, and so much is
// set aside.
func viewLying(ctx context.Context, tx *store.Tx, p catalog.Part, why fault.Message, lines []inventory.Line, kept int64) (Part, error) {
	v := Part{
		SetAside: kept,

		Number: p.Number, Role: p.Role, Maker: p.Maker, Description: p.Description, Unit: p.Unit,
		Sizes: sizes(p.Size, p.Thread).as(p.Entered), Traits: Traits(p.Traits), Bins: []string{}, Why: why,
	}
	seen := map[string]bool{}
	for _, l := range lines {
		v.OnHand += l.Amount
		if l.Bin.Free() {
			v.Available += l.Amount
		}
		if !seen[l.Bin.Name] {
			seen[l.Bin.Name] = true
			v.Bins = append(v.Bins, l.Bin.Name)
		}
		if err := v.age(ctx, tx, p, l.Lot); err != nil {
			return v, err
		}
	}
	v.Available = max(v.Available-kept, 0)
	if p.Unit == catalog.Millilitre && v.OnHand > 0 {
		bottle, err := inventory.Bottle(ctx, tx, p.ID)
		v.Bottles = bottles(lines, bottle)
		return v, err
	}
	return v, nil
}

// bottles says how many bottles of so many mL lie there, and what is in the open
// one; nothing where the size is not known.
func bottles(lines []inventory.Line, bottle int64) fault.Message {
	var full, open int64
	for _, l := range lines {
		if bottle > 0 {
			full, open = full+l.Amount/bottle, open+l.Amount%bottle
		}
	}
	switch {
	case full > 0 && open > 0:
		return fault.Say("shop.bottles_open", full, open)
	case full > 0:
		return fault.Say("shop.bottles", full)
	case open > 0:
		return fault.Say("shop.bottle_open", open)
	}
	return fault.Message{}
}

// age notes rubber that is too old, of the first such lot.
func (v *Part) age(ctx context.Context, tx *store.Tx, p catalog.Part, l inventory.Lot) error {
	if l.Cure == "" || !v.Aged.IsZero() {
		return nil
	}
	a, err := aging(ctx, tx, p, l, tx.Today())
	if a.Age.ID == "rubber.old" || a.Age.ID == "rubber.inspect" {
		v.Aged = fault.Say("shop.aged", l.Short, a.Age)
	}
	return err
}

// PartPage is everything about one part.
type PartPage struct {
	Part
	Material  string      `json:"material,omitempty"`
	Elastomer string      `json:"elastomer,omitempty"`
	Source    string      `json:"source,omitempty"`
	HomeBin   string      `json:"home_bin"` // empty: none
	Minimum   int64       `json:"minimum"`
	Lines     []StockLine `json:"lines"`
	Codes     []Code      `json:"codes"`
	Forks     []string    `json:"forks"`    // that take it
	Contents  []Content   `json:"contents"` // of a kit
	Legs      int         `json:"legs,omitempty"`
	Kits      []string    `json:"kits"`   // that bring it
	Offers    []Offer     `json:"offers"` // by which it can be bought
	Currency  string      `json:"currency"`
	Sources   []Source    `json:"sources"`          // what was ever claimed of it
	Photos    []int64     `json:"photos,omitempty"` // of the bags that were booked as it, see Shop.BagPhoto
}

// Code is what a barcode stands for.
type Code struct {
	Code   string `json:"code"`
	Pieces int64  `json:"pieces"`
}

// Offer is how a part can be bought.
type Offer struct {
	Supplier       string `json:"supplier"`
	SupplierNumber string `json:"supplier_number"`
	Description    string `json:"description"`
	Pack           int64  `json:"pack"`
	PackPriceMinor *int64 `json:"pack_price_minor"` // null: not known
}

func offer(i catalog.Item) Offer {
	o := Offer{Supplier: i.SupplierName, SupplierNumber: i.Number, Description: i.Description, Pack: i.Pack}
	if i.Priced {
		o.PackPriceMinor = &i.PackPriceMinor
	}
	return o
}

// PartPage gives everything about the part of a name. Errors: NotFound,
// Ambiguous.
func (s *Shop) PartPage(ctx context.Context, name string) (page PartPage, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		p, how, err := partFor(ctx, tx, name)
		if err != nil {
			return err
		}
		page, err = s.partPage(ctx, tx, p)
		if !how.IsZero() {
			page.Why = how
		}
		return err
	})
	return page, err
}

func (s *Shop) partPage(ctx context.Context, tx *store.Tx, p catalog.Part) (page PartPage, err error) {
	page = PartPage{
		Material: p.Material, Elastomer: p.Elastomer, Source: p.Source, Minimum: p.Minimum, Currency: s.settings.Currency,
		Codes: []Code{}, Contents: []Content{}, Offers: []Offer{}, Kits: []string{},
	}
	if p.HomeBin != "" {
		if _, err := tx.One(ctx, store.Into(&page.HomeBin), `SELECT name FROM bin WHERE id = $1`, p.HomeBin); err != nil {
			return page, err
		}
	}
	said, err := catalog.StandingOn(ctx, tx, catalog.AboutPart, p.ID, "size")
	if err != nil {
		return page, err
	}
	if page.Part, err = view(ctx, tx, p, said.Line()); err != nil {
		return page, err
	}
	claims, err := catalog.ClaimsOfPart(ctx, tx, p)
	if err != nil {
		return page, err
	}
	if page.Sources, err = s.sources(ctx, tx, claims); err != nil {
		return page, err
	}
	if page.Lines, err = s.stockLines(ctx, tx, p.ID); err != nil {
		return page, err
	}
	if page.Forks, err = catalog.ForksTaking(ctx, tx, p); err != nil {
		return page, err
	}
	if page.Photos, err = inventory.PhotosOf(ctx, tx, p.ID); err != nil {
		return page, err
	}
	return page, page.trade(ctx, tx, p)
}

// trade fills in codes, kits and offers.
func (page *PartPage) trade(ctx context.Context, tx *store.Tx, p catalog.Part) error {
	links, err := catalog.LinksOf(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	for _, l := range links {
		page.Codes = append(page.Codes, Code{l.Code, l.Pieces})
	}
	if page.Contents, err = contents(ctx, tx, p); err != nil {
		return err
	}
	if page.Legs, err = catalog.Legs(ctx, tx, p.ID); err != nil {
		return err
	}
	if p.Role == catalog.Kit && p.Elastomer == "" {
		if page.Elastomer, err = rubberWords(ctx, tx, p); err != nil {
			return err
		}
	}
	kits, err := catalog.KitsWith(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	for _, k := range kits {
		page.Kits = append(page.Kits, k.Name())
	}
	items, err := catalog.ItemsOf(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	for _, i := range items {
		page.Offers = append(page.Offers, offer(i))
	}
	return nil
}
