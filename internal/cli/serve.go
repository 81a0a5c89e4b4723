package cli

import (
	"context"
	"os"
	"runtime/debug"
	"sync"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
	"forkstock/internal/web"
)

func (a *app) serveCommand() *cobra.Command {
	listen := web.Listen
	cmd := a.command("serve [--listen ADDRESS]", 0, 0, func(cmd *cobra.Command, _ []string) error {
		s, err := a.open(cmd.Context(), "server")
		if err != nil {
			return err
		}
		defer s.Close()
		return a.serve(cmd.Context(), s, listen)
	})
	cmd.Flags().StringVar(&listen, "listen", web.Listen, a.words.Say("cli.flag.listen"))
	return cmd
}

// garbage is how far the heap of a server may grow between two collections, in
// per cent: a server stands beside other work all day, and holds a quarter less
// by it (BENCHMARKS.md).
const garbage = 50

// serve serves the pages until the program is told to stop, and keeps the index in
// step meanwhile.
func (a *app) serve(ctx context.Context, s *shop.Shop, listen string) error {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	keep, stop := context.WithCancel(ctx)
	var kept sync.WaitGroup
	kept.Go(func() { s.Keep(keep) })
	defer kept.Wait()
	defer stop()
	return web.Serve(ctx, s, listen, func(url string) {
		a.say("cli.serve.ready", url)
		a.out.Flush()
	})
}
