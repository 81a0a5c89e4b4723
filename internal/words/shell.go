package words

import (
	"fmt"
	"strings"
)

// ShellWord gives s as a shell takes it for one word: as it stands where it is
// harmless, else in single quotes, with control characters written out.
// Commands that users are to copy carry text that came from labels.
func ShellWord(s string) string {
	harmless := func(r rune) bool {
		return r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || strings.ContainsRune("-._/,:+", r)
	}
	if s != "" && strings.IndexFunc(s, func(r rune) bool { return !harmless(r) }) < 0 {
		return s
	}
	if strings.IndexFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }) < 0 {
		return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\x%02x`, r)
		case r == '\'' || r == '\\':
			b.WriteString(`\` + string(r))
		default:
			b.WriteRune(r)
		}
	}
	return "$'" + b.String() + "'"
}
