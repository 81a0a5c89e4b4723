package web

import (
	"net/http"
	"net/url"

	"forkstock/catalog"
	"forkstock/internal/shop"
)

// forkPage is the sheet for the bench: a fork, what both legs need, and what
// of it is missing.
type forkPage struct {
	shop.Fork
	Places   []place
	Lacking  []place    // places that are renewed in every job
	LackWorn []place    // places that are renewed where the inspection says so
	Oils     []shop.Fit // that are named for the fork
	Place    placeForm
	Seen     *said // that was said to be right or wrong, or taken back
}

// place is a position with its parts apart: what fits and lies here, what fits
// and would have to be bought, what only comes near, what does not fit, and old
// versions.
type place struct {
	shop.Position
	Here, Empty, Near, Unfit, Old []shop.Fit
}

func placeOf(p shop.Position) place {
	out := place{Position: p}
	for _, f := range p.Parts {
		switch {
		case f.Verdict == catalog.Near:
			out.Near = append(out.Near, f)
		case f.Verdict == catalog.No && !f.Old:
			out.Unfit = append(out.Unfit, f)
		case f.Verdict == catalog.No:
			out.Old = append(out.Old, f)
		case f.OnHand == 0:
			out.Empty = append(out.Empty, f)
		default:
			out.Here = append(out.Here, f)
		}
	}
	return out
}

func (s *site) fork(w http.ResponseWriter, r *http.Request) error {
	q, err := forkQuery(r)
	if err != nil {
		return err
	}
	return s.showFork(w, r, http.StatusOK, q, placeForm{Values: url.Values{}})
}

func (s *site) showFork(w http.ResponseWriter, r *http.Request, status int, q shop.ForkQuery, form placeForm) error {
	fork, err := s.shop.Fork(r.Context(), q)
	if err != nil {
		return err
	}
	form.roles(fork.Positions)
	page := forkPage{Fork: fork, Place: form, Seen: saidOf(r, fork.Sources)}
	for _, position := range fork.Positions {
		p := placeOf(position)
		page.Places = append(page.Places, p)
		if p.Role == catalog.Oil {
			page.Oils = append(page.Oils, append(p.Here, p.Empty...)...)
		}
		switch {
		case p.Missing == 0:
		case p.Renew == "always" || p.Renew == "opened":
			page.Lacking = append(page.Lacking, p)
		default:
			page.LackWorn = append(page.LackWorn, p)
		}
	}
	return s.show(w, r, status, "fork", fork.Fork, page)
}
