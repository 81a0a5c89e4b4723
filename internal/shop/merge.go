package shop

import (
	"cmp"
	"context"
	"time"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/internal/words"
	"forkstock/inventory"
)

// Merges is what could be merged, and what was.
type Merges struct {
	Proposals []MergeProposal `json:"proposals"`
	Merges    []Merged        `json:"merges"` // that stand, and can be undone
}

// MergeProposal is a pair of records that may be one part.
type MergeProposal struct {
	Kept    Part          `json:"kept"`
	Gone    Part          `json:"gone"`
	Reason  fault.Message `json:"reason"`
	Command string        `json:"command"` // shows what it would do
}

// Merged is two records of one part made one, or about to be.
type Merged struct {
	Merge  string     `json:"merge"` // id; empty while it is only shown
	State  string     `json:"state"` // shown, done or undone
	Kept   Part       `json:"kept"`
	Gone   Part       `json:"gone"`
	Reason string     `json:"reason"`
	Person string     `json:"person,omitempty"`
	Time   *time.Time `json:"time,omitempty"`
	Moves  []Moves    `json:"moves"` // from the one that goes to the kept one
	// Used is how much of the stock that had moved was used since, and so does
	// not come back when the merge is undone.
	Used int64 `json:"used"`
}

// Moves is how much of a kind moves: stock, offers, codes, ...
type Moves struct {
	Kind  string        `json:"kind"`
	Count int64         `json:"count"`
	Text  fault.Message `json:"text"`
}

// MergeList proposes what to merge, and lists what was. Nothing to propose is
// no error.
func (s *Shop) MergeList(ctx context.Context) (Merges, error) {
	out := Merges{Proposals: []MergeProposal{}, Merges: []Merged{}}
	err := s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		proposals, err := catalog.Proposals(ctx, tx)
		if err != nil {
			return err
		}
		for _, p := range proposals {
			v := MergeProposal{Reason: p.Why}
			if v.Kept, err = view(ctx, tx, p.Kept, fault.Message{}); err != nil {
				return err
			}
			if v.Gone, err = view(ctx, tx, p.Gone, fault.Message{}); err != nil {
				return err
			}
			v.Command = "forkstock merge " + words.ShellWord(v.Kept.Name()) + " " + words.ShellWord(v.Gone.Name())
			out.Proposals = append(out.Proposals, v)
		}
		merges, err := catalog.Merges(ctx, tx)
		if err != nil {
			return err
		}
		for _, m := range merges {
			v, err := merged(ctx, tx, m, "done")
			if err != nil {
				return err
			}
			out.Merges = append(out.Merges, v)
		}
		return nil
	})
	return out, err
}

// merged shows a merge, without what it moves.
func merged(ctx context.Context, tx *store.Tx, m catalog.Merge, state string) (Merged, error) {
	v := Merged{Merge: m.ID, State: state, Reason: m.Reason, Person: m.Name, Moves: []Moves{}}
	for _, p := range []struct {
		id string
		to *Part
	}{{m.Kept, &v.Kept}, {m.Gone, &v.Gone}} {
		part, err := partView(ctx, tx, p.id)
		if err != nil {
			return v, err
		}
		*p.to = *part
	}
	if m.At == "" {
		return v, nil
	}
	at, err := store.Time(m.At)
	v.Time = &at
	return v, err
}

// MergeShow gives what merging two parts would do, and does nothing. Errors:
// NotFound, Ambiguous, Conflict (they cannot be one part).
func (s *Shop) MergeShow(ctx context.Context, kept, gone string) (out Merged, err error) {
	err = s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		m, err := s.mergeNamed(ctx, tx, kept, gone)
		if err != nil {
			return err
		}
		out, err = mergePlan(ctx, tx, m)
		return err
	})
	return out, err
}

// mergeNamed finds two parts that may be merged, with the reason for which that
// is proposed, if it is.
func (s *Shop) mergeNamed(ctx context.Context, tx *store.Tx, kept, gone string) (m catalog.Merge, err error) {
	a, err := catalog.PartNamed(ctx, tx, kept)
	if err != nil {
		return m, err
	}
	b, err := catalog.PartNamed(ctx, tx, gone)
	if err != nil {
		return m, err
	}
	if err := catalog.Mergeable(ctx, tx, a, b); err != nil {
		return m, err
	}
	m.Kept, m.Gone = a.ID, b.ID
	proposals, err := catalog.Proposals(ctx, tx)
	for _, p := range proposals {
		if p.Kept.ID == a.ID && p.Gone.ID == b.ID || p.Kept.ID == b.ID && p.Gone.ID == a.ID {
			m.Reason = words.For(s.settings.Language).Text(p.Why)
		}
	}
	return m, err
}

func mergePlan(ctx context.Context, tx *store.Tx, m catalog.Merge) (Merged, error) {
	v, err := merged(ctx, tx, m, "shown")
	if err != nil {
		return v, err
	}
	if v.Gone.OnHand > 0 {
		v.Moves = append(v.Moves, Moves{"stock", v.Gone.OnHand, fault.Say("merge.stock", fault.Say("unit."+v.Gone.Unit, v.Gone.OnHand))})
	}
	counts, err := catalog.WouldMove(ctx, tx, m.Kept, m.Gone)
	for _, c := range counts {
		v.Moves = append(v.Moves, Moves{c.Kind, int64(c.Rows), fault.Say("merge."+c.Kind, c.Rows)})
	}
	return v, err
}

// mergeKey begins the keys of the postings that move stock between records.
const mergeKey = "merge:"

// Merge makes two records of one part one: stock, codes, offers and all else
// that points at gone belongs to kept from then on, and gone's number finds
// kept. reason, where empty, is that of the proposal. Errors: NotFound,
// Ambiguous, Conflict (they cannot be one part).
func (s *Shop) Merge(ctx context.Context, kept, gone, reason string) (out Merged, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		m, err := s.mergeNamed(ctx, tx, kept, gone)
		if err != nil {
			return err
		}
		m.Reason, m.Person, m.Name = cmp.Or(tidied(reason), m.Reason), who.ID, who.Name
		plan, err := mergePlan(ctx, tx, m)
		if err != nil {
			return err
		}
		if m.ID, err = tx.NewID(); err != nil {
			return err
		}
		joined, err := inventory.Join(ctx, tx, inventory.Posting{
			Key: mergeKey + m.ID, Content: "merge\n" + m.Kept + "\n" + m.Gone, Person: who.ID, Reason: m.Reason,
		}, m.Gone, m.Kept)
		if err != nil {
			return err
		}
		m.Posting = joined.ID
		if m, err = catalog.MergeParts(ctx, tx, m); err != nil {
			return err
		}
		out, err = merged(ctx, tx, m, "done")
		out.Moves = plan.Moves
		return err
	})
	return out, err
}

// Unmerge undoes a merge, which is named by its id or by the number of the
// record that is gone: everything goes back that is still as the merge left it.
// Errors: NotFound, Ambiguous, Conflict (undone already, or the kept record was
// merged into another).
func (s *Shop) Unmerge(ctx context.Context, name string) (out Merged, err error) {
	err = s.write(ctx, func(ctx context.Context, tx *store.Tx, who Actor) error {
		m, err := catalog.MergeNamed(ctx, tx, name)
		if err != nil {
			return err
		}
		_, used, err := unmerge(ctx, tx, m, inventory.Posting{Person: who.ID})
		if err != nil {
			return err
		}
		out, err = merged(ctx, tx, m, "undone")
		out.Used = used
		return err
	})
	return out, err
}

// unmerge puts back what a merge moved; p is the head of the posting that moves
// the stock back, if any is left.
func unmerge(ctx context.Context, tx *store.Tx, m catalog.Merge, p inventory.Posting) (inventory.Posting, int64, error) {
	if m.Undone {
		return p, 0, fault.New(fault.Conflict, "catalog.merge_undone").WithHint("catalog.merge_undone.hint")
	}
	if err := catalog.UnmergeParts(ctx, tx, m, p.Person); err != nil {
		return p, 0, err
	}
	joined, _, err := inventory.PostingByID(ctx, tx, m.Posting)
	if err != nil {
		return p, 0, err
	}
	p.Key, p.Content = cmp.Or(p.Key, mergeKey+m.ID+"/undo"), undoContent(joined.ID)
	return inventory.Split(ctx, tx, joined, p)
}

// undoContent is what the key of an undo was used for.
func undoContent(posting string) string { return "undo\n" + posting }

// unmergeBy undoes the merge that moved its stock by a posting; ok is false
// where none did. Error: Conflict where the posting undid a merge itself.
func unmergeBy(ctx context.Context, tx *store.Tx, wrong, p inventory.Posting) (_ inventory.Posting, ok bool, err error) {
	if m, undid, err := catalog.MergeByPosting(ctx, tx, wrong.Corrects); err != nil || undid {
		if err == nil {
			err = fault.New(fault.Conflict, "shop.merge_again", m.ID).WithHint("shop.merge_again.hint")
		}
		return p, false, err
	}
	m, ok, err := catalog.MergeByPosting(ctx, tx, wrong.ID)
	if err != nil || !ok {
		return p, false, err
	}
	p, _, err = unmerge(ctx, tx, m, p)
	return p, true, err
}
