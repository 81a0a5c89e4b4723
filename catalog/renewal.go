package catalog

import (
	"context"
	"slices"

	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// renewals say when a place is renewed where nobody has said otherwise; any
// other role is a matter of judgement. Common practice, no source.
var renewals = map[Role]string{
	OilSeal: "always", Oil: "always", BottomWasher: "opened", DrainWasher: "opened", BottomBolt: "damage", DrainScrew: "damage",
}

// Renewal gives when places of a role are renewed by common practice.
func Renewal(role Role) string {
	if r := renewals[role]; r != "" {
		return r
	}
	return "judge"
}

// SetRenewal keeps when this shop renews places of a role; empty goes back to
// common practice. A place told by hand keeps its own word. Error: Invalid.
func SetRenewal(ctx context.Context, tx *store.Tx, role Role, renew string) error {
	switch {
	case !slices.Contains(Roles, role):
		return BadRole(string(role))
	case role == Kit || role == "tool":
		return fault.New(fault.Invalid, "catalog.no_place", fault.Say("role."+string(role))).WithHint("catalog.no_place.hint")
	case renew == "":
		_, err := tx.Exec(ctx, `DELETE FROM renewal WHERE role = $1`, role)
		return err
	}
	if err := checkChoice("renew", renew, Renewals); err != nil {
		return err
	}
	_, err := tx.Exec(ctx, `INSERT INTO renewal (role, renew) VALUES ($1, $2)
		ON CONFLICT (role) DO UPDATE SET renew = excluded.renew`, role, renew)
	return err
}

// ShopRenewals gives the roles that this shop renews in its own way.
func ShopRenewals(ctx context.Context, tx *store.Tx) (map[Role]string, error) {
	all := map[Role]string{}
	err := tx.Each(ctx, func(scan store.Scan) error {
		var role Role
		var renew string
		err := scan(&role, &renew)
		all[role] = renew
		return err
	}, `SELECT role, renew FROM renewal ORDER BY role`)
	return all, err
}
