package cli

import (
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/catalog/exchange"
	"forkstock/internal/shop"
)

func (a *app) importCommand() *cobra.Command {
	var q shop.ImportRequest
	cmd := a.command("import FILE... [--as KIND] [--supplier NAME] [--net | --discount PERCENT] [--dry-run] [--strict]", 1, -1,
		a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
			q.Files = args
			return a.importFiles(ctx, s, q)
		}))
	flags := cmd.Flags()
	flags.StringVar(&q.Kind, "as", "", a.words.Say("cli.flag.as", strings.Join(kinds(), ", ")))
	flags.StringVar(&q.Supplier, "supplier", "", a.words.Say("cli.flag.list_of"))
	flags.BoolVar(&q.Net, "net", false, a.words.Say("cli.flag.net"))
	flags.StringVar(&q.Discount, "discount", "", a.words.Say("cli.flag.discount"))
	flags.BoolVar(&q.DryRun, "dry-run", false, a.words.Say("cli.flag.dry_run"))
	flags.BoolVar(&q.Strict, "strict", false, a.words.Say("cli.flag.strict"))
	return cmd
}

// kinds gives the names of the kinds of file.
func kinds() (names []string) {
	for _, k := range exchange.Kinds {
		names = append(names, k.Name)
	}
	return names
}

// importFiles takes files in; something rejected is exit 1.
func (a *app) importFiles(ctx context.Context, s *shop.Shop, q shop.ImportRequest) error {
	if isTerminal(a.stderr) && !a.json {
		q.Progress = a.bar
	}
	out, err := s.Import(ctx, q)
	if err != nil {
		return err
	}
	a.show(&out, func() { a.imported(out) })
	if out.Problems() > 0 {
		return errNo
	}
	return nil
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// bar draws how far a long import is.
func (a *app) bar(done, of int) {
	const wide = 40
	if of < 5000 {
		return
	}
	n := wide * done / of
	fmt.Fprintf(a.stderr, "\r[%s%s] %3d %%", strings.Repeat("=", n), strings.Repeat(" ", wide-n), 100*done/of)
	if done == of {
		fmt.Fprint(a.stderr, "\r\x1b[K")
	}
}

func (a *app) imported(out shop.Imported) {
	for _, f := range out.Files {
		a.say("cli.import.file", f.File, a.words.Say("exchange.kind."+f.Kind), a.form(f))
		var columns []string
		for _, c := range f.Columns {
			columns = append(columns, c.Column+" <- "+c.Header)
		}
		a.say("cli.import.columns", strings.Join(columns, ", "))
		if len(f.Unknown) > 0 {
			a.say("cli.import.unknown", strings.Join(f.Unknown, ", "))
		}
		if f.Resumed {
			a.say("cli.import.resumed")
		}
	}
	for _, c := range out.Changes {
		a.say("cli.import.change", fmt.Sprintf("%s:%d", c.File, c.Line), a.words.Text(c.What()))
	}
	if n := out.ChangesCount - len(out.Changes); n > 0 {
		a.say("cli.import.more", n)
	}
	for _, r := range out.Noted {
		a.rejected("cli.import.noted", r)
	}
	for _, r := range out.Rejected {
		id := "cli.import.rejected"
		if !r.Row {
			id = "cli.import.cell"
		}
		a.rejected(id, r)
	}
	if out.Unnamed > 0 {
		a.say("cli.import.more", out.Unnamed)
	}
	if len(out.NewBins) > 0 {
		a.say("cli.import.bins", strings.Join(out.NewBins, ", "))
	}
	switch {
	case out.Refused:
		a.say("cli.import.refused", out.Problems())
	case out.DryRun:
		a.say("cli.import.would", out.Added, out.Changed, out.Unchanged, out.RejectedCount, out.CellsLeftOut)
	default:
		a.say("cli.import.done", out.Added, out.Changed, out.Unchanged, out.RejectedCount, out.CellsLeftOut)
	}
}

// rejected shows a row or cell on a line as editors jump to it.
func (a *app) rejected(id string, r shop.Rejected) {
	where := fmt.Sprintf("%s:%d", r.File, r.Line)
	if r.Column != "" {
		where += " (" + r.Column + ")"
	}
	text := oneLine(a.words.Text(r.Why))
	if !r.Hint.IsZero() {
		text += " - " + oneLine(a.words.Text(r.Hint))
	}
	a.say(id, where, text)
}

// form tells what was found out about a file.
func (a *app) form(f shop.ImportedFile) string {
	if f.Format == "xlsx" {
		text := a.words.Say("cli.import.sheet", f.Sheet)
		if len(f.Others) > 0 {
			text += ", " + a.words.Say("cli.import.others", strings.Join(f.Others, ", "))
		}
		return text
	}
	delimiter := f.Delimiter
	if delimiter == "\t" {
		delimiter = "Tab"
	}
	text := a.words.Say("cli.import.csv", delimiter, f.Encoding)
	if f.Decimal != "" {
		text += ", " + a.words.Say("cli.import.decimal", f.Decimal)
	}
	return text
}
