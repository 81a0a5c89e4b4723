package demo

import (
	"context"
	"fmt"

	"forkstock/catalog"
	"forkstock/catalog/wording"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// Large enters further copies of the catalog, as many as a wholesaler has, for
// benchmarks. It writes the rows straight, with statements made ready once for
// each transaction: the same rows that Fill enters, but for oil, for what is
// seen of forks, for claims on anything beside the size of a part and what lists
// name for a place, and with one lot a part on the shelf.
type Large struct {
	seed  uint64
	copy  int             // entered last; 0 is Fill's own
	taken map[string]bool // GTINs

	indexes []string // the statements that make those that Begin took off
}

// NewLarge begins behind the shop that Fill made with scale 1 and that seed.
func NewLarge(seed uint64) *Large {
	l := &Large{seed: seed, taken: map[string]bool{}}
	newBook(seed, 0, l.taken)
	return l
}

// Enter enters whole copies, as person (id), until they have at least so many
// parts, and gives how many they have.
func (l *Large) Enter(ctx context.Context, tx *store.Tx, person string, atLeast int) (parts int, err error) {
	before := tx.Now
	defer func() { tx.Now = before }()
	s := &filler{tx: tx, person: person, opt: Options{Seed: l.seed}, bins: map[string]string{}}
	if err := s.addBins(ctx); err != nil {
		return 0, err
	}
	for _, v := range suppliers {
		known, err := catalog.SupplierNamed(ctx, tx, v.name)
		if err != nil {
			return 0, err
		}
		s.suppliers = append(s.suppliers, known)
	}
	w, err := newWriter(ctx, s)
	if err != nil {
		return 0, err
	}
	for parts < atLeast && ctx.Err() == nil {
		l.copy++
		tx.Now = tx.Now.Add(-1) // the ids of a copy are its own
		b := newBook(l.seed, l.copy, l.taken)
		// The driver starts a goroutine for each statement that can be stopped.
		if err := w.enter(context.WithoutCancel(ctx), b); err != nil {
			return parts, fmt.Errorf("copy %d: %w", l.copy, err)
		}
		parts += len(b.wares)
	}
	return parts, w.writeWords(ctx)
}

// writer holds the statements of one transaction, and what they count.
type writer struct {
	*filler
	stmt     map[string]*store.Stmt
	now      string
	movement int64 // the last one's number
	lot      int64
	words    [][2]string // each with its item, of the whole transaction
	failed   error       // the first that went wrong; nothing is written behind it
}

var rowStatements = map[string]string{
	"part": `INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit, inner_um, outer_um, height_um, overall_um,
		thread, head_um, seat, strength, coated, entered, material, elastomer, home_bin, minimum, source, legs) VALUES
		($1, $2, $3, $4, $5, $6, $7, $8, nullif($9, 0), nullif($10, 0), nullif($11, 0), nullif($12, 0),
		$13, nullif($14, 0), $15, $16, $17, $18, $19, $20, nullif($21, ''), $22, $23, nullif($24, 0))`,
	"claim": `INSERT INTO claim (about, subject, field, value, how, source, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
	"fork":  `INSERT INTO fork (id, name, name_norm, layout, leg_um, note, source) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
	"leg":   `INSERT INTO fork_leg (fork, leg, damping, springing) VALUES ($1, $2, $3, $4)`,
	"position": `INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, renew_told, fitted, inner_um, outer_um, height_um, overall_um,
		thread, note, head_um, seat, strength, coated, entered) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, nullif($10, 0), nullif($11, 0),
		nullif($12, 0), nullif($13, 0), $14, $15, nullif($16, 0), $17, $18, $19, $20)`,
	"named": `INSERT INTO position_part (position, part, source) VALUES ($1, $2, $3) ON CONFLICT (position, part) DO NOTHING`,
	"fitment": `INSERT INTO fitment (id, make, make_norm, model, model_norm, variant, variant_norm, code, code_norm, year_from, year_to,
		frame_from, frame_from_norm, frame_to, frame_to_norm, fork, source) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, nullif($10, 0),
		nullif($11, 0), $12, $13, $14, $15, $16, $17)`,
	"content": `INSERT INTO kit_content (kit, seq, part, pieces) VALUES ($1, $2, $3, $4)`,
	"code":    `INSERT INTO code_link (code, part, pieces, person, since) VALUES ($1, $2, $3, $4, $5)`,
	"item": `INSERT INTO supplier_item (id, supplier, number, number_norm, description, part, pack, pack_price_minor)
		VALUES ($1, $2, $3, $4, $5, nullif($6, ''), $7, nullif($8, 0))`,
	"reading": `INSERT INTO item_reading (item, role, inner_um, outer_um, height_um, overall_um, thread, leg_um, pieces, sure)
		VALUES ($1, $2, nullif($3, 0), nullif($4, 0), nullif($5, 0), nullif($6, 0), $7, nullif($8, 0), nullif($9, 0), 0)`,
	"replaced": `INSERT INTO replacement (id, maker, maker_norm, number, number_norm, by_maker, by_maker_norm, by_number, by_number_norm,
		both_ways, since, reason, source, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
	"number": `INSERT INTO other_number (id, part, maker, maker_norm, number, number_norm, source, person, at) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
	"usable": `INSERT INTO still_usable (part, fork, source, person, at) VALUES ($1, $2, $3, $4, $5)`,
	"lot":    `INSERT INTO lot (id, short, part, since) VALUES ($1, $2, $3, $4)`,
	"posting": `INSERT INTO posting (id, key, content, kind, person, at, reason) VALUES ($1, $2, '', 'opening', $3, $4,
		'what was on the shelves')`,
	"movement": `INSERT INTO movement (seq, posting, part, bin, lot, amount, value_minor) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
}

func newWriter(ctx context.Context, s *filler) (*writer, error) {
	r := &writer{filler: s, stmt: map[string]*store.Stmt{}, now: store.Stamp(s.tx.Now), words: [][2]string{}}
	for name, query := range rowStatements {
		var err error
		if r.stmt[name], err = s.tx.Prepare(ctx, query); err != nil {
			return nil, err
		}
	}
	_, err := s.tx.One(ctx, store.Into(&r.movement, &r.lot),
		`SELECT (SELECT coalesce(max(seq), 0) FROM movement), (SELECT coalesce(max(short), 0) FROM lot)`)
	return r, err
}

// put writes one row.
func (r *writer) put(ctx context.Context, table string, values ...any) {
	if r.failed == nil {
		r.failed = r.stmt[table].Exec(ctx, values...)
	}
}

func (r *writer) id() (id string) {
	id, err := r.tx.NewID()
	if r.failed == nil {
		r.failed = err
	}
	return id
}

// enter writes a copy of the catalog.
func (r *writer) enter(ctx context.Context, b *book) error {
	for _, w := range b.wares {
		r.part(ctx, w)
	}
	for _, k := range b.kits {
		for i, c := range k.contents {
			r.put(ctx, "content", k.ID, i+1, c.ID, c.pieces)
		}
	}
	for _, f := range b.forks {
		r.fork(ctx, f)
	}
	for _, l := range b.labels {
		r.put(ctx, "code", l.code, l.ware.ID, l.pieces, r.person, r.now)
	}
	for _, o := range b.offers {
		r.offer(ctx, o)
	}
	r.replacedNumbers(ctx, b)
	r.stock(ctx, b)
	return r.failed
}

func (r *writer) claim(ctx context.Context, about, subject, field, value, source string) {
	said := r.listed(source)
	r.put(ctx, "claim", about, subject, field, value, said.How, said.Source, r.person, r.now)
}

func (r *writer) part(ctx context.Context, w *ware) {
	w.ID, w.HomeBin = r.id(), r.bins[w.shelf]
	legs := 0
	if w.Role == catalog.Kit {
		legs = 2
	}
	s := w.Size
	r.put(ctx, "part", w.ID, w.Number, catalog.Normal(w.Number), w.Maker, catalog.Normal(w.Maker), w.Role, w.Description, w.Unit,
		s.Inner, s.Outer, s.Height, s.Overall, w.Thread, w.Head, w.Seat, w.Strength, w.Coated, w.Entered, w.Material, w.Elastomer,
		w.HomeBin, w.Minimum, w.Source, legs)
	if text := s.String(); text != "" {
		r.claim(ctx, catalog.AboutPart, w.ID, "size", text, w.Source)
	}
}

func (r *writer) fork(ctx context.Context, f *fork) {
	f.ID = r.id()
	r.put(ctx, "fork", f.ID, f.Name, catalog.Normal(f.Name), f.Layout, f.Leg, f.Note, f.Source)
	for _, l := range f.Legs {
		r.put(ctx, "leg", f.ID, l.Leg, l.Damping, l.Springing)
	}
	for _, p := range f.places {
		p.ID = r.id()
		s := p.Size
		r.put(ctx, "position", p.ID, f.ID, p.Seq, p.Role, p.Leg, p.PerLeg, p.Renew, p.Told, p.Fitted, s.Inner, s.Outer, s.Height, s.Overall,
			p.Thread, p.Note, p.Head, p.Seat, p.Strength, p.Coated, p.Entered)
		for _, w := range p.wares {
			if p.named(w) {
				r.put(ctx, "named", p.ID, w.ID, sources[w.Maker])
				r.claim(ctx, catalog.AboutFit, catalog.FitSubject(p.ID, w.ID), "fits", "yes", sources[w.Maker])
			}
		}
	}
	for _, m := range f.bikes {
		r.put(ctx, "fitment", r.id(), m.Make, catalog.Normal(m.Make), m.Model, catalog.Normal(m.Model), m.Variant, catalog.Normal(m.Variant),
			m.Code, catalog.Normal(m.Code), m.YearFrom, m.YearTo, m.Frames.From, catalog.Normal(m.Frames.From), m.Frames.To,
			catalog.Normal(m.Frames.To), f.ID, m.Source)
	}
}

func (r *writer) offer(ctx context.Context, o offer) {
	id, part := r.id(), ""
	if o.ware != nil {
		part = o.ware.ID
	}
	r.put(ctx, "item", id, r.suppliers[o.supplier].ID, o.number, catalog.Normal(o.number), o.text, part, o.pack, o.price)
	for _, w := range wording.Words(o.text) {
		r.words = append(r.words, [2]string{w, id})
	}
	said := wording.Read(o.text, wording.Known{}).Item()
	if s := said.Size; said != (catalog.Reading{}) {
		r.put(ctx, "reading", id, said.Role, s.Inner, s.Outer, s.Height, s.Overall, said.Thread, said.Leg, said.Pieces)
	}
}

func (r *writer) replacedNumbers(ctx context.Context, b *book) {
	for _, c := range table(successions) {
		old, by, both := b.succession(c)
		r.put(ctx, "replaced", r.id(), old.Maker, catalog.Normal(old.Maker), old.Number, catalog.Normal(old.Number),
			by.Maker, catalog.Normal(by.Maker), by.Number, catalog.Normal(by.Number), both, c[2], c[3], sources[old.Maker], r.person, r.now)
	}
	for _, c := range table(furtherNumbers) {
		n := b.ref(c[1])
		r.put(ctx, "number", r.id(), b.byName[c[0]+b.variant("-V")].ID, n.Maker, catalog.Normal(n.Maker), n.Number, catalog.Normal(n.Number),
			makerList, r.person, r.now)
	}
	r.put(ctx, "usable", b.byName[stillUsable+b.variant("-V")].ID, b.fork(stillUsableFork+b.variant(" V")).ID, callipers, r.person, r.now)
}

// stock lays down what a copy has on the shelf: some of each part with a home.
func (r *writer) stock(ctx context.Context, b *book) {
	posting := r.id()
	r.put(ctx, "posting", posting, fmt.Sprint("demo:large:", b.copy), r.person, r.now)
	for _, w := range b.wares {
		n := int64(hash("large/"+w.Name())%4) * w.bag
		if n == 0 {
			continue
		}
		bin := w.HomeBin
		if bin == "" {
			bin = r.bins[inventory.Intake]
		}
		r.lot++
		r.movement++
		lot := r.id()
		r.put(ctx, "lot", lot, r.lot, w.ID, r.now)
		r.put(ctx, "movement", r.movement, posting, w.ID, bin, lot, n, w.value(n))
	}
}
