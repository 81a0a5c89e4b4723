package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/shop"
)

// mergesPage is what could be made one part, and what was.
type mergesPage struct {
	All  shop.Merges
	Done string // id of the merge that was just done
}

// mergePage is what merging two parts would do.
type mergePage struct {
	shop.Merged
	Apart bool // they were one until just now
}

// merge shows what merging the parts kept and gone would do; without them,
// which parts could be merged, and which were.
func (s *site) merge(w http.ResponseWriter, r *http.Request) error {
	kept, gone := strings.TrimSpace(r.FormValue("kept")), strings.TrimSpace(r.FormValue("gone"))
	if kept == "" {
		all, err := s.shop.MergeList(r.Context())
		if err != nil {
			return err
		}
		return s.show(w, r, http.StatusOK, "merges", s.printer.Say("web.merge"), mergesPage{all, r.FormValue("done")})
	}
	plan, err := s.shop.MergeShow(r.Context(), kept, gone)
	if err != nil {
		return err
	}
	used, err := number(r, "used", 0)
	if err != nil {
		return err
	}
	plan.Used = used
	return s.show(w, r, http.StatusOK, "merge", s.printer.Say("web.merge"), mergePage{plan, r.FormValue("apart") != ""})
}

// mergeParts makes two parts one. Sent twice it is refused: they are one by
// then.
func (s *site) mergeParts(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	f := r.PostForm
	done, err := s.shop.Merge(r.Context(), f.Get("kept"), f.Get("gone"), f.Get("reason"))
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/merge?"+url.Values{"done": {done.Merge}}.Encode()+"#done", http.StatusSeeOther)
	return nil
}

// unmerge makes them two parts again, and shows them beside each other.
func (s *site) unmerge(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	done, err := s.shop.Unmerge(r.Context(), r.PostForm.Get("merge"))
	if err != nil {
		return err
	}
	query := url.Values{"kept": {done.Kept.Name()}, "gone": {done.Gone.Name()}, "apart": {"yes"}}
	if done.Used > 0 {
		query.Set("used", strconv.FormatInt(done.Used, 10))
	}
	http.Redirect(w, r, "/merge?"+query.Encode(), http.StatusSeeOther)
	return nil
}

// replaced keeps that a part was replaced by another number.
func (s *site) replaced(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	field := func(name string) *string { text := strings.TrimSpace(r.PostForm.Get(name)); return &text }
	both := r.PostForm.Get("both_ways") != ""
	part := *field("part")
	_, err := s.shop.AddReplacement(r.Context(), part, *field("by"), shop.ReplacementFacts{
		BothWays: &both, Known: *field("sure") != "yes", Since: field("since"), Reason: field("reason"), Source: field("source"),
	})
	if err != nil {
		return err
	}
	http.Redirect(w, r, toXref(part), http.StatusSeeOther)
	return nil
}

// usable keeps that old stock of a part may still be fitted to a fork, or takes
// that back.
func (s *site) usable(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	var err error
	if field("no_longer") != "" {
		_, err = s.shop.DropUsable(r.Context(), field("part"), field("no_longer"))
	} else {
		_, err = s.shop.AddUsable(r.Context(), field("part"), field("fork"), field("source"))
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, toXref(field("part")), http.StatusSeeOther)
	return nil
}

// toXref gives the place on a part's page that tells what replaces it.
func toXref(part string) string { return "/part?" + url.Values{"name": {part}}.Encode() + "#xref" }
