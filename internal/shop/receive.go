package shop

import (
	"context"
	"fmt"
	"image"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Intake is what came in: pictures, hand-scanner lines, or both.
type Intake struct {
	Delivery string // name; empty: that of the order, else the day's
	Order    string // its number or code, which the delivery is for; empty: none is named
	Supplier string // name, of the delivery; empty: as was told before, if it was
	Bin      string // name; empty: each part's home
	Session  string // names the lines, so that the same lines again add nothing; empty: a new one
	Pictures []Picture
	Apart    bool      // a picture that cannot be read is told and does not keep the others out
	Once     bool      // a picture that came before, with whatever delivery, is not counted again
	Lines    io.Reader // nil: none
}

// Received is what became of an intake, or of codes that waited. The same
// intake again gives the same lines, with Repeated telling how many scans had
// been counted before.
type Received struct {
	Delivery  string        `json:"delivery,omitempty"`
	Supplier  string        `json:"supplier,omitempty"` // that the delivery came from
	Session   string        `json:"session,omitempty"`
	Bins      []BinSeen     `json:"bins,omitempty"` // labels of bins among what was scanned
	Symbols   []Seen        `json:"symbols"`        // what was recognised
	Lines     []Line        `json:"lines"`          // what is in stock by it
	Repeated  int           `json:"repeated"`
	Unknown   []Unknown     `json:"unknown"`    // wait until somebody says what they stand for
	ToConfirm []ToConfirm   `json:"to_confirm"` // wait: one pack or two?
	SamePack  int           `json:"same_pack"`  // counted with another code of the same pack
	Ignored   int           `json:"ignored"`    // codes that are no part
	Again     []Again       `json:"again"`      // counted before in another picture of the delivery
	Earlier   int           `json:"earlier"`    // packs that stay posted as what the code stood for before
	Undone    []Undone      `json:"undone"`     // posted once and undone since: not in stock
	Linked    *Linked       `json:"linked,omitempty"`
	Counts    int64         `json:"counts,omitempty"` // packs with the code that was linked that count in open deliveries
	Refused   []Refused     `json:"refused"`          // looked like a barcode and was not believed
	Unread    []Unread      `json:"unread"`
	Pictures  []Viewed      `json:"pictures"`
	Order     int64         `json:"order,omitempty"` // that the delivery is for
	Over      []Line        `json:"over"`            // more than was ordered
	Short     []Outstanding `json:"short"`           // less than was ordered
	Owing     []Owing       `json:"owing,omitempty"` // complaints about what was short, of which something came now
}

// New gives the number of scans that were not counted before.
func (r Received) New() int { return len(r.Symbols) - r.Repeated }

// Linked is what a code stands for from now on.
type Linked struct {
	Code     string `json:"code"`
	Number   string `json:"number"` // empty: no part
	Maker    string `json:"maker"`
	Unit     string `json:"unit"`
	Pieces   int64  `json:"pieces"`
	Supplier string `json:"supplier,omitempty"` // on whose goods alone
}

// Seen is a barcode that was recognised, and what became of it.
type Seen struct {
	Image     string `json:"image,omitempty"` // the picture's file name, empty for a hand scanner
	Line      int    `json:"line,omitempty"`  // of the hand scanner, from 1
	Symbology string `json:"symbology,omitempty"`
	Text      string `json:"text"`
	Code      string `json:"code"`
	State     string `json:"state"`            // posted, unknown, to_confirm, same_pack, ignored
	Number    string `json:"number,omitempty"` // of the part
	Unit      string `json:"unit,omitempty"`
	Repeated  bool   `json:"repeated"`
	// Odd is what is odd about the label, or that the line was repaired.
	Odd []fault.Message `json:"odd,omitempty"`
}

// Again is a code that was counted in two pictures of one delivery: two packs,
// or two photographs of one.
type Again struct {
	Code    string `json:"code"`
	Image   string `json:"image"`
	Earlier string `json:"earlier"` // the picture before
	Command string `json:"command"` // takes the second back
}

// Undone is a scan whose posting was undone.
type Undone struct {
	Code    string `json:"code"`
	Command string `json:"command"` // takes the undo back
}

// Line is what came in of one part, into one bin, of one lot.
type Line struct {
	Number string       `json:"number"`
	Maker  string       `json:"maker"`
	Role   catalog.Role `json:"role"`
	Sizes
	Unit   string `json:"unit"`
	Amount int64  `json:"amount"`
	New    int64  `json:"new"` // of it, what was not counted before
	Bin    string `json:"bin"`
	Lot    int64  `json:"lot"`
	UseBy  string `json:"use_by"`
	// OneLess is the command that takes the pack back that came last.
	OneLess string `json:"one_less,omitempty"`
}

// Unknown is a code that waits until somebody says what it stands for.
type Unknown struct {
	Code      string        `json:"code"`
	Symbology string        `json:"symbology"`
	Count     int           `json:"count"`
	Image     string        `json:"image"`              // the picture in which it was first seen, empty for a hand scanner
	Line      int           `json:"line,omitempty"`     // of the hand scanner
	Readings  []string      `json:"readings,omitempty"` // eight digits that can be two codes
	Note      fault.Message `json:"note,omitzero"`      // what is odd about it
	Look      int64         `json:"look,omitempty"`     // what it looks like in a picture, see Look
	Text      string        `json:"text,omitempty"`     // as scanned, where a label rule read the code out of it
	Supplier  string        `json:"supplier,omitempty"` // whose rule that is, or from whom it came
	Packs     int64         `json:"packs"`              // in all, as the labels say
	Meant     []Meant       `json:"meant"`              // what it is likely to stand for
	Read      []LabelRead   `json:"read,omitempty"`     // what label rules of several suppliers make of it
	Delivery  string        `json:"delivery"`           // with which it was first seen
	Day       string        `json:"day"`                // YYYY-MM-DD, on which that was
	from      string        // id of the supplier
}

// ToConfirm is a code that may be on the same pack as another.
type ToConfirm struct {
	Code    string        `json:"code"`
	Beside  string        `json:"beside"` // the code that was counted
	Number  string        `json:"number"` // the part of both
	Unit    string        `json:"unit"`
	Count   int           `json:"count"`
	Why     fault.Message `json:"why"`
	Command string        `json:"command"` // counts it as a pack of its own
	Look    int64         `json:"look,omitempty"`
}

// Outstanding is what of an order did not come.
type Outstanding struct {
	Number  string `json:"number"`
	Unit    string `json:"unit"`
	Missing int64  `json:"missing"`
}

var sessionName = regexp.MustCompile(`^[\p{L}\d][\p{L}\d ._:-]{0,79}$`)

// Receive records everything that was scanned and posts it, in one
// transaction. Codes that nobody knows wait; nothing is lost, and the same
// scans again add nothing. Errors: Invalid (a file that is no picture, a line
// that is no scan), NotFound (the bin), Conflict (the session belongs to
// another delivery, or says something else this time).
func (s *Shop) Receive(ctx context.Context, in Intake) (Received, error) {
	pictures, err := s.readAll(ctx, in.Pictures, in.Apart)
	if err != nil {
		return Received{}, err
	}
	var typed []scanner.Line
	if in.Lines != nil {
		if typed, err = s.typed(ctx, in.Lines); err != nil {
			return Received{}, err
		}
	}
	if in.Session != "" && !sessionName.MatchString(in.Session) {
		return Received{}, fault.New(fault.Invalid, "shop.bad_session", in.Session).WithHint("shop.bad_session.hint")
	}
	if n := packs(typed); n > mostLines {
		return Received{}, fault.New(fault.Invalid, "shop.many_lines", n, mostLines).WithHint("shop.many_lines.hint")
	}
	r := receiving{s: s, in: in}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		r.tx, r.who = tx, who
		if err := r.begin(ctx); err != nil {
			return err
		}
		if pictures, err = r.unseen(ctx, pictures); err != nil {
			return err
		}
		for _, p := range pictures {
			if err := r.picture(ctx, p.name, p.pic); err != nil {
				return err
			}
		}
		if in.Lines != nil {
			if err := r.session(ctx, typed); err != nil {
				return err
			}
		}
		if err := r.finish(ctx); err != nil {
			return err
		}
		return r.keep(ctx, pictures)
	})
	if err != nil {
		return Received{}, err
	}
	out, err := s.tell(ctx, r.scans, r.repeated, r.pictures...)
	out.Delivery, out.Bins = r.delivery.Name, r.bins
	if err == nil {
		out.Supplier, err = s.supplierName(ctx, r.delivery.Supplier)
	}
	if err == nil {
		err = s.againstOrder(ctx, r.delivery, &out)
	}
	if in.Lines != nil {
		out.Session = r.in.Session
	}
	for _, p := range pictures {
		out.note(p)
	}
	return out, err
}

// mostLines is how many hand-scanner lines are received in one transaction, so
// that others do not wait for longer than they will.
const mostLines = 20_000

// BinSeen is the label of a bin among what was scanned. It is no pack: what a
// hand scanner reads behind it goes into the bin. A picture says nothing of
// where its packs go.
type BinSeen struct {
	Bin   string `json:"bin"`
	Image string `json:"image,omitempty"` // the picture's file name, empty for a hand scanner
	Line  int    `json:"line,omitempty"`  // of the hand scanner, from 1
}

// binLabel notes the label of a bin, and reports whether a code is one.
func (r *receiving) binLabel(ctx context.Context, code, image string, line int) (inventory.Bin, bool, error) {
	b, found, err := inventory.BinOfCode(ctx, r.tx, code)
	if found {
		r.bins = append(r.bins, BinSeen{b.Name, image, line})
	}
	return b, found, err
}

// receiving is one intake under way.
type receiving struct {
	s        *Shop
	tx       *store.Tx
	who      Actor
	in       Intake
	delivery inventory.Delivery
	bin      string // id
	bins     []BinSeen
	scans    []inventory.Scan
	settled  []inventory.Scan // that waited for the supplier to be known
	foreseen []inventory.Foreseen
	repeated []bool // of scans: was recorded before
	pictures []viewing
}

// begin finds the delivery and the bin.
func (r *receiving) begin(ctx context.Context) (err error) {
	supplier, order, err := r.from(ctx)
	if err != nil {
		return err
	}
	name := trimmed(r.in.Delivery)
	if name == "" && order.ID != "" {
		name = codeOfOrder(order.Number) + " " + r.tx.Today()
	}
	if name == "" {
		name = trimmed(r.tx.Today() + " " + inventory.DeliveryWords(supplier.Name))
	}
	if r.in.Bin != "" {
		b, err := inventory.BinNamed(ctx, r.tx, r.in.Bin)
		if err != nil {
			return err
		}
		r.bin = b.ID
	}
	if r.delivery, err = inventory.DeliveryNamed(ctx, r.tx, name); err != nil {
		return err
	}
	if err := r.delivery.Takes(); err != nil {
		return err
	}
	if order.ID != "" {
		r.delivery, err = join(ctx, r.tx, r.delivery, order)
	}
	if err == nil && supplier.ID != "" && !r.open() {
		r.delivery, r.settled, err = supply(ctx, r.tx, r.delivery, supplier.ID, r.who.ID, false)
	}
	return err
}

// supply says from which supplier (id) a delivery came, settles what of it
// waited for that, and books anew what was booked as what the code stands for on
// other goods. Error: Short where that is not all there any more.
func supply(ctx context.Context, tx *store.Tx, d inventory.Delivery, supplier, person string, instead bool) (inventory.Delivery, []inventory.Scan, error) {
	if d.Supplier == supplier {
		return d, nil, nil
	}
	d, err := inventory.SetSupplier(ctx, tx, d, supplier, instead)
	if err != nil {
		return d, nil, err
	}
	settled, err := inventory.Resettle(ctx, tx, func(sc inventory.Scan) bool { return sc.Delivery == d.ID })
	if err != nil {
		return d, nil, err
	}
	wrong, err := inventory.MisbookedOf(ctx, tx, d)
	for _, sc := range wrong {
		if sc, err = inventory.Rebook(ctx, tx, sc, person); err != nil {
			return d, nil, err
		}
		settled = append(settled, sc)
	}
	return d, settled, err
}

// add queues a scan.
func (r *receiving) add(sc inventory.Scan) {
	sc.Delivery, sc.Supplier, sc.Person, sc.Bin = r.delivery.ID, r.delivery.Supplier, r.who.ID, r.bin
	sc.Content = sc.Text + "\n" + r.bin + sc.Content
	r.scans = append(r.scans, sc)
}

// picture queues the symbols of a picture, keyed by what was seen.
func (r *receiving) picture(ctx context.Context, name string, pic scanner.Picture) error {
	for _, y := range pic.Symbols {
		code, times := filed(y.Key, y.Text, y.Elements)
		if _, bin, err := r.binLabel(ctx, code, name, 0); err != nil {
			return err
		} else if bin {
			continue
		}
		r.add(inventory.Scan{
			Key:       r.key(pic, y),
			Symbology: y.Symbology, Text: y.Text, Code: code, Times: times,
			Batch: y.Elements.Batch(), UseBy: y.Elements.UseBy(r.tx.Now), Printed: printed(y.Elements, r.tx.Now), Serial: y.Elements.Serial(),
			Source: name, Sheet: r.sheet(pic, y), Box: y.Bounds(),
		})
	}
	return nil
}

// session queues hand-scanner lines, keyed by session and line number; the
// second of a line that stands for several packs by its number, too.
func (r *receiving) session(ctx context.Context, lines []scanner.Line) (err error) {
	if r.in.Session == "" {
		if r.in.Session, err = r.tx.NewID(); err != nil {
			return err
		}
	}
	if err := inventory.JoinSession(ctx, r.tx, r.in.Session, r.delivery); err != nil {
		return err
	}
	for _, l := range lines {
		code, times := filedLine(l)
		if b, bin, err := r.binLabel(ctx, code, "", l.Number); err != nil {
			return err
		} else if bin {
			r.bin = b.ID
			continue
		}
		sc := inventory.Scan{
			Key:       fmt.Sprintf("session/%s/%d", r.in.Session, l.Number),
			Symbology: l.Symbology, Text: l.Text, Code: code, Times: times,
			Batch: l.Elements.Batch(), UseBy: l.Elements.UseBy(r.tx.Now), Printed: printed(l.Elements, r.tx.Now), Serial: l.Elements.Serial(),
			Source: r.in.Session, Sheet: "session/" + r.in.Session, Box: image.Rect(0, l.Number, 0, l.Number),
			Keyboard: l.Keyboard,
		}
		if l.Times > 1 {
			sc.Content = fmt.Sprintf("\n=%d", l.Times)
		}
		r.add(sc)
		for nth := 2; nth <= l.Times; nth++ {
			again := sc
			again.Key = fmt.Sprintf("%s/%d", sc.Key, nth)
			r.add(again)
		}
	}
	return nil
}

// DeliveryFrom says from which supplier a delivery came, and settles what of it
// waited for that. Errors: NotFound, Conflict (another supplier was told
// before, unless instead is set).
func (s *Shop) DeliveryFrom(ctx context.Context, name, supplier string, instead bool) (Received, error) {
	var settled []inventory.Scan
	var d inventory.Delivery
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) (err error) {
		if d, err = inventory.KnownDelivery(ctx, tx, trimmed(name)); err != nil {
			return err
		}
		v, err := catalog.SupplierNamed(ctx, tx, supplier)
		if err != nil {
			return err
		}
		supplier = v.Name
		d, settled, err = supply(ctx, tx, d, v.ID, who.ID, instead)
		return err
	})
	if err != nil {
		return Received{}, err
	}
	out, err := s.tell(ctx, settled, nil)
	out.Delivery, out.Supplier = d.Name, supplier
	return out, err
}

func (s *Shop) supplierName(ctx context.Context, id string) (name string, err error) {
	if id == "" {
		return "", nil
	}
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		name, err = supplierName(ctx, tx, id)
		return err
	})
	return name, err
}

// printed gives the further days that stand on a pack.
func printed(es gs1.Elements, now time.Time) inventory.Printed {
	return inventory.Printed{Made: es.Day(now, "11"), BestBefore: es.Day(now, "15"), SellBy: es.Day(now, "16")}
}

// filed gives the code under which a scan is filed, and how many of what it
// stands for are in the pack. A carton that names what is inside (AI 02) is as
// many of those as it says (AI 37); one that does not say stays as it is.
func filed(key func() (string, bool), text string, elements gs1.Elements) (code string, times int64) {
	code, _ = key()
	if _, carton := elements.Get("02"); !carton || !strings.HasPrefix(code, "(02)") {
		return code, 1
	}
	count, _ := elements.Get("37")
	n, err := strconv.ParseInt(count, 10, 64)
	if err != nil || n < 1 {
		return trimmed(text), 1
	}
	return code, n
}

// finish records every scan, then settles those that are new: what tells a
// batch or a date first, so that of two codes on a pack that one is posted.
// Those of an open delivery stay recorded.
func (r *receiving) finish(ctx context.Context) error {
	r.repeated = make([]bool, len(r.scans))
	for i, sc := range r.scans {
		var err error
		if r.scans[i], r.repeated[i], err = inventory.Record(ctx, r.tx, sc); err != nil {
			return err
		}
	}
	if r.open() {
		return r.foresee(ctx)
	}
	for _, i := range inventory.DatedFirst(r.scans) {
		if r.repeated[i] {
			continue
		}
		var err error
		if r.scans[i], err = inventory.Settle(ctx, r.tx, r.scans[i]); err != nil {
			return err
		}
	}
	for i, sc := range r.scans {
		if !r.repeated[i] {
			continue
		}
		var err error
		if r.scans[i], _, err = inventory.ScanBySeq(ctx, r.tx, sc.Seq); err != nil {
			return err
		}
	}
	r.scans = append(r.scans, r.settled...)
	r.repeated = append(r.repeated, make([]bool, len(r.settled))...)
	return nil
}

// line gives the number of a hand-scanner line, 0 for a symbol of a picture.
func line(sc inventory.Scan) int {
	if sc.Picture() {
		return 0
	}
	return sc.Box.Min.Y
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }
