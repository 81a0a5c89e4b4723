package words

import (
	"regexp"
	"slices"
	"strings"
)

// A text that names a command or a flag helps at a keyboard only. Where a page
// can show it, a text of the same id behind "web." stands for it there.

// flag and command find what only a command line understands, if it is one.
var (
	flag    = regexp.MustCompile("(^|[^-[:alnum:]])--[a-z]")
	command = regexp.MustCompile("forkstock ([a-z][a-z-]*)")
)

// namesCommand reports whether a text names a flag or a command; what a command
// does is told by the text "cli.NAME".
func namesCommand(text string) bool {
	return flag.MatchString(text) || slices.ContainsFunc(command.FindAllStringSubmatch(text, -1), func(m []string) bool {
		_, ok := table["cli."+m[1]]
		return ok
	})
}

// commands are the ids whose text names a command.
var commands = func() map[string]bool {
	all := map[string]bool{}
	for id, text := range table {
		if namesCommand(text[0]) || namesCommand(text[1]) {
			all[id] = true
		}
	}
	return all
}()

// ForPage gives m as a page shows it: with the text for pages, where there is
// one. A hint that names a command and has none is left out.
func ForPage(m Message) Message {
	args := make([]any, len(m.Args))
	for i, arg := range m.Args {
		if inner, ok := arg.(Message); ok {
			arg = ForPage(inner)
		}
		args[i] = arg
	}
	m.Args = args
	if _, ok := table["web."+m.ID]; ok {
		m.ID = "web." + m.ID
	} else if commands[m.ID] && strings.HasSuffix(m.ID, ".hint") {
		return Message{}
	}
	return m
}
