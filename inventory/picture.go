package inventory

import (
	"context"
	"encoding/json"
	"fmt"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Picture is a file of pictures that came with a delivery, and what it gave.
type Picture struct {
	ID       int64
	Delivery string // id
	SHA256   string // of the file's bytes
	Name     string // of the file
	Pages    int    // 0: no picture that can be read
	Symbols  int    // that were read in it
	Why      fault.Message
	Person   string // id
}

// RecordPicture keeps that a file came; the same bytes in the same delivery
// once, and then as they were recorded. Only where nothing had been read in it
// and now something is, it is recorded anew: readers learn.
func RecordPicture(ctx context.Context, tx *store.Tx, p Picture) (_ Picture, repeated bool, err error) {
	all, err := queryPictures(ctx, tx, `SELECT`+pictureColumns+`FROM picture p WHERE p.delivery = $1 AND p.sha256 = $2
		ORDER BY p.id`, p.Delivery, p.SHA256)
	if err != nil {
		return p, false, err
	}
	why, err := packed(p.Why)
	if err != nil {
		return p, false, err
	}
	if len(all) > 0 {
		if all[0].Symbols > 0 || p.Symbols == 0 {
			return all[0], true, nil
		}
		p.ID = all[0].ID
		if _, err := tx.Exec(ctx, `DELETE FROM look WHERE picture = $1 AND scan IS NULL`, p.ID); err != nil {
			return p, false, err
		}
		_, err := tx.Exec(ctx, `UPDATE picture SET pages = $2, symbols = $3, why = $4 WHERE id = $1`, p.ID, p.Pages, p.Symbols, why)
		return p, false, err
	}
	if _, err := tx.One(ctx, store.Into(&p.ID), `SELECT coalesce(max(id), 0) + 1 FROM picture`); err != nil {
		return p, false, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO picture (id, delivery, sha256, name, pages, symbols, why, person, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		p.ID, p.Delivery, p.SHA256, p.Name, p.Pages, p.Symbols, why, p.Person, store.Stamp(tx.Now))
	return p, false, err
}

const pictureColumns = ` p.id, p.delivery, p.sha256, p.name, p.pages, p.symbols, p.why, p.person `

func queryPictures(ctx context.Context, tx *store.Tx, query string, args ...any) ([]Picture, error) {
	var all []Picture
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (p Picture, err error) {
		var why string
		if err := scan(&p.ID, &p.Delivery, &p.SHA256, &p.Name, &p.Pages, &p.Symbols, &why, &p.Person); err != nil {
			return p, err
		}
		p.Why, err = unpacked(why)
		return p, err
	}), query, args...)
	return all, err
}

// PicturesOf gives the pictures of a delivery in the order in which they came.
func PicturesOf(ctx context.Context, tx *store.Tx, delivery string) ([]Picture, error) {
	return queryPictures(ctx, tx, `SELECT`+pictureColumns+`FROM picture p WHERE p.delivery = $1 ORDER BY p.id`, delivery)
}

// PictureSeen gives the first record of a file in which something was read, by
// the sum of its bytes, in whatever delivery; found is false where there is
// none.
func PictureSeen(ctx context.Context, tx *store.Tx, sum string) (p Picture, found bool, err error) {
	all, err := queryPictures(ctx, tx, `SELECT`+pictureColumns+`FROM picture p WHERE p.sha256 = $1 AND p.symbols > 0
		ORDER BY p.id LIMIT 1`, sum)
	if err != nil || len(all) == 0 {
		return p, false, err
	}
	return all[0], true, nil
}

// Look is what a place in a picture looked like: that of a scan that waits, or
// of something that was not believed or could not be read.
type Look struct {
	ID        int64
	Picture   int64
	Scan      int64 // 0: it was not read
	Page      int
	Symbology string // of what was not believed
	Text      string
	Why       fault.Message // zero for a scan
	JPEG      []byte        // empty where there is nothing to show
}

// KeepLook keeps a look.
func KeepLook(ctx context.Context, tx *store.Tx, l Look) error {
	why, err := packed(l.Why)
	if err != nil {
		return err
	}
	var scan any
	if l.Scan != 0 {
		scan = l.Scan
	}
	_, err = tx.Exec(ctx, `INSERT INTO look (picture, scan, page, symbology, text, why, jpeg) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		l.Picture, scan, l.Page, l.Symbology, l.Text, why, append([]byte{}, l.JPEG...))
	return err
}

// UnreadLooks gives what was not read in a picture, without the JPEG; those
// that have none have no id.
func UnreadLooks(ctx context.Context, tx *store.Tx, picture int64) ([]Look, error) {
	var all []Look
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (l Look, err error) {
		var why string
		if err := scan(&l.ID, &l.Picture, &l.Page, &l.Symbology, &l.Text, &why); err != nil {
			return l, err
		}
		l.Why, err = unpacked(why)
		return l, err
	}), `SELECT iif(length(jpeg) > 0, id, 0), picture, page, symbology, text, why FROM look WHERE picture = $1 AND scan IS NULL ORDER BY look.id`, picture)
	return all, err
}

// LookOfCode gives the id of a look of the scans of a code that wait, 0 where
// there is none.
func LookOfCode(ctx context.Context, tx *store.Tx, code string) (id int64, err error) {
	_, err = tx.One(ctx, store.Into(&id), `SELECT l.id FROM scan s JOIN look l ON l.scan = s.seq
		WHERE s.code = $1 AND s.state IN ('open', 'unknown', 'to_confirm') ORDER BY l.id LIMIT 1`, code)
	return id, err
}

// LookJPEG gives the picture of a look. Error: NotFound.
func LookJPEG(ctx context.Context, tx *store.Tx, id int64) (jpeg []byte, err error) {
	found, err := tx.One(ctx, store.Into(&jpeg), `SELECT jpeg FROM look WHERE id = $1`, id)
	if err == nil && (!found || len(jpeg) == 0) {
		err = fault.New(fault.NotFound, "inventory.look_absent")
	}
	return jpeg, err
}

// saved is a message as it is kept: its id and arguments, so that it is told
// in the language of the day.
type saved struct {
	ID   string `json:"id"`
	Args []any  `json:"args,omitempty"`
}

// packed gives a message as JSON, "" for the zero message.
func packed(m fault.Message) (string, error) {
	if m.IsZero() {
		return "", nil
	}
	b, err := json.Marshal(toSaved(m))
	return string(b), err
}

func toSaved(m fault.Message) saved {
	s := saved{ID: m.ID}
	for _, a := range m.Args {
		switch a := a.(type) {
		case fault.Message:
			s.Args = append(s.Args, toSaved(a))
		case string, int, int64:
			s.Args = append(s.Args, a)
		default:
			s.Args = append(s.Args, fmt.Sprint(a))
		}
	}
	return s
}

// unpacked gives the message of its JSON.
func unpacked(text string) (m fault.Message, err error) {
	if text == "" {
		return m, nil
	}
	var s struct {
		ID   string            `json:"id"`
		Args []json.RawMessage `json:"args"`
	}
	if err := json.Unmarshal([]byte(text), &s); err != nil {
		return m, err
	}
	m.ID = s.ID
	for _, raw := range s.Args {
		var arg any
		switch raw[0] {
		case '{':
			if arg, err = unpacked(string(raw)); err != nil {
				return m, err
			}
		case '"':
			var text string
			err = json.Unmarshal(raw, &text)
			arg = text
		default:
			var n int64
			err = json.Unmarshal(raw, &n)
			arg = n
		}
		if err != nil {
			return m, err
		}
		m.Args = append(m.Args, arg)
	}
	return m, nil
}
