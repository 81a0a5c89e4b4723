package inventory

import (
	"context"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Bag is one that was found on a shelf without a number. It is booked by a
// posting; where that was undone it is aside again.
type Bag struct {
	Seq     int64  // written on one that is left aside
	Key     string // of the form that told of it first
	Marking string // as it stands on the part
	Size    string // as it was typed from the callipers
	Amount  int64  // of the part's unit; 0: not counted yet
	Bin     string // id; "": not told
	Note    string
	Part    string // id, once it is known
	Posting string // id; "": it is aside
	Printed string // store.Stamp, when its label was printed; "": it waits
	Dropped string // store.Stamp, when it was found to be none
	Person  string // id
	At      string // store.Stamp
	Photos  []int64
}

// Booked reports whether its pieces are in the book.
func (b Bag) Booked() bool { return b.Posting != "" }

// KeepBag records a bag that has no Seq yet, or what is told of it anew.
func KeepBag(ctx context.Context, tx *store.Tx, b Bag) (Bag, error) {
	null := func(s string) any {
		if s == "" {
			return nil
		}
		return s
	}
	if b.Seq == 0 {
		if _, err := tx.One(ctx, store.Into(&b.Seq), `SELECT coalesce(max(seq), 0) + 1 FROM bag`); err != nil {
			return b, err
		}
		b.At = store.Stamp(tx.Now)
		_, err := tx.Exec(ctx, `INSERT INTO bag (seq, key, person, at) VALUES ($1, $2, $3, $4)`, b.Seq, b.Key, b.Person, b.At)
		if err != nil {
			return b, err
		}
	}
	_, err := tx.Exec(ctx, `UPDATE bag SET marking = $2, size = $3, amount = $4, bin = $5, note = $6, part = $7, posting = $8, printed = $9,
		dropped = $10 WHERE seq = $1`, b.Seq, b.Marking, b.Size, b.Amount, null(b.Bin), b.Note, null(b.Part), null(b.Posting), b.Printed, b.Dropped)
	return b, err
}

const bagColumns = ` b.seq, b.key, b.marking, b.size, b.amount, coalesce(b.bin, ''), b.note, coalesce(b.part, ''),
	CASE WHEN EXISTS (SELECT 1 FROM posting u WHERE u.corrects = b.posting) THEN '' ELSE coalesce(b.posting, '') END,
	b.printed, b.dropped, b.person, b.at `

func queryBags(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Bag, error) {
	var all []Bag
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (b Bag, err error) {
		return b, scan(&b.Seq, &b.Key, &b.Marking, &b.Size, &b.Amount, &b.Bin, &b.Note, &b.Part, &b.Posting, &b.Printed, &b.Dropped,
			&b.Person, &b.At)
	}), query, args...)
	if err != nil {
		return nil, err
	}
	for i := range all {
		err := tx.Each(ctx, func(scan store.Scan) error {
			var id int64
			err := scan(&id)
			all[i].Photos = append(all[i].Photos, id)
			return err
		}, `SELECT id FROM bag_photo WHERE bag = $1 ORDER BY id`, all[i].Seq)
		if err != nil {
			return nil, err
		}
	}
	return all, nil
}

// Bags gives every bag that was not dropped, the newest first.
func Bags(ctx context.Context, tx *store.Tx) ([]Bag, error) {
	return queryBags(ctx, tx, `SELECT`+bagColumns+`FROM bag b WHERE b.dropped = '' ORDER BY b.seq DESC`)
}

// BagNumbered gives a bag by its number. Error: NotFound.
func BagNumbered(ctx context.Context, tx *store.Tx, seq int64) (Bag, error) {
	all, err := queryBags(ctx, tx, `SELECT`+bagColumns+`FROM bag b WHERE b.seq = $1`, seq)
	if err == nil && len(all) == 0 {
		err = fault.New(fault.NotFound, "inventory.bag_absent", seq).WithHint("inventory.bag_absent.hint")
	}
	if err != nil {
		return Bag{}, err
	}
	return all[0], nil
}

// BagOfKey gives the bag of which a form told first.
func BagOfKey(ctx context.Context, tx *store.Tx, key string) (b Bag, found bool, err error) {
	all, err := queryBags(ctx, tx, `SELECT`+bagColumns+`FROM bag b WHERE b.key = $1`, key)
	if err != nil || len(all) == 0 {
		return b, false, err
	}
	return all[0], true, nil
}

// BagsPrinted gives the booked bags whose label was printed at a time, "" for
// those that wait for it, in the order in which they came.
func BagsPrinted(ctx context.Context, tx *store.Tx, stamp string) ([]Bag, error) {
	all, err := queryBags(ctx, tx, `SELECT`+bagColumns+`FROM bag b WHERE b.printed = $1 AND b.dropped = '' AND b.posting IS NOT NULL
		ORDER BY b.seq`, stamp)
	var booked []Bag
	for _, b := range all {
		if b.Booked() {
			booked = append(booked, b)
		}
	}
	return booked, err
}

// KeepPhoto keeps a picture of a bag as JPEG, the same file once.
func KeepPhoto(ctx context.Context, tx *store.Tx, bag int64, sha256 string, jpeg []byte) error {
	_, err := tx.Exec(ctx, `INSERT INTO bag_photo (bag, sha256, jpeg, at) VALUES ($1, $2, $3, $4) ON CONFLICT (bag, sha256) DO NOTHING`,
		bag, sha256, jpeg, store.Stamp(tx.Now))
	return err
}

// PhotosOf gives the pictures of the bags that were booked as a part, the
// newest first.
func PhotosOf(ctx context.Context, tx *store.Tx, part string) (all []int64, err error) {
	err = tx.Each(ctx, func(scan store.Scan) error {
		var id int64
		err := scan(&id)
		all = append(all, id)
		return err
	}, `SELECT f.id FROM bag b JOIN bag_photo f ON f.bag = b.seq WHERE b.part = $1 AND b.posting IS NOT NULL
		AND NOT EXISTS (SELECT 1 FROM posting u WHERE u.corrects = b.posting) ORDER BY f.id DESC`, part)
	return all, err
}

// Photo gives a picture of a bag as JPEG. Error: NotFound.
func Photo(ctx context.Context, tx *store.Tx, id int64) (jpeg []byte, err error) {
	found, err := tx.One(ctx, store.Into(&jpeg), `SELECT jpeg FROM bag_photo WHERE id = $1`, id)
	if err == nil && !found {
		err = fault.New(fault.NotFound, "inventory.photo_absent", id)
	}
	return jpeg, err
}
