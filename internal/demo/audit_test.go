package demo

import (
	"context"
	"errors"
	"slices"
	"testing"

	"forkstock/catalog"
	"forkstock/internal/store"
)

// sameLegs lets two forks of the demo hold the same, sameLooks lets them be
// seen as one; what is known of one alone tells nothing.
const (
	sameLegs = `UPDATE fork_leg SET damping = 'damper_rod', springing = 'coil', cap = iif(leg = 'left', 'plain', '')
		WHERE fork IN (SELECT id FROM fork WHERE name IN ('Corva 39', 'Pasko 39'))`
	sameLooks = `UPDATE fork SET axle_um = NULL, centres_um = iif(name = 'Corva 39', 186000, NULL) WHERE name IN ('Corva 39', 'Pasko 39')`
)

var errEnough = errors.New("enough: put everything back")

// The demo's catalog is clean, and each fault put into it is found and named,
// with a command that mends it.
func TestAudit(t *testing.T) {
	db := filled(t, Options{Seed: 1, End: wednesday})
	look(t, db, func(ctx context.Context, tx *store.Tx) error {
		found, err := catalog.Audit(ctx, tx)
		if len(found) > 0 {
			t.Errorf("%d findings, the first: %+v", len(found), found[0])
		}
		return err
	})
	for name, fault := range map[string]struct {
		kind, about string
		found       int
		sql         []string
	}{
		"nobody fills a place": {"unfilled", "Corva 39", 1, []string{`INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, fitted)
			SELECT 'x', id, 99, 'bladder', 'both', 1, 'judge', 'yes' FROM fork WHERE name = 'Corva 39'`}},
		"a place that may not be there": {"unfilled", "", 0, []string{`INSERT INTO position (id, fork, seq, role, leg, per_leg, renew, fitted)
			SELECT 'x', id, 99, 'bladder', 'both', 1, 'judge', 'unknown' FROM fork WHERE name = 'Corva 39'`}},
		"two forks in one year": {"same_years", "Kaldrin Velda 400", 1, []string{
			`UPDATE fork SET note = '' WHERE name IN ('Corva 39', 'Pasko 39')`,
			sameLegs, sameLooks,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, id FROM fork WHERE name = 'Pasko 39'`,
		}},
		"two forks in one year that the legs tell apart": {"same_years", "", 0, []string{
			`UPDATE fork SET note = '' WHERE name IN ('Corva 39', 'Corva 31')`,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, id FROM fork WHERE name = 'Corva 31'`,
		}},
		"two forks in one year that the damping tells apart": {"same_years", "", 0, []string{
			`UPDATE fork SET note = '' WHERE name IN ('Corva 39', 'Pasko 39')`,
			sameLegs, sameLooks,
			`UPDATE fork_leg SET damping = 'none' WHERE leg = 'left' AND fork = (SELECT id FROM fork WHERE name = 'Pasko 39')`,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, id FROM fork WHERE name = 'Pasko 39'`,
		}},
		"two forks in one year that the axle tells apart": {"same_years", "", 0, []string{
			`UPDATE fork SET note = '' WHERE name IN ('Corva 39', 'Pasko 39')`,
			sameLegs,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, id FROM fork WHERE name = 'Pasko 39'`,
		}},
		"two forks in one year, with a note": {"same_years", "", 0, []string{
			sameLegs, sameLooks,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, id FROM fork WHERE name = 'Pasko 39'`,
		}},
		"two forks by frame number": {"same_years", "", 0, []string{
			`UPDATE fork SET note = '' WHERE name IN ('Corva 39', 'Pasko 39')`,
			sameLegs, sameLooks,
			`INSERT INTO fitment (id, make, make_norm, model, model_norm, year_from, year_to, frame_from, frame_from_norm, fork)
				SELECT 'x', 'Kaldrin', 'KALDRIN', 'Velda 400', 'VELDA400', 2003, 2003, 'KV-500', 'KV500', id FROM fork WHERE name = 'Pasko 39'`,
		}},
		"an empty kit": {"kit_empty", "Pelmora/PK-172", 1, []string{
			`DELETE FROM kit_content WHERE kit = (SELECT id FROM part WHERE number = 'PK-172')`,
		}},
		"a kit for nobody knows how many legs": {"kit_legs", "Pelmora/PK-172", 1, []string{
			`UPDATE part SET legs = NULL WHERE number = 'PK-172'`,
		}},
		"a link with a wrong check digit": {"check_digit", "9521234567890", 1, []string{`INSERT INTO code_link (code, part, pieces, person, since)
			SELECT '9521234567890', id, 1, 'p', 'then' FROM part WHERE number = 'OB395211'`}},
		"a list with a wrong check digit": {"check_digit", "952123456785", 1, []string{
			`UPDATE supplier_item SET code = '952123456785' WHERE id = (SELECT min(id) FROM supplier_item WHERE part IS NOT NULL)`,
		}},
		"a list with a wrong check digit of what the shop does not use": {"check_digit", "", 0, []string{
			`UPDATE supplier_item SET code = '952123456785' WHERE id = (SELECT min(id) FROM supplier_item WHERE part IS NULL)`,
		}},
		"a code of two parts": {"code_twice", "09529999000019", 1, []string{
			`INSERT INTO code_link (code, part, pieces, person, since) SELECT '09529999000019', id, 1, 'p', 'then' FROM part WHERE number = 'OB395211'`,
			`UPDATE supplier_item SET code = '9529999000019' WHERE id = (SELECT min(i.id) FROM supplier_item i JOIN part p ON p.id = i.part WHERE p.number <> 'OB395211')`,
		}},
		"a bottle of one mL": {"code_small", "09529999000019", 1, []string{
			`INSERT INTO code_link (code, part, pieces, person, since) SELECT '09529999000019', min(id), 1, 'p', 'then' FROM part WHERE unit = 'mL'`,
		}},
		"one GTIN in two forms": {"code_twice", "09529999000019", 1, []string{
			`INSERT INTO code_link (code, part, pieces, person, since) SELECT '09529999000019', id, 1, 'p', 'then' FROM part WHERE number = 'OB395211'`,
			`INSERT INTO code_link (code, part, pieces, person, since) SELECT '9529999000019', id, 1, 'p', 'then' FROM part WHERE number = 'OB395211'`,
		}},
		"a number of two sizes": {"number_twice", "OB395211", 1, []string{
			`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit, inner_um, outer_um, elastomer)
				VALUES ('x', 'OB 395211', 'OB395211', 'Other', 'OTHER', 'oil_seal', '', 'piece', 41000, 54000, 'NBR')`,
		}},
		"a number of two roles": {"number_twice", "", 0, []string{
			`INSERT INTO part (id, number, number_norm, maker, maker_norm, role, description, unit, inner_um, outer_um)
				VALUES ('x', 'OB 395211', 'OB395211', 'Other', 'OTHER', 'spacer', '', 'piece', 41000, 54000)`,
		}},
		"another number that is a part's own": {"number_twice", "OB395211", 1, []string{
			`INSERT INTO other_number (id, part, maker, maker_norm, number, number_norm)
				SELECT 'x', id, 'Orbenta', 'ORBENTA', 'OB395211', 'OB395211' FROM part WHERE number = 'PK-172' OR number = 'OB41549' ORDER BY number LIMIT 1`,
		}},
		"rubber of nobody knows what": {"elastomer", "Orbenta/OB395211", 1, []string{`UPDATE part SET elastomer = '' WHERE number = 'OB395211'`}},
		"rubber that is none":         {"elastomer", "Orbenta/OB395211", 1, []string{`UPDATE part SET elastomer = 'NBR/PTFE' WHERE number = 'OB395211'`}},
	} {
		err := db.Write(t.Context(), func(ctx context.Context, tx *store.Tx) error {
			for _, sql := range fault.sql {
				if n, err := tx.Exec(ctx, sql); err != nil || n == 0 {
					t.Errorf("%s: %d rows, %v", name, n, err)
				}
			}
			found, err := catalog.Audit(ctx, tx)
			if err != nil {
				return err
			}
			if len(found) != fault.found {
				t.Errorf("%s: %d findings, want %d: %+v", name, len(found), fault.found, found)
			}
			named := func(f catalog.Finding) bool {
				return f.Kind == fault.kind && f.About == fault.about && !f.Mend.IsZero()
			}
			if fault.found > 0 && !slices.ContainsFunc(found, named) {
				t.Errorf("%s: %+v, want %s of %s", name, found, fault.kind, fault.about)
			}
			return errEnough
		})
		if !errors.Is(err, errEnough) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
