package inventory

import (
	"context"
	"regexp"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/gs1"
	"forkstock/internal/store"
)

// Intake is the name of the bin that every shop has from the start.
const Intake = "INTAKE"

// Bin is a place where parts lie.
type Bin struct {
	ID   string
	Name string
	Kind string // "shelf", "intake", "tray" (parts of a job), "blocked" (wrong, damaged, suspect: never picked)
}

// binName allows what fits on a shelf label: letters, digits, dashes and
// dots, beginning with a letter or digit.
var binName = regexp.MustCompile(`^[\p{L}\d][\p{L}\d.-]{0,23}$`)

// AddBin adds a bin. Errors: Invalid (a name that no label can carry),
// Conflict (there is one already).
func AddBin(ctx context.Context, tx *store.Tx, b Bin) (Bin, error) {
	if !binName.MatchString(b.Name) {
		return b, fault.New(fault.Invalid, "inventory.bad_bin", b.Name).WithHint("inventory.bad_bin.hint")
	}
	old, found, err := binNamed(ctx, tx, b.Name)
	if err != nil {
		return b, err
	}
	if found {
		return b, fault.New(fault.Conflict, "inventory.bin_twice", old.Name)
	}
	if b.ID, err = tx.NewID(); err != nil {
		return b, err
	}
	_, err = tx.Exec(ctx, `INSERT INTO bin (id, name, name_norm, kind) VALUES ($1, $2, $3, $4)`,
		b.ID, b.Name, strings.ToUpper(b.Name), b.Kind)
	return b, err
}

// binNamed finds a bin by its name, or by the code on its label.
func binNamed(ctx context.Context, tx *store.Tx, name string) (b Bin, found bool, err error) {
	found, err = tx.One(ctx, store.Into(&b.ID, &b.Name, &b.Kind),
		`SELECT id, name, kind FROM bin WHERE name_norm = $1`, strings.ToUpper(strings.TrimSpace(name)))
	if code, gtin := gs1.Key("", name); gtin && err == nil && !found {
		return BinOfCode(ctx, tx, code)
	}
	return b, found, err
}

// BinNamed finds a bin by its name, or by the code on its label. Error:
// NotFound.
func BinNamed(ctx context.Context, tx *store.Tx, name string) (Bin, error) {
	b, found, err := binNamed(ctx, tx, name)
	if err == nil && !found {
		e := fault.New(fault.NotFound, "inventory.bin_absent", name)
		if binName.MatchString(name) {
			e.WithHint("inventory.bin_absent.hint", name)
		} else {
			e.WithHint("inventory.bad_bin.hint")
		}
		err = e
	}
	return b, err
}

// FreeBin gives the bin of an id where parts may be taken from it, else the
// id of INTAKE.
func FreeBin(ctx context.Context, tx *store.Tx, id string) (string, error) {
	var b Bin
	found, err := tx.One(ctx, store.Into(&b.ID, &b.Name, &b.Kind), `SELECT id, name, kind FROM bin WHERE id = $1`, id)
	if err != nil || found && b.Free() {
		return b.ID, err
	}
	b, err = BinNamed(ctx, tx, Intake)
	return b.ID, err
}

// Bins gives every bin, by name.
func Bins(ctx context.Context, tx *store.Tx) ([]Bin, error) {
	var all []Bin
	err := tx.Each(ctx, collect(&all, func(scan store.Scan) (b Bin, err error) {
		return b, scan(&b.ID, &b.Name, &b.Kind)
	}), `SELECT id, name, kind FROM bin ORDER BY name_norm`)
	return all, err
}

// PartsIn gives the parts (by id) that lie in a bin or have it for their home,
// and its name; that is empty where there is no bin of a name, or with such a
// code on its label.
func PartsIn(ctx context.Context, tx *store.Tx, name string) (bin string, parts []string, err error) {
	b, known, err := binNamed(ctx, tx, name)
	if err != nil || !known {
		return "", nil, err
	}
	err = tx.Each(ctx, func(scan store.Scan) error {
		var part string
		err := scan(&part)
		parts = append(parts, part)
		return err
	}, `SELECT id FROM part WHERE home_bin = $1 UNION SELECT part FROM balance WHERE bin = $1 AND amount > 0 ORDER BY 1`, b.ID)
	return b.Name, parts, err
}
