package shop

import (
	"context"
	"slices"

	"forkstock/internal/sheet"
	"forkstock/scanner"
)

// orders adds the labels of orders: for the folder that waits for the parcel, or
// to lay with it. Their bars hold the code of the order, which begins its delivery.
func (l *labelling) orders(ctx context.Context) error {
	for _, name := range l.q.Orders {
		p, err := orderNamed(ctx, l.tx, name)
		if err != nil {
			return err
		}
		o, err := l.s.order(ctx, l.tx, p)
		if err != nil {
			return err
		}
		if slices.ContainsFunc(l.out.Labels, func(v Label) bool { return v.Order == o.Number }) {
			continue
		}
		n := Label{Order: o.Number, Code: o.Code, Text: o.Code, Copies: l.q.Copies}
		n.label = sheet.Label{Heads: []string{l.words.Say("order.sheet.title", o.Number)}, Lines: []string{o.Supplier}, Number: o.Code}
		switch {
		case o.Expected != "":
			n.label.Lines = append(n.label.Lines, l.words.Say("order.text.expected", o.Expected))
		case o.State == "draft":
			n.label.Lines = append(n.label.Lines, l.words.Say("order.state.draft"))
		}
		if n.label.Symbol, err = scanner.Encode(l.out.Code, o.Code); err != nil {
			return err
		}
		l.out.Labels = append(l.out.Labels, n)
	}
	return nil
}
