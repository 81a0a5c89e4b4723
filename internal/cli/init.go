package cli

import (
	"cmp"
	"context"
	"fmt"
	"os"
	"os/user"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

func (a *app) initCommand() *cobra.Command {
	var out struct {
		shop.Settings
		Usual *int `json:"usual_added,omitempty"` // rows of the starter that were not there yet
	}
	set, starter := &out.Settings, false
	cmd := a.command("init [--starter] [--zone ZONE] [--currency CODE] [--language en|de]", 0, 0, func(cmd *cobra.Command, _ []string) error {
		set.Person = cmp.Or(a.by, systemUser())
		err := shop.Init(cmd.Context(), a.dir, *set, shop.Options{})
		f := cmd.Flags()
		there := starter && fault.KindOf(err) == fault.Conflict && !f.Changed("zone") && !f.Changed("currency") && !f.Changed("language")
		if err != nil && !there {
			return err
		}
		if starter {
			if *set, out.Usual, err = a.layIn(cmd.Context()); err != nil {
				return err
			}
		}
		a.words = words.For(set.Language)
		a.show(&out, func() {
			if !there {
				a.say("cli.init.done", a.dir)
				a.settings(*set)
			}
			if starter {
				a.say("cli.init.starter", *out.Usual)
			}
			if !there {
				a.say("cli.init.next", words.ShellWord(a.dir))
			}
		})
		return nil
	})
	cmd.Flags().BoolVar(&starter, "starter", false, a.words.Say("cli.flag.starter"))
	cmd.Flags().StringVar(&set.Zone, "zone", systemZone(), a.words.Say("cli.flag.zone"))
	cmd.Flags().StringVar(&set.Currency, "currency", "EUR", a.words.Say("cli.flag.currency"))
	cmd.Flags().StringVar(&set.Language, "language", systemLanguage(), a.words.Say("cli.flag.language"))
	return cmd
}

func (a *app) settingsCommand() *cobra.Command {
	var change shop.Change
	cmd := a.command("settings [--zone ZONE] [--currency CODE] [--language en|de] [--sheet SHEET] [--code CODE] [--dpi N] [--itf LENGTHS]", 0, 0,
		a.withShop(func(ctx context.Context, s *shop.Shop, _ []string) error {
			set := s.Settings()
			if change != (shop.Change{}) {
				var err error
				if set, err = s.SetSettings(ctx, change); err != nil {
					return err
				}
				a.words = words.For(set.Language)
			}
			own, err := s.Renewals(ctx)
			if err != nil {
				return err
			}
			answer := struct {
				shop.Settings
				Renewals []shop.Renewal `json:"renewals"`
			}{set, own}
			a.show(&answer, func() {
				a.settings(set)
				for _, r := range own {
					a.renewal(r)
				}
				if change != (shop.Change{}) {
					a.say("cli.settings.serve")
				}
			})
			return nil
		}))
	cmd.Flags().StringVar(&change.Zone, "zone", "", a.words.Say("cli.flag.zone"))
	cmd.Flags().StringVar(&change.Currency, "currency", "", a.words.Say("cli.flag.currency"))
	cmd.Flags().StringVar(&change.Language, "language", "", a.words.Say("cli.flag.language"))
	cmd.Flags().StringVar(&change.Labels, "sheet", "", a.words.Say("cli.flag.sheet"))
	cmd.Flags().StringVar(&change.LabelCode, "code", "", a.words.Say("cli.flag.label_code"))
	cmd.Flags().IntVar(&change.DPI, "dpi", 0, a.words.Say("cli.flag.dpi"))
	cmd.Flags().StringVar(&change.ITF, "itf", "", a.words.Say("cli.flag.itf"))
	return cmd
}

func (a *app) settings(set shop.Settings) {
	var g grid
	g.add("  "+a.words.Say("cli.settings.zone"), set.Zone)
	g.add("  "+a.words.Say("cli.settings.currency"), set.Currency)
	g.add("  "+a.words.Say("cli.settings.language"), set.Language)
	g.add("  "+a.words.Say("cli.settings.person"), set.Person)
	if set.Labels != "" {
		g.add("  "+a.words.Say("cli.settings.labels"), set.Labels)
	}
	if set.LabelCode != "" {
		g.add("  "+a.words.Say("cli.settings.label_code"), a.words.Say("shop.code."+set.LabelCode))
	}
	if set.DPI != 0 {
		g.add("  "+a.words.Say("cli.settings.dpi"), a.words.Say("cli.settings.dpi.is", set.DPI))
	}
	if len(set.ITF) > 0 {
		g.add("  "+a.words.Say("cli.settings.itf"), a.words.Say("cli.settings.itf.is", strings.Trim(fmt.Sprint(set.ITF), "[]")))
	}
	g.write(a.out)
}

func (a *app) versionCommand() *cobra.Command {
	return a.command("version", 0, 0, func(*cobra.Command, []string) error {
		v := struct {
			Version string `json:"version"`
		}{Version}
		a.show(&v, func() { a.say("cli.version.is", Version) })
		return nil
	})
}

// systemLanguage gives the language that the system is set to, as far as
// forkstock speaks it.
func systemLanguage() string {
	for _, name := range []string{"LC_ALL", "LC_MESSAGES", "LANG"} {
		if v := os.Getenv(name); v != "" {
			if strings.HasPrefix(v, "de") {
				return "de"
			}
			break
		}
	}
	return words.Languages[0]
}

// systemZone gives the name of the zone that the system is set to, UTC where
// it does not tell.
func systemZone() string {
	file, _ := os.ReadFile("/etc/timezone")
	link, _ := filepath.EvalSymlinks("/etc/localtime")
	for _, said := range []string{os.Getenv("TZ"), string(file), link} {
		zone := strings.TrimSpace(strings.TrimPrefix(said, ":"))
		if _, inside, ok := strings.Cut(zone, "zoneinfo/"); ok {
			zone = inside
		}
		if _, err := time.LoadLocation(zone); err == nil && zone != "" && zone != "Local" {
			return zone
		}
	}
	return "UTC"
}

// systemUser gives the name of who runs the program.
func systemUser() string {
	if u, err := user.Current(); err == nil {
		return u.Username
	}
	return cmp.Or(os.Getenv("USER"), "mechanic")
}
