package inventory

import (
	"cmp"
	"context"
	"image"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// States of a scan.
const (
	ScanOpen      = "open"       // recorded, not looked up yet; so all of an open delivery
	ScanPosted    = "posted"     // in the ledger
	ScanUnknown   = "unknown"    // waits: nobody has said what its code stands for
	ScanToConfirm = "to_confirm" // waits: it may be the same pack as another
	ScanSamePack  = "same_pack"  // counted with another
	ScanIgnored   = "ignored"    // its code is no part
)

// Scan is one barcode that was seen, once. It is kept from the moment it was
// read, also while its code waits to be known.
type Scan struct {
	Seq       int64
	Key       string // what was scanned, never when; unique
	Content   string // the same key with other content is a conflict
	Delivery  string // id
	Person    string // id
	Bin       string // id of the bin that was asked for; empty: the part's home
	Symbology string
	Text      string // as read
	Code      string // as the catalog files it
	Batch     string
	UseBy     string          // YYYY-MM-DD
	Printed                   // further days on it
	Serial    string          // of the piece, AI 21
	Source    string          // the picture's file name, or the session
	Sheet     string          // the page of the picture, or the session: where neighbours are looked for
	Box       image.Rectangle // in pixels; a hand-scanner line has its number in Min.Y and an empty box
	State     string
	Beside    int64  // seq of the scan that may be the same pack, 0 for none
	Posting   string // id
	Keyboard  string // id of the wrong keyboard that the text was repaired from, empty for none
	Rule      int64  // number of the supplier's label rule by which Code was read out of Text, 0 for none
	Times     int64  // how many of what Code stands for the label says are in the pack
	Supplier  string // id, of the rule, else of the delivery; empty: not known
	Part      string // id, of a pack without a code that was told by hand; empty: the code says it
	Pieces    int64  // in that pack
	Back      string // store.Stamp of when it was taken back, empty: it counts
	from      string // id of the supplier of the delivery
}

// Picture reports whether the scan was read from a picture.
func (s Scan) Picture() bool { return !s.Box.Empty() }

const scanColumns = ` s.seq, s.key, s.content, s.delivery, s.person, coalesce(s.bin, ''), s.symbology, s.text, s.code,
	s.batch, s.use_by, s.made, s.best_before, s.sell_by, s.serial, s.source, s.sheet, s.x0, s.y0, s.x1, s.y1, s.state, coalesce(s.beside, 0), coalesce(s.posting, ''),
	s.keyboard, coalesce(s.rule, 0), s.times, coalesce((SELECT r.supplier FROM label_rule r WHERE r.number = s.rule), ''),
	coalesce((SELECT d.supplier FROM delivery d WHERE d.id = s.delivery), ''), coalesce(s.part, ''), s.pieces, s.back `

func queryScans(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Scan, error) {
	var all []Scan
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (s Scan, err error) {
		defer func() { s.Supplier = cmp.Or(s.Supplier, s.from) }()
		return s, scan(&s.Seq, &s.Key, &s.Content, &s.Delivery, &s.Person, &s.Bin, &s.Symbology, &s.Text, &s.Code,
			&s.Batch, &s.UseBy, &s.Made, &s.BestBefore, &s.SellBy, &s.Serial, &s.Source, &s.Sheet, &s.Box.Min.X, &s.Box.Min.Y, &s.Box.Max.X, &s.Box.Max.Y,
			&s.State, &s.Beside, &s.Posting, &s.Keyboard, &s.Rule, &s.Times, &s.Supplier, &s.from,
			&s.Part, &s.Pieces, &s.Back)
	}), query, args...)
	return all, err
}

// NewScan gives a scan that is not recorded yet, of a supplier's delivery where
// that is known.
func NewScan(s Scan) Scan {
	s.State, s.Times, s.from = ScanOpen, max(s.Times, 1), s.Supplier
	return s
}

// Record keeps a scan. One whose key was recorded before comes back as it is
// now, with repeated set. Error: Conflict where the key was used with other
// content.
func Record(ctx context.Context, tx *store.Tx, s Scan) (_ Scan, repeated bool, err error) {
	old, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.key = $1 ORDER BY s.seq`, s.Key)
	if err != nil {
		return s, false, err
	}
	if len(old) == 1 {
		if old[0].Content != s.Content {
			switch {
			case old[0].Text == s.Text && old[0].Bin != s.Bin:
				return s, true, fault.New(fault.Conflict, "inventory.scan_bin", s.Text).WithHint("inventory.scan_bin.hint")
			case old[0].Text == s.Text:
				return s, true, fault.New(fault.Conflict, "inventory.scan_times", s.Text).WithHint("inventory.scan_times.hint")
			}
			return s, true, fault.New(fault.Conflict, "inventory.scan_changed", s.Text, old[0].Text).
				WithHint("inventory.scan_changed.hint")
		}
		return old[0], true, nil
	}
	s = NewScan(s)
	_, err = tx.One(ctx, store.Into(&s.Seq), `INSERT INTO scan (seq, key, content, delivery, person, at, bin, symbology, text, code, batch,
		use_by, source, sheet, x0, y0, x1, y1, state, keyboard, times, made, best_before, sell_by, serial, part, pieces)
		VALUES ((SELECT coalesce(max(seq), 0) + 1 FROM scan), $1, $2, $3, $4, $5, nullif($6, ''), $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23, $24, nullif($25, ''), $26)
		RETURNING seq`, s.Key, s.Content, s.Delivery, s.Person, store.Stamp(tx.Now), s.Bin, s.Symbology, s.Text, s.Code, s.Batch,
		s.UseBy, s.Source, s.Sheet, s.Box.Min.X, s.Box.Min.Y, s.Box.Max.X, s.Box.Max.Y, s.State, s.Keyboard, s.Times,
		s.Made, s.BestBefore, s.SellBy, s.Serial, s.Part, s.Pieces)
	return s, false, err
}

// save writes what became of a scan.
func (s Scan) save(ctx context.Context, tx *store.Tx) error {
	_, err := tx.Exec(ctx, `UPDATE scan SET state = $2, code = $3, beside = nullif($4, 0), posting = nullif($5, ''),
		rule = nullif($6, 0), times = $7 WHERE seq = $1`, s.Seq, s.State, s.Code, s.Beside, s.Posting, s.Rule, s.Times)
	return err
}

// ScanBySeq gives a scan; ok is false where there is none.
func ScanBySeq(ctx context.Context, tx *store.Tx, seq int64) (Scan, bool, error) {
	all, err := queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.seq = $1 ORDER BY s.seq`, seq)
	if err != nil || len(all) == 0 {
		return Scan{}, false, err
	}
	return all[0], true, nil
}

// SeenBefore gives the picture in which the code of a scan was counted before
// in the same delivery, where there is one.
func SeenBefore(ctx context.Context, tx *store.Tx, s Scan) (source string, found bool, err error) {
	found, err = tx.One(ctx, store.Into(&source), `SELECT source FROM scan WHERE code = $1 AND state = 'posted'
		AND delivery = $2 AND sheet <> $3 AND seq < $4 AND x1 > x0 ORDER BY seq DESC LIMIT 1`, s.Code, s.Delivery, s.Sheet, s.Seq)
	return source, found, err
}

// Waiting gives the scans that wait to be known or confirmed, oldest first.
func Waiting(ctx context.Context, tx *store.Tx) ([]Scan, error) {
	return queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.state IN ('unknown', 'to_confirm') ORDER BY s.seq`)
}

// CountWaiting counts the scans that wait to be known, and to be confirmed.
func CountWaiting(ctx context.Context, tx *store.Tx) (unknown, confirm int, err error) {
	_, err = tx.One(ctx, store.Into(&unknown, &confirm), `SELECT count(*) FILTER (WHERE state = 'unknown'),
		count(*) FILTER (WHERE state = 'to_confirm') FROM scan WHERE state IN ('unknown', 'to_confirm')`)
	return unknown, confirm, err
}

// Waits reports whether a scan waits for a code to be known.
func Waits(ctx context.Context, tx *store.Tx, code string) (bool, error) {
	return tx.One(ctx, store.Into(new(int64)), `SELECT seq FROM scan WHERE code = $1 AND state = 'unknown' ORDER BY seq LIMIT 1`, code)
}

// ScansOf gives the scans of a delivery in their order.
func ScansOf(ctx context.Context, tx *store.Tx, delivery string) ([]Scan, error) {
	return queryScans(ctx, tx, `SELECT`+scanColumns+`FROM scan s WHERE s.delivery = $1 ORDER BY s.seq`, delivery)
}
