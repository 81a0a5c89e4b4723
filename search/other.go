package search

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
)

// Numbers that are not a part's own: further ones, those that it replaced, and
// those of records that were merged into it.

// byOtherNumber adds the parts that have norm, or what begins with it, as a
// further number, and those that replaced the number norm.
func (f *finder) byOtherNumber(ctx context.Context, tx *store.Tx, norm, until string, all set) error {
	var links []link
	err := tx.Each(ctx, func(scan store.Scan) error {
		var part, found string
		var r catalog.Ref
		err := scan(&part, &r.Maker, &r.Number, &found)
		links = append(links, link{part, nameTier(found, norm), fault.Say("search.why_other", r.Name())})
		return err
	}, `SELECT part, maker, number, number_norm FROM other_number WHERE number_norm >= $1 AND number_norm <= $2
		UNION ALL SELECT merged_into, maker, number, number_norm FROM part
			WHERE merged_into IS NOT NULL AND number_norm >= $1 AND number_norm <= $2
		ORDER BY 4, 2 LIMIT $3`, norm, until, mostLinks)
	if err != nil {
		return err
	}
	f.cut = f.cut || len(links) == mostLinks
	if err := addLinks(ctx, tx, all, links); err != nil {
		return err
	}
	return byReplaced(ctx, tx, norm, all)
}

// byReplaced adds what replaced the number norm, of whichever maker.
func byReplaced(ctx context.Context, tx *store.Tx, norm string, all set) error {
	var old []string
	err := tx.Each(ctx, func(scan store.Scan) error {
		var r catalog.Ref
		err := scan(&r.Maker, &r.Number)
		old = append(old, r.Name())
		return err
	}, `SELECT DISTINCT maker, number FROM replacement WHERE number_norm = $1 ORDER BY maker_norm`, norm)
	if err != nil {
		return err
	}
	for _, name := range old {
		if err := byRef(ctx, tx, name, all); err != nil {
			return err
		}
	}
	return nil
}

// byRef adds the part that MAKER/NUMBER stands for as a further number, and the
// newest that the shop keeps of what replaced it.
func byRef(ctx context.Context, tx *store.Tx, name string, all set) error {
	refs, err := catalog.NumbersNamed(ctx, tx, name)
	if err != nil || len(refs) != 1 {
		return err
	}
	n := refs[0]
	if n.Part != "" {
		if err := addLinks(ctx, tx, all, []link{{n.Part, named, fault.Say("search.why_other", n.Name())}}); err != nil {
			return err
		}
	}
	s, found, err := catalog.SuccessionOfNumber(ctx, tx, n.Ref)
	if err != nil || !found || s.Part == "" {
		return err
	}
	return addLinks(ctx, tx, all, []link{{s.Part, replaces, fault.Say("search.why_replaces", n.Name(), s.By.Tail())}})
}

// markOld marks what another number replaced, where it was not asked for by
// number.
func markOld(ctx context.Context, tx *store.Tx, all []candidate) error {
	err := markReplaced(ctx, tx, all)
	for i := range all {
		all[i].old = all[i].tier >= meets && all[i].replaced
	}
	return err
}

// markReplaced marks what another number replaced, where that is not known yet.
func markReplaced(ctx context.Context, tx *store.Tx, all []candidate) error {
	var ids []string
	for _, c := range all {
		if !c.checked {
			ids = append(ids, c.part.ID)
		}
	}
	if ids == nil {
		return nil
	}
	replaced, err := catalog.ReplacedAmong(ctx, tx, ids)
	for i, c := range all {
		all[i].checked, all[i].replaced = true, c.replaced || replaced[c.part.ID]
	}
	return err
}

// sayOld adds to the reason of each part that was replaced by what it was.
func sayOld(ctx context.Context, tx *store.Tx, all []candidate) error {
	if err := markReplaced(ctx, tx, all); err != nil {
		return err
	}
	for i, c := range all {
		if !c.replaced {
			continue
		}
		s, found, err := catalog.SuccessionOf(ctx, tx, c.part.ID)
		if err != nil {
			return err
		}
		if found {
			all[i].why = list([]fault.Message{c.why, s.Old()})
		}
	}
	return nil
}
