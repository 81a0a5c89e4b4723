package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// partPage is a part, with the forms that move it.
type partPage struct {
	shop.PartPage
	All    []string // bins
	Filled []string // bins that hold some
	Done   []shop.Entry
	Undone bool   // what was done is undone by now
	Undo   bool   // what was done was an undoing itself
	Again  bool   // the form had been sent before
	List   string // the supplier whose list it was taken from just now, empty for none

	Xref shop.Xref // by what it can be replaced

	Seen  *said    // that was said to be right or wrong, or taken back
	Known []string // to choose the fork from that it was seen to fit

	Suppliers []string

	Kept shop.PartKept // how it is kept and sold, and what is spoken for or out
	Did  string        // what a form did that moves nothing

	Found       *shop.Entry // what the book had not known of and the form brought in
	FoundUndone bool

	Remarks []fault.Message // what is odd about what a form did
}

// Buying gives the form for what was bought round the corner.
func (page partPage) Buying() buying {
	b := buying{Part: page.Name(), Unit: page.Unit, Suppliers: page.Suppliers}
	if len(page.Offers) == 1 {
		b.Supplier = page.Offers[0].Supplier
	}
	return b
}

func (s *site) part(w http.ResponseWriter, r *http.Request) error {
	part, err := s.shop.PartPage(r.Context(), r.FormValue("name"))
	if err != nil {
		return err
	}
	page := partPage{PartPage: part, Filled: part.Bins, Again: r.FormValue("again") != "", List: r.FormValue("list")}
	page.Seen, page.Did = saidOf(r, part.Sources), r.FormValue("did")
	if page.Kept, err = s.shop.PartKept(r.Context(), part.Name()); err != nil {
		return err
	}
	if page.Xref, err = s.shop.Xref(r.Context(), part.Name()); err != nil {
		return err
	}
	if page.Known, err = s.shop.ForkNames(r.Context(), mostHits); err != nil {
		return err
	}
	if page.All, err = s.shop.Bins(r.Context()); err != nil {
		return err
	}
	if page.Suppliers, err = s.shop.SupplierNames(r.Context()); err != nil {
		return err
	}
	if id := r.FormValue("done"); id != "" {
		found, err := number(r, "found", 0)
		if err != nil {
			return err
		}
		if err := page.tell(r, s.shop, id, found); err != nil {
			return err
		}
	}
	return s.show(w, r, http.StatusOK, "part", part.Number, page)
}

// tell looks up what a form has done: the posting, and the movement by which
// something was found for it, 0 for none.
func (page *partPage) tell(r *http.Request, open *shop.Shop, posting string, found int64) error {
	ledger, err := open.Ledger(r.Context(), shop.LedgerRequest{Part: page.Name()})
	if err != nil {
		return err
	}
	if page.Remarks, err = open.Remarks(r.Context(), posting); err != nil {
		return err
	}
	for _, e := range ledger.Movements {
		switch {
		case e.Posting == posting:
			page.Done, page.Undo = append(page.Done, e), e.Corrects != ""
		case e.Seq == found:
			page.Found = &e
		}
		page.Undone = page.Undone || e.Corrects == posting
		page.FoundUndone = page.FoundUndone || page.Found != nil && e.Corrects == page.Found.Posting
	}
	return nil
}

// movingPaths are the addresses that move pieces, and what they do.
var movingPaths = map[string]string{
	"/issue": inventory.Issue, "/return": inventory.Return, "/scrap": inventory.Scrap, "/move": inventory.Move,
	"/sell": inventory.Sale, "/lend": inventory.Lend, "/lend/back": inventory.LentBack,
	"/borrow": inventory.Borrow, "/borrow/back": inventory.BorrowedBack,
}

// move takes, puts back, throws away, moves, sells, lends or borrows pieces; the
// address says which.
func (s *site) move(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	amount, err := number(r, "amount", 0)
	if err != nil {
		return err
	}
	field := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	done, err := s.shop.Move(r.Context(), shop.MoveRequest{
		Kind: movingPaths[r.URL.Path], Part: field("part"), Amount: amount,
		Bin: field("bin"), To: field("to"), Reason: field("reason"), Key: field("key"), Found: field("found") == "yes",
		Job: field("job"), Partner: field("partner"), Due: field("until"), Price: field("price"), Kept: field("kept") == "yes",
	})
	if err != nil {
		return err
	}
	s.donePart(w, r, field("part"), done)
	return nil
}

// undo enters the reverse of a posting.
func (s *site) undo(w http.ResponseWriter, r *http.Request) error {
	if err := form(r); err != nil {
		return err
	}
	found, err := number(r, "found", 0)
	if err != nil {
		return err
	}
	f := r.PostForm
	done, err := s.shop.Undo(r.Context(), f.Get("posting"), f.Get("key"), "")
	if err != nil {
		return err
	}
	if delivery := f.Get("delivery"); delivery != "" {
		http.Redirect(w, r, waitingAt(delivery, url.Values{"undone": {"yes"}}), http.StatusSeeOther)
		return nil
	}
	done.FoundSeq = found
	s.donePart(w, r, f.Get("part"), done)
	return nil
}

// donePart leads back to the part, which tells what was done.
func (s *site) donePart(w http.ResponseWriter, r *http.Request, part string, done shop.Posted) {
	query := url.Values{"name": {part}, "done": {done.Posting.ID}}
	if done.Repeated {
		query.Set("again", "yes")
	}
	if done.FoundSeq != 0 {
		query.Set("found", strconv.FormatInt(done.FoundSeq, 10))
	}
	http.Redirect(w, r, "/part?"+query.Encode(), http.StatusSeeOther)
}
