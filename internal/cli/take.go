package cli

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/inventory"
)

// taken is what the command take answers.
type taken struct {
	Job     string          `json:"job"`
	Session string          `json:"session"`
	Lines   []shop.TakeLine `json:"lines"`
	Refused []refusedLine   `json:"refused"`
}

// refusedLine is a line that is no scan.
type refusedLine struct {
	Line int           `json:"line"`
	Why  fault.Message `json:"why"`
}

func (a *app) takeModeCommand() *cobra.Command {
	var q shop.TakeRequest
	var answer shop.TakeAnswer
	use := "take [--job JOB] [--session ID] [--found] [--kept] - | take | take SCAN " +
		strings.Join(shop.TakeAnswers, "|") + " [PART] [--pieces N] [--learn]"
	cmd := a.command(use, 0, 3, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		switch {
		case len(args) == 0:
			return a.takesWaiting(ctx, s)
		case args[0] == "-" && len(args) == 1:
			return a.takeLines(ctx, s, q)
		case len(args) == 1:
			return fault.New(fault.Invalid, "cli.take.does", args[0]).WithHint("cli.take.does.hint", args[0])
		}
		n, err := number(args[0], "cli.take.scan", "cli.take.scan.hint")
		if err != nil {
			return err
		}
		answer.Scan, answer.Does = n, args[1]
		if len(args) == 3 {
			answer.Part = args[2]
		}
		out, err := s.AnswerTake(ctx, answer)
		if err != nil {
			return err
		}
		a.show(&out, func() { a.takeLine(out) })
		if out.Waits() {
			return errNo
		}
		return nil
	}))
	cmd.Flags().StringVar(&q.Job, "job", "", a.words.Say("cli.flag.job"))
	cmd.Flags().StringVar(&q.Session, "session", "", a.words.Say("cli.flag.session"))
	cmd.Flags().BoolVar(&q.Found, "found", false, a.words.Say("cli.flag.found"))
	cmd.Flags().BoolVar(&q.Kept, "kept", false, a.words.Say("cli.flag.kept"))
	cmd.Flags().Int64Var(&answer.Amount, "pieces", 0, a.words.Say("cli.flag.take_pieces"))
	cmd.Flags().BoolVar(&answer.Learn, "learn", false, a.words.Say("cli.flag.take_learn"))
	return cmd
}

func (a *app) takesWaiting(ctx context.Context, s *shop.Shop) error {
	all, err := s.Takes(ctx, "")
	if err != nil {
		return err
	}
	out := taken{Lines: all.Waits, Refused: []refusedLine{}}
	a.show(&out, func() {
		if len(out.Lines) == 0 {
			a.say("cli.take.none")
		}
		for _, l := range out.Lines {
			a.takeLine(l)
		}
	})
	return nil
}

// takeLines takes every line of standard input as it comes: each is kept before
// the next is read. Under a session that is named, the same input again takes
// nothing.
func (a *app) takeLines(ctx context.Context, s *shop.Shop, q shop.TakeRequest) error {
	out := taken{Job: q.Job, Session: q.Session, Lines: []shop.TakeLine{}, Refused: []refusedLine{}}
	times, waits := "", false
	err := a.eachScan(func(number int, text string) error {
		if text = strings.TrimSpace(text); strings.HasPrefix(text, "=") {
			times = text + "\n"
			return nil
		}
		q.Text, times = times+text, ""
		if q.Session != "" {
			q.Key = fmt.Sprintf("take/%s/%d", q.Session, number)
		}
		got, err := s.Take(ctx, q)
		switch e := fault.Of(err); {
		case err == nil:
			out.Lines = append(out.Lines, got)
			waits = waits || got.Waits()
			if !a.json {
				a.takeLine(got)
			}
		case e.Kind == fault.Invalid || e.Kind == fault.Conflict:
			out.Refused = append(out.Refused, refusedLine{number, e.Message})
			if !a.json {
				a.say("cli.take.refused", number, e.Message)
			}
		default:
			return err
		}
		return nil
	})
	if err != nil {
		return err
	}
	if a.json {
		a.show(&out, nil)
	}
	if waits || len(out.Refused) > 0 {
		return errNo
	}
	return nil
}

// takeLine writes what became of a scan.
func (a *app) takeLine(l shop.TakeLine) {
	state := "take." + l.State
	if l.Undone {
		state = "take.undone"
	}
	text := a.words.Say(state)
	if l.State == inventory.TakeKept {
		text = a.words.Say("take.kept_for", strings.Join(l.Keepers, ", "))
	}
	what := l.Text
	if l.Number != "" {
		what = a.amount(max(l.Amount, 1), l.Unit) + "  " + l.Name() + "  " + a.size(l.Sizes)
		if len(l.Bins) > 0 {
			what += "  " + a.words.Say("cli.receive.bin", strings.Join(l.Bins, ", "))
		}
	}
	a.say("cli.take.line", l.Scan, text, strings.TrimSpace(what))
	if l.Waits() {
		a.say("cli.take."+l.State, l.Scan)
	}
	if l.Lost > 0 {
		a.say("take.lost", a.amount(l.Lost, l.Unit))
	}
	for _, aged := range l.Aged {
		a.say("cli.take.aged", aged)
	}
}
