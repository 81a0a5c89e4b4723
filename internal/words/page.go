package words

import (
	"regexp"
	"strings"
)

// A text that names a command or a flag helps at a keyboard only. Where a page
// can show it, a text of the same id behind "web." stands for it there.

// command finds what only a command line understands.
var command = regexp.MustCompile("(^|[^-[:alnum:]])--[a-z]|forkstock (add|bag|change|check|completion|confirm|count|demo|export|find|fit|fork|identify|import|init|issue|" +
	"delivery|kit|ledger|link|merge|move|packs|receive|reorder|return|scan|scrap|serve|settings|sources|stock|undo|usual|version|waiting|withdraw|xref)\\b")

// commands are the ids whose text names a command.
var commands = func() map[string]bool {
	all := map[string]bool{}
	for id, text := range table {
		if command.MatchString(text[0]) || command.MatchString(text[1]) {
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
