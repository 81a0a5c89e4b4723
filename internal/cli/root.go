package cli

import (
	"cmp"
	"errors"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"forkstock/internal/fault"
)

// Version is that of the program.
const Version = "0.1.0"

// root makes the tree of commands.
func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use: "forkstock", Short: a.words.Say("cli.root"), SilenceErrors: true, SilenceUsage: true,
		Args: cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			e := fault.New(fault.Invalid, "cli.no_command", args[0]).WithHint("cli.see_help")
			if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
				e.WithHint("cli.no_command.hint", strings.Join(near, ", "))
			}
			return e
		},
	}
	root.SuggestionsMinimumDistance = 2
	flags := root.PersistentFlags()
	flags.StringVar(&a.dir, "shop", cmp.Or(os.Getenv("FORKSTOCK_SHOP"), "shop"), a.words.Say("cli.flag.shop"))
	flags.StringVar(&a.by, "by", "", a.words.Say("cli.flag.by"))
	flags.BoolVar(&a.json, "json", false, a.words.Say("cli.flag.json"))
	flags.BoolP("help", "h", false, a.words.Say("cli.flag.help"))
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		if unknown, ok := errors.AsType[*pflag.NotExistError](err); ok {
			name := "--" + unknown.GetSpecifiedName()
			if unknown.GetSpecifiedShortnames() != "" {
				name = name[1:]
			}
			return fault.New(fault.Invalid, "cli.unknown_flag", name).WithHint("cli.usage.hint", cmd.UseLine()).WithCause(err)
		}
		said, _, _ := strings.Cut(err.Error(), ": strconv.")
		return fault.New(fault.Invalid, "cli.bad_flag", said).WithHint("cli.usage.hint", cmd.UseLine()).WithCause(err)
	})
	root.SetUsageTemplate(a.usageTemplate())
	root.SetHelpCommand(&cobra.Command{Hidden: true})
	root.AddCommand(
		a.initCommand(), a.settingsCommand(), a.versionCommand(), a.demoCommand(),
		a.findCommand(), a.fitCommand(), a.forkCommand(), a.identifyCommand(), a.kitCommand(),
		a.xrefCommand(), a.mergeCommand(), a.usualCommand(),
		a.scanCommand(), a.receiveCommand(), a.watchCommand(), a.waitingCommand(), a.linkCommand(), a.packsCommand(), a.ignoreCommand(), a.teachCommand(),
		a.confirmCommand(), a.withdrawCommand(), a.sourcesCommand(),
		a.addCommand(), a.changeCommand(), a.issueCommand(), a.returnCommand(), a.scrapCommand(), a.moveCommand(), a.undoCommand(),
		a.takeModeCommand(), a.sellCommand(), a.sendBackCommand(), a.lendCommand(), a.borrowCommand(), a.setAsideCommand(), a.releaseCommand(),
		a.orderCommand(), a.deliveryCommand(), a.putAwayCommand(), a.trayCommand(), a.countCommand(), a.bagCommand(), a.buyCommand(), a.emptyCommand(), a.shelfCommand(),
		a.complaintCommand(), a.creditCommand(), a.pricesCommand(),
		a.openCommand(), a.invoiceCommand(), a.worthCommand(), a.expiringCommand(), a.inspectCommand(),
		a.stockCommand(), a.ledgerCommand(), a.reorderCommand(), a.checkCommand(), a.importCommand(), a.exportCommand(), a.adoptCommand(), a.labelCommand(),
		a.serveCommand(), a.reindexCommand(), a.benchCommand(),
	)
	root.InitDefaultCompletionCmd()
	for _, cmd := range root.Commands() {
		if cmd.Name() == "completion" {
			cmd.Short = a.words.Say("cli.completion")
		}
	}
	return root
}

// command makes a command; its short help is the message "cli.NAME". It takes
// at least least and at most most arguments, any number where most is below 0.
func (a *app) command(use string, least, most int, run func(*cobra.Command, []string) error) *cobra.Command {
	name, _, _ := strings.Cut(use, " ")
	return &cobra.Command{
		Use: use, Short: a.words.Say("cli." + name), RunE: run, DisableFlagsInUseLine: true, Example: examples[name],
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) < least {
				return fault.New(fault.Invalid, "cli.too_few", cmd.Name()).WithHint("cli.usage.hint", cmd.UseLine())
			}
			if most >= 0 && len(args) > most {
				return fault.New(fault.Invalid, "cli.args", cmd.Name()).WithHint("cli.usage.hint", cmd.UseLine())
			}
			return nil
		},
	}
}

// examples show each command at work, in the demo shop.
var examples = map[string]string{
	"find":    "  forkstock find 39 mm seal\n  forkstock find 39x52x11\n  forkstock find wiper Kaldrin Velda 400 2001",
	"fork":    "  forkstock fork \"Corva 39\"\n  forkstock fork --make Kaldrin --model \"Velda 400\" --year 2001",
	"kit":     "  forkstock kit PK-172\n  forkstock kit PK-172 Corva 39",
	"merge":   "  forkstock merge\n  forkstock merge KB-390 KB-39O        (shows what it would do)\n  forkstock merge KB-390 KB-39O --yes\n  forkstock merge --undo KB-39O",
	"xref":    "  forkstock xref SW-3156\n  forkstock xref Vaskuro/VK11-001",
	"usual":   "  forkstock usual --leg 39\n  forkstock usual --leg 39 oil seal\n  forkstock usual bottom bolt",
	"receive": "  forkstock receive --delivery parcel-7 label1.jpg label2.png\n  forkstock receive --delivery parcel-7 --session shelf -",
	"watch":   "  forkstock watch ~/phone\n  forkstock watch ~/phone --delivery parcel-7 --once",
	"delivery": "  forkstock delivery begin --order 3\n  forkstock delivery scan \"ORDER-3-1 2026-12-02\"        (the hand scanner types)\n" +
		"  forkstock delivery tick parcel-7 SW-3156\n  forkstock delivery less parcel-7\n  forkstock delivery say parcel-7 SW-3156 --damaged 1 --reason crushed\n" +
		"  forkstock delivery finish parcel-7",
	"link":      "  forkstock link 09521016150103 Jostwin/621015 --pieces 10\n  forkstock link 09521016150103 --accept        (what is proposed is right)\n  forkstock link PARCEL-77 --no-part",
	"packs":     "  forkstock packs 09521016150103 JO.621015 1",
	"issue":     "  forkstock issue SW-3156 2 --reason \"job 12\"",
	"take":      "  forkstock take --job 12 -        (every line is one out)\n  forkstock take        (what waits)\n  forkstock take 7 found\n  forkstock take 8 is SW-3156 --learn",
	"return":    "  forkstock return SW-3156 1",
	"scrap":     "  forkstock scrap SW-3156 1 --reason torn",
	"sell":      "  forkstock sell SW-3156 1 --price 14.50",
	"send-back": "  forkstock send-back SW-3156 2 --to wesselmoor --credit 9.80 --reason \"body too tall\"",
	"complaint": "  forkstock complaint open parcel-7 SW-3156 2 --what damaged --reason \"lip torn\"\n" +
		"  forkstock complaint open parcel-7 PK-172 1 --what kit-short --lacks \"one clip\"\n" +
		"  forkstock complaint 3\n  forkstock complaint settle 3 --by replacement",
	"credit":    "  forkstock credit        (what is owed)\n  forkstock credit 3 9.80 --note \"credit note 77\"",
	"lend":      "  forkstock lend SW-3156 1 --to \"Halm & Co\" --until 2026-12-04\n  forkstock lend SW-3156 1 --to \"Halm & Co\" --back\n  forkstock lend        (what is out)",
	"borrow":    "  forkstock borrow SW-3156 1 --from \"Halm & Co\" --until 2026-12-04",
	"set-aside": "  forkstock set-aside SW-3156 2 --job 12 --until 2026-12-04\n  forkstock set-aside --job 12",
	"release":   "  forkstock release SW-3156 --job 12\n  forkstock release --job 12 --reason \"bike fetched\"",
	"order": "  forkstock order draft\n  forkstock order add wesselmoor SW-3156 1 --job 12\n  forkstock order 3\n" +
		"  forkstock order place 3 --expected 2026-12-02\n  forkstock order promise 3 SW-3156 --day 2026-12-09\n" +
		"  forkstock order cutoff wesselmoor 16:30\n  forkstock order today",
	"buy":      "  forkstock buy SW-3156 1 --from wesselmoor --price 9.80 --job 12",
	"empty":    "  forkstock empty CW-10        (the bag is empty)\n  forkstock empty C-02-1",
	"shelf":    "  forkstock shelf SW-3156 --sell 14.50\n  forkstock shelf CW-10 --counted no",
	"open":     "  forkstock open PK-172\n  forkstock open PK-172 2 --to B-02-3",
	"invoice":  "  forkstock invoice parcel-7 SW-3156 18.40 --reason \"invoice 118\"",
	"worth":    "  forkstock worth --as-of 2026-12-31",
	"expiring": "  forkstock expiring --weeks 12",
	"move":     "  forkstock move SW-3156 2 --from INTAKE --to B-02-3",
	"undo":     "  forkstock undo 1234        (a number from forkstock ledger)",
	"reorder":  "  forkstock reorder --supplier wesselmoor",
	"ignore":   "  forkstock ignore PARCEL-77\n  forkstock ignore PARCEL-77 --alike        (shows what would be no part)\n  forkstock ignore PARCEL-77 --alike --yes\n  forkstock ignore PARCEL-77 --back",
	"teach":    "  forkstock teach Wesselmoor WM/77-1002/2/L7 77-1002 --pieces 2        (shows what it would read)\n  forkstock teach Wesselmoor WM/77-1002/2/L7 77-1002 --pieces 2 --yes",
	"confirm": "  forkstock confirm KB-39 \"Corva 39\"        (seen with own eyes: it fits)\n" +
		"  forkstock confirm KB-39 \"Corva 39\" --wrong --why \"body too tall\"\n" +
		"  forkstock confirm KB-39 --field elastomer\n  forkstock confirm --claim 12",
	"withdraw": "  forkstock withdraw 12 --why \"printed wrong\"",
	"sources":  "  forkstock sources KB-39\n  forkstock sources --fork \"Corva 39\"",
	"import":   "  forkstock import list.csv --supplier Wesselmoor --discount 35 --dry-run\n  forkstock import stock.xlsx --as stock",
	"adopt":    "  forkstock adopt Wesselmoor 77-1002\n  forkstock adopt Wesselmoor 77-1002 --yes --maker Tolmek --number KB-39",
	"label": "  forkstock label KB-39 Jostwin/621015 -o labels.pdf\n  forkstock label --delivery parcel-7 --each --start 5 -o labels.pdf\n" +
		"  forkstock label --bins --sheet \"roll 57x32\" --code datamatrix --dpi 203 -o bins.pdf\n  forkstock label --test -o trial.pdf",
	"bag":    "  forkstock bag look --marking KB-39 --size 38.2x52.2x11\n  forkstock bag book KB-39 4 --bin A-01-1 --photo bag.jpg\n  forkstock bag aside --note \"ask Halm\"",
	"export": "  forkstock export stock -o stock.csv",
}

// usageTemplate is the layout of help, in the language of the system.
func (a *app) usageTemplate() string {
	return `{{if .HasAvailableSubCommands}}` + a.words.Say("cli.help.commands") + `
{{range .Commands}}{{if .IsAvailableCommand}}  {{rpad .Name 12}} {{.Short}}
{{end}}{{end}}{{else}}  {{.UseLine}}
{{if .HasExample}}
` + a.words.Say("cli.help.examples") + `
{{.Example}}
{{end}}{{end}}
{{if .HasAvailableLocalFlags}}` + a.words.Say("cli.help.flags") + `
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}{{if .HasAvailableInheritedFlags}}` + a.words.Say("cli.help.all") + `
{{.InheritedFlags.FlagUsages | trimTrailingWhitespaces}}
{{end}}`
}
