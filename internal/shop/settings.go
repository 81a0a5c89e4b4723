package shop

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	_ "time/tzdata" // zones on machines that have none

	"forkstock/internal/fault"
	"forkstock/internal/sheet"
	"forkstock/internal/store"
	"forkstock/internal/store/sqlite"
	"forkstock/internal/words"
	"forkstock/inventory"
	"forkstock/scanner"
)

// Settings are what a shop is set to.
type Settings struct {
	Zone     string `json:"zone"`     // IANA name; decides days and weeks
	Currency string `json:"currency"` // ISO 4217
	Language string `json:"language"` // of words.Languages
	Person   string `json:"person"`   // who acts where no --by names another
	Demo     bool   `json:"demo"`     // an invented shop, which may be built anew
	Catalog  string `json:"catalog"`  // id of this catalog; an index of another one is not used

	// How labels are usually printed; empty and 0 where nobody has said.
	Labels    string `json:"labels"`     // the sheet or roll, as sheet.ParseGrid reads it
	LabelCode string `json:"label_code"` // of LabelCodes
	DPI       int    `json:"label_dpi"`  // dots of the printer to the inch

	ITF []int `json:"itf"` // digits that an ITF barcode in a picture may have besides 14

	zone    *time.Location
	renewed string // when indexes were last to be made anew, see Reindex
}

// Location gives the shop's zone.
func (s Settings) Location() *time.Location { return s.zone }

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

func (s *Settings) check() error {
	zone, err := time.LoadLocation(s.Zone)
	if err != nil || s.Zone == "" || s.Zone == "Local" {
		return fault.New(fault.Invalid, "shop.bad_zone", s.Zone).WithHint("shop.bad_zone.hint")
	}
	s.zone = zone
	if !currencyCode.MatchString(s.Currency) {
		return fault.New(fault.Invalid, "shop.bad_currency", s.Currency).WithHint("shop.bad_currency.hint")
	}
	if !slices.Contains(words.Languages, s.Language) {
		return fault.New(fault.Invalid, "shop.bad_language", s.Language).WithHint("shop.bad_language.hint")
	}
	if err := s.checkLabels(); err != nil {
		return err
	}
	return checkPerson(s.Person)
}

// checkLabels checks how labels are printed, and puts it in its usual form.
func (s *Settings) checkLabels() error {
	if s.Labels != "" {
		g, err := sheet.ParseGrid(s.Labels)
		if err != nil {
			return err
		}
		s.Labels = g.String()
	}
	if s.LabelCode != "" && !slices.Contains(LabelCodes, s.LabelCode) {
		return badCode(s.LabelCode)
	}
	return sheet.Print{DPI: s.DPI}.Check()
}

// Init makes an empty shop in a folder, which it makes too. Errors: Invalid,
// Conflict (there is a shop already), Denied.
func Init(ctx context.Context, dir string, settings Settings, opt Options) error {
	if err := settings.check(); err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return folderFault(dir, err)
	}
	// Made under another name, so that a shop is there whole or not at all.
	path, unfinished := filepath.Join(dir, file), filepath.Join(dir, ".unfinished.db")
	if _, err := os.Stat(path); err == nil {
		return fault.New(fault.Conflict, "shop.twice", dir).WithHint("shop.twice.hint", dir)
	}
	defer removeFile(unfinished)
	if err := removeFile(unfinished); err != nil {
		return folderFault(dir, err)
	}
	db, err := sqlite.Open(ctx, unfinished, sqlite.Options{Create: true, Clock: opt.Clock, Random: opt.Random})
	if err != nil {
		return err
	}
	if err := errors.Join(db.Write(ctx, settings.begin), db.Close()); err != nil {
		return err
	}
	if err := os.Link(unfinished, path); errors.Is(err, os.ErrExist) {
		return fault.New(fault.Conflict, "shop.twice", dir).WithHint("shop.twice.hint", dir)
	} else if err != nil {
		return folderFault(dir, err)
	}
	return nil
}

// begin enters what every shop has from the start.
func (s Settings) begin(ctx context.Context, tx *store.Tx) (err error) {
	if s.Catalog, err = tx.NewID(); err != nil {
		return err
	}
	if _, err := person(ctx, tx, s.Person); err != nil {
		return err
	}
	if _, err := inventory.AddBin(ctx, tx, inventory.Bin{Name: inventory.Intake, Kind: "intake"}); err != nil {
		return err
	}
	for name, value := range s.rows() {
		if _, err := tx.Exec(ctx, `INSERT INTO setting (name, value) VALUES ($1, $2)`, name, value); err != nil {
			return err
		}
	}
	return nil
}

// removeFile removes a database's file and those that stand beside it while it
// is open.
func removeFile(path string) error {
	for _, name := range []string{path, path + "-wal", path + "-shm"} {
		if err := os.Remove(name); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	return nil
}

// folderFault explains why a folder cannot be made or read.
func folderFault(dir string, err error) error {
	switch {
	case errors.Is(err, os.ErrNotExist):
		return fault.New(fault.NotFound, "shop.absent", dir).WithHint("shop.absent.hint", dir).WithCause(err)
	case errors.Is(err, os.ErrPermission):
		return fault.New(fault.Denied, "shop.denied", dir).WithHint("shop.denied.hint", dir).WithCause(err)
	case errors.Is(err, syscall.EROFS):
		return fault.New(fault.Denied, "shop.denied", dir).WithHint("shop.denied.hint", dir).WithCause(err)
	case errors.Is(err, syscall.ENOSPC):
		return fault.New(fault.Full, "store.full").WithHint("store.full.hint").WithCause(err)
	}
	return fault.New(fault.Invalid, "shop.no_folder", dir).WithHint("shop.no_folder.hint").WithCause(err)
}

func (s Settings) rows() map[string]string {
	rows := map[string]string{
		"zone": s.Zone, "currency": s.Currency, "language": s.Language, "person": s.Person, "catalog": s.Catalog, "demo": "no",
		"itf": strings.Trim(fmt.Sprint(s.ITF), "[]"), // none is something to change to
	}
	if s.Demo {
		rows["demo"] = "yes"
	}
	for name, value := range map[string]string{"labels": s.Labels, "label_code": s.LabelCode, "label_dpi": strconv.Itoa(s.DPI)} {
		if value != "" && value != "0" {
			rows[name] = value
		}
	}
	return rows
}

func loadSettings(ctx context.Context, db *store.DB) (Settings, error) {
	rows := map[string]string{}
	err := db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		return tx.Each(ctx, func(scan store.Scan) error {
			var name, value string
			err := scan(&name, &value)
			rows[name] = value
			return err
		}, `SELECT name, value FROM setting ORDER BY name`)
	})
	set := Settings{
		Zone: rows["zone"], Currency: rows["currency"], Language: rows["language"], Person: rows["person"],
		Catalog: rows["catalog"], Demo: rows["demo"] == "yes", renewed: rows["index"], Labels: rows["labels"], LabelCode: rows["label_code"],
	}
	set.DPI, _ = strconv.Atoi(rows["label_dpi"])
	if err != nil {
		return set, err
	}
	if set.ITF, err = scanner.ParseITFLengths(rows["itf"]); err != nil {
		return set, err
	}
	return set, set.check()
}

// Language gives the language of the shop in a folder, where there is one that
// can be read. It changes nothing and complains about nothing.
func Language(dir string) (language string, ok bool) {
	if _, err := os.Stat(filepath.Join(dir, file)); err != nil {
		return "", false
	}
	ctx := context.Background()
	db, err := sqlite.Open(ctx, filepath.Join(dir, file), sqlite.Options{})
	if err != nil {
		return "", false
	}
	defer db.Close()
	set, err := loadSettings(ctx, db)
	return set.Language, err == nil
}

// Settings gives what the shop is set to.
func (s *Shop) Settings() Settings { return s.settings }

// Change is what SetSettings changes; an empty field stays as it is.
type Change struct {
	Zone, Currency, Language string
	Labels, LabelCode        string
	DPI                      int
	ITF                      string // lengths as scanner.ParseITFLengths reads them
}

// SetSettings changes settings. Errors: Invalid; Conflict where the currency
// would change under prices that are there.
func (s *Shop) SetSettings(ctx context.Context, c Change) (Settings, error) {
	set := s.settings
	for _, f := range []struct {
		to   *string
		from string
	}{{&set.Zone, c.Zone}, {&set.Currency, c.Currency}, {&set.Language, c.Language}, {&set.Labels, c.Labels}, {&set.LabelCode, c.LabelCode}} {
		if f.from != "" {
			*f.to = f.from
		}
	}
	if c.DPI != 0 {
		set.DPI = c.DPI
	}
	if c.ITF != "" {
		var err error
		if set.ITF, err = scanner.ParseITFLengths(c.ITF); err != nil {
			return set, err
		}
	}
	if err := set.check(); err != nil {
		return set, err
	}
	was := s.settings.rows()
	err := s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		if set.Currency != s.settings.Currency {
			var n int64
			if _, err := tx.One(ctx, store.Into(&n), `SELECT (SELECT count(*) FROM supplier_item WHERE pack_price_minor > 0)
				+ (SELECT count(*) FROM movement WHERE value_minor <> 0)`); err != nil {
				return err
			}
			if n > 0 {
				return fault.New(fault.Conflict, "shop.currency_used", s.settings.Currency, n)
			}
		}
		for name, value := range set.rows() {
			if value == was[name] { // another program may have changed it meanwhile
				continue
			}
			if _, err := tx.Exec(ctx, `INSERT INTO setting (name, value) VALUES ($1, $2)
				ON CONFLICT (name) DO UPDATE SET value = excluded.value`, name, value); err != nil {
				return err
			}
		}
		return nil
	})
	return set, err
}

// Remove takes a shop's files out of a folder, and the folder where nothing
// else is in it. It asks nothing: the caller has made sure. Error: Busy while
// another program has the shop open.
func Remove(ctx context.Context, dir string) error {
	path := filepath.Join(dir, file)
	if err := sqlite.Alone(ctx, path); err != nil {
		return err
	}
	if err := removeFile(path); err != nil {
		return folderFault(dir, err)
	}
	for _, own := range []string{filepath.Join("index", "command"), filepath.Join("index", "server"), "uploads"} {
		if err := os.RemoveAll(filepath.Join(dir, own)); err != nil {
			return folderFault(dir, err)
		}
	}
	_ = os.Remove(filepath.Join(dir, "index")) // only where they are empty
	_ = os.Remove(dir)
	return nil
}
