package shop

import (
	"context"
	"slices"

	"forkstock/catalog"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/search"
)

// Renewal is when a role is renewed in this shop.
type Renewal struct {
	Role  catalog.Role `json:"role"`
	Renew string       `json:"renew"`
	Own   bool         `json:"own"` // the shop's own word, not common practice
}

// Renewals gives the roles that the shop renews in its own way.
func (s *Shop) Renewals(ctx context.Context) ([]Renewal, error) {
	out := []Renewal{}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		own, err := catalog.ShopRenewals(ctx, tx)
		for _, role := range catalog.Roles {
			if renew := own[role]; renew != "" {
				out = append(out, Renewal{role, renew, true})
			}
		}
		return err
	})
	return out, err
}

// SetRenewal keeps when the shop renews a role, on every place that was not
// told otherwise by hand; an empty text goes back to common practice. Both are
// read as ids or as the words for them in either language. Errors: Invalid,
// Ambiguous.
func (s *Shop) SetRenewal(ctx context.Context, role, renew string) (Renewal, error) {
	r, err := s.role(tidied(role))
	if err != nil {
		return Renewal{}, err
	}
	out := Renewal{r, wordFor("renew", tidied(renew), catalog.Renewals), true}
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, _ Actor) error {
		return catalog.SetRenewal(ctx, tx, r, out.Renew)
	})
	if out.Renew == "" {
		out = Renewal{r, catalog.Renewal(r), false}
	}
	return out, err
}

// wordFor gives the id of a choice that was typed as a word for it in either
// language, whose messages begin with kind; else what was typed.
func wordFor(kind, typed string, of []string) string {
	for _, id := range of {
		for _, language := range words.Languages {
			for _, name := range []string{id, words.For(language).Say(kind + "." + id)} {
				if catalog.Normal(name) == catalog.Normal(typed) {
					return id
				}
			}
		}
	}
	if kind == "layout" {
		if layout, ok := search.Layout(typed); ok && slices.Contains(of, layout) {
			return layout
		}
	}
	return typed
}

// setWord sets a choice that was told, as wordFor reads it.
func setWord(to *string, typed *string, kind string, of []string) {
	if typed != nil {
		*to = wordFor(kind, tidied(*typed), of)
	}
}
