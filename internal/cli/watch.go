package cli

import (
	"context"
	"encoding/json"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
)

func (a *app) watchCommand() *cobra.Command {
	var q shop.WatchRequest
	cmd := a.command("watch FOLDER [--delivery NAME] [--bin BIN] [--once]", 1, 1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Folder = args[0]
			return a.watch(ctx, s, q)
		}))
	cmd.Flags().StringVar(&q.Delivery, "delivery", "", a.words.Say("cli.flag.delivery"))
	cmd.Flags().StringVar(&q.Bin, "bin", "", a.words.Say("cli.flag.bin"))
	cmd.Flags().BoolVar(&q.Once, "once", false, a.words.Say("cli.flag.watch_once"))
	return cmd
}

// watch tells what happens in a folder as it happens, as text or as a line of
// JSON each. With --once, codes that wait and pictures without a barcode are
// exit 1.
func (a *app) watch(ctx context.Context, s *shop.Shop, q shop.WatchRequest) error {
	if !a.json && !q.Once {
		a.say("cli.watch.begins", q.Folder)
		a.out.Flush()
	}
	count, wait := map[string]int{}, false
	err := s.Watch(ctx, q, func(t shop.Watched) {
		count[t.State]++
		wait = wait || t.State == shop.WatchUnread || t.State == shop.WatchLeft || t.Received != nil && waits(*t.Received) != nil
		if a.json {
			a.jsonLine(&t)
		} else {
			a.watched(t)
		}
		a.out.Flush()
	})
	if !a.json {
		a.say("cli.watch.sum", count[shop.WatchTaken], count[shop.WatchRepeated], count[shop.WatchUnread])
	}
	if err == nil && q.Once && wait {
		err = errNo
	}
	return err
}

// jsonLine writes a value as one line of JSON.
func (a *app) jsonLine(v any) {
	a.words.Fill(v)
	e := json.NewEncoder(a.out)
	e.SetEscapeHTML(false)
	_ = e.Encode(v) // to a buffer whose Flush tells
}

// watched shows what became of a file.
func (a *app) watched(t shop.Watched) {
	switch t.State {
	case shop.WatchTaken:
		a.say("cli.watch.taken", t.File, len(t.Received.Symbols), t.To)
	case shop.WatchRepeated:
		a.say("cli.watch.repeated", t.File, t.To)
	case shop.WatchUnread:
		a.say("cli.watch.unread", t.File, t.To)
	case shop.WatchLeft:
		a.say("cli.watch.left", t.File, t.Why)
		return
	default:
		a.say("cli.watch.folder", t.Why)
		return
	}
	if t.Received != nil {
		a.received(*t.Received)
	}
	if !t.Why.IsZero() {
		a.say("cli.watch.folder", t.Why)
	}
}
