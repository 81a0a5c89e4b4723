package cli

import (
	"context"

	"github.com/spf13/cobra"

	"forkstock/internal/shop"
	"forkstock/internal/web"
)

// home is where the pages are served unless --listen says otherwise.
const home = "127.0.0.1:8039"

func (a *app) serveCommand() *cobra.Command {
	listen := home
	cmd := a.command("serve [--listen ADDRESS]", 0, 0, func(cmd *cobra.Command, _ []string) error {
		s, err := a.open(cmd.Context(), "server")
		if err != nil {
			return err
		}
		defer s.Close()
		return a.serve(cmd.Context(), s, listen)
	})
	cmd.Flags().StringVar(&listen, "listen", home, a.words.Say("cli.flag.listen"))
	return cmd
}

// serve serves the pages until the program is told to stop.
func (a *app) serve(ctx context.Context, s *shop.Shop, listen string) error {
	return web.Serve(ctx, s, listen, func(url string) {
		a.say("cli.serve.ready", url)
		a.out.Flush()
	})
}
