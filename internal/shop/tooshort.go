package shop

import (
	"context"

	"forkstock/catalog"
	"forkstock/internal/fault"
	"forkstock/internal/store"
	"forkstock/inventory"
)

// explain says where the part lies when there is too little of it.
func (m *moving) explain(ctx context.Context, tx *store.Tx, err error) error {
	if fault.Of(err).Message.ID != "inventory.short" {
		return err
	}
	hint := "shop.short.hint"
	if m.q.Kind == inventory.SendBack { // what nobody brought is not sent back
		hint = "shop.short_sent.hint"
	}
	return shortOf(ctx, tx, m.part, err, hint)
}

// shortOf adds to what says that there is too little of a part where it lies.
func shortOf(ctx context.Context, tx *store.Tx, part catalog.Part, short error, hint string) error {
	e := fault.Of(short)
	lines, err := inventory.Stock(ctx, tx, part.ID)
	if err != nil {
		return err
	}
	var bins []string
	in := map[string]int64{}
	for _, l := range lines {
		if in[l.Bin.Name] == 0 {
			bins = append(bins, l.Bin.Name)
		}
		in[l.Bin.Name] += l.Amount
	}
	there := fault.Say("shop.nowhere")
	for i, bin := range bins {
		where := fault.Say("shop.in_bin", in[bin], bin)
		if i == 0 {
			there = where
		} else {
			there = fault.Say("list.comma", there, where)
		}
	}
	return &fault.Error{
		Kind: fault.Short, Message: fault.Say("shop.short", part.Number, e.Message, there),
		Hint: fault.Say(hint), Err: e,
	}
}
