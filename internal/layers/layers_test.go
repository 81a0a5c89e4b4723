package layers

import (
	"fmt"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// picture is the picture of the rooms: a room may import rooms of lower rows
// only. A folder belongs to the room that it lies in.
var picture = [][]string{
	{"cmd/forkstock"},
	{"internal/cli"},
	{"internal/bench"},
	{"internal/web", "internal/demo"},
	{"internal/shop"},
	{"inventory", "search"},
	{"catalog", "scanner", "internal/people"},
	{"internal/store", "internal/table", "internal/sheet", "internal/inbox"},
	{"internal/gs1", "internal/measure", "internal/words"},
	{"internal/fault"},
}

// Beside the picture: embedded files of others, which any room may import, and
// the tools of the project, which none may.
var (
	thirdParty = []string{"third_party"}
	tools      = []string{"scripts", "internal/layers"}
)

// shopOfTests is the room that the tests of every other may import: answers are
// judged over the demo shop.
const shopOfTests = "internal/demo"

// A ban is what the rows alone do not say: these imports, each with all below
// it, are for some rooms only, or not for one.
type ban struct {
	imports []string
	only    []string // the folders that may
	not     string   // or the one folder that may not
	tests   bool     // tests are bound too
	why     string
}

var bans = []ban{
	{
		imports: []string{"forkstock/internal/store/sqlite"}, only: []string{"internal/shop"},
		why: "the driver is C: every other room builds and fuzzes without it",
	},
	{
		imports: []string{"github.com/mattn/go-sqlite3"}, only: []string{"internal/store/sqlite"}, tests: true,
		why: "one folder knows the driver, its DSN and its error numbers",
	},
	{
		imports: []string{"database/sql"}, only: []string{"internal/store"}, tests: true,
		why: "rooms speak to a store.Tx, so that only shop begins a transaction",
	},
	{
		imports: []string{"github.com/blevesearch"}, only: []string{"search"}, tests: true,
		why: "the index is a cache that can be thrown away, and so can its library",
	},
	{
		imports: []string{"github.com/makiuchi-d/gozxing"}, only: []string{"scanner"},
		why: "one room knows the barcode library; tests may draw with it",
	},
	{
		imports: []string{"codeberg.org/go-pdf"}, only: []string{"internal/sheet"},
		why: "one room knows how a PDF file is written; the others say what stands on a page",
	},
	{
		imports: []string{"github.com/xuri"}, only: []string{"internal/table"},
		why: "one room knows what a spreadsheet file is; the others see rows of text",
	},
	{
		imports: []string{"github.com/fsnotify"}, only: []string{"internal/inbox"}, tests: true,
		why: "events of the file system only shorten a wait, in one room",
	},
	{
		imports: []string{"forkstock/internal/store", "context", "net", "os", "syscall"}, not: "catalog/exchange",
		why: "the kinds of file are a function of their rows: no store, no files",
	},
	{
		imports: []string{"net/http"}, only: []string{"internal/web"},
		why: "a kind becomes an HTTP status in one place; serving goes through web",
	},
	{
		imports: []string{"flag", "github.com/spf13"}, only: []string{"internal/cli"}, tests: true,
		why: "the command line is parsed in one place; rooms take arguments",
	},
	{
		imports: []string{"forkstock/internal/store", "context", "io", "net", "os", "syscall"}, not: "inventory/reorder",
		why: "reordering is arithmetic: no store, no input or output",
	},
	{
		imports: []string{"forkstock/internal/store", "context", "io", "net", "os", "syscall"}, not: "catalog/lineup",
		why: "which fork it is is arithmetic: no store, no input or output",
	},
	{
		imports: []string{"forkstock/internal/store", "context", "io", "net", "os", "syscall"}, not: "catalog/wording",
		why: "reading a description is a function of its text: no store, no input or output",
	},
	{
		imports: []string{"forkstock/internal/store", "context", "io", "net", "os", "syscall"}, not: "catalog/pattern",
		why: "what a label says is a function of its text: no store, no input or output",
	},
}

// within reports whether the slash-separated p is dir or lies below it.
func within(p, dir string) bool { return p == dir || strings.HasPrefix(p, dir+"/") }

// inside returns the first of dirs that p lies in, "" where there is none.
func inside(p string, dirs []string) string {
	if i := slices.IndexFunc(dirs, func(dir string) bool { return within(p, dir) }); i >= 0 {
		return dirs[i]
	}
	return ""
}

// place returns the room of a folder and its row, counted from the top; row is
// -1 where the folder is not in the picture.
func place(folder string) (room string, row int) {
	for row, rooms := range picture {
		if room := inside(folder, rooms); room != "" {
			return room, row
		}
	}
	return "", -1
}

// broken says why the file at name may not import imported; "" where it may.
func broken(name, imported string) string {
	folder, test := path.Dir(name), strings.HasSuffix(name, "_test.go")
	if inside(folder, tools) != "" {
		return ""
	}
	for _, b := range bans {
		bound := (!test || b.tests) && inside(imported, b.imports) != ""
		if bound && (b.not != "" && within(folder, b.not) || b.only != nil && inside(folder, b.only) == "") {
			return b.why
		}
	}
	if !within(imported, "forkstock") {
		return ""
	}
	target := strings.TrimPrefix(imported, "forkstock/")
	from, fromRow := place(folder)
	to, toRow := place(target)
	switch {
	case inside(target, thirdParty) != "" || from == to:
		return ""
	case test && to == shopOfTests:
		return ""
	case fromRow == 0 && to != "internal/cli":
		return "main hands its streams to cli and exits with what it says"
	case toRow == -1:
		return "it is no room of the picture"
	case toRow == fromRow:
		return "rooms on one row never import each other: the room above joins them"
	case toRow < fromRow:
		return "imports point down only"
	}
	return ""
}

func TestBroken(t *testing.T) {
	const (
		sqlite = "forkstock/internal/store/sqlite"
		driver = "github.com/mattn/go-sqlite3"
		zxing  = "github.com/makiuchi-d/gozxing/oned"
		bleve  = "github.com/blevesearch/bleve/v2"
	)
	for _, c := range []struct {
		file, imported string
		why            string // part of the reason; empty: allowed
	}{
		{"cmd/forkstock/main.go", "forkstock/internal/cli", ""},
		{"cmd/forkstock/main.go", "forkstock/internal/shop", "main hands"},
		{"internal/cli/serve.go", "forkstock/internal/web", ""},
		{"internal/cli/serve.go", "net/http", "HTTP status"},
		{"internal/web/page.go", "net/http/httputil", ""},
		{"internal/web/page.go", "forkstock/internal/demo", "one row"},
		{"internal/shop/open.go", sqlite, ""},
		{"internal/demo/build.go", sqlite, "the driver is C"},
		{"catalog/part_test.go", sqlite, ""},
		{"internal/store/store.go", sqlite, "the driver is C"},
		{"internal/store/sqlite/open.go", driver, ""},
		{"internal/store/store_test.go", driver, "knows the driver"},
		{"internal/store/sqlite/open.go", "forkstock/internal/store", ""},
		{"internal/store/sqlite/open.go", "database/sql", ""},
		{"catalog/part.go", "database/sql", "begins a transaction"},
		{"catalog/part.go", "forkstock/scanner", "one row"},
		{"catalog/part.go", "forkstock/inventory", "down only"},
		{"catalog/part_test.go", "forkstock/inventory", "down only"},
		{"search/find_test.go", "forkstock/internal/demo", ""},
		{"search/find.go", "forkstock/internal/demo", "down only"},
		{"catalog/part.go", "forkstock/internal/measure", ""},
		{"catalog/part.go", "forkstock/internal/layers", "no room"},
		{"catalog/part.go", "forkstock/internal/util", "no room"},
		{"inventory/count.go", "forkstock/inventory/reorder", ""},
		{"inventory/count.go", "forkstock/search", "one row"},
		{"inventory/reorder/list.go", "forkstock/internal/store", "arithmetic"},
		{"inventory/reorder/sim/step.go", "os", "arithmetic"},
		{"inventory/reorder/sim/step.go", "math", ""},
		{"inventory/reorder/list_test.go", "os", ""},
		{"catalog/wording/read.go", "forkstock/internal/store", "function of its text"},
		{"catalog/exchange/kind.go", "forkstock/internal/store", "function of their rows"},
		{"internal/table/sheet.go", "github.com/xuri/excelize/v2", ""},
		{"internal/shop/export.go", "github.com/xuri/excelize/v2", "rows of text"},
		{"search/index.go", bleve, ""},
		{"internal/shop/find.go", bleve, "thrown away"},
		{"internal/sheet/label.go", zxing, "barcode library"},
		{"internal/sheet/label_test.go", zxing, ""},
		{"internal/shop/find.go", "flag", "command line"},
		{"internal/cli/find.go", "github.com/spf13/cobra", ""},
		{"internal/fault/fault.go", "forkstock/internal/words", "down only"},
		{"internal/web/page.go", "forkstock/third_party/htmx", ""},
		{"scripts/check/main.go", "flag", ""},
	} {
		got := broken(c.file, c.imported)
		if (got == "") != (c.why == "") || !strings.Contains(got, c.why) {
			t.Errorf("%s imports %s: got %q, want %q in it", c.file, c.imported, got, c.why)
		}
	}
}

func TestImports(t *testing.T) {
	for _, name := range sources(t) {
		file, err := parser.ParseFile(token.NewFileSet(), filepath.Join(root, name), nil, parser.ImportsOnly)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, spec := range file.Imports {
			imported, _ := strconv.Unquote(spec.Path.Value)
			if why := broken(name, imported); why != "" {
				t.Errorf("%s may not import %s: %s", name, imported, why)
			}
		}
	}
}

// rooms returns the rooms that have source in them, and the folders with source
// that are in no room.
func rooms(t *testing.T) (rooms map[string]bool, unknown []string) {
	rooms, strange := map[string]bool{}, map[string]bool{}
	for _, name := range sources(t) {
		folder := path.Dir(name)
		room, row := place(folder)
		switch {
		case row >= 0:
			rooms[room] = true
		case inside(folder, slices.Concat(thirdParty, tools)) == "":
			strange[folder] = true
		}
	}
	return rooms, slices.Sorted(maps.Keys(strange))
}

func TestEveryFolderIsInThePicture(t *testing.T) {
	if _, unknown := rooms(t); len(unknown) > 0 {
		t.Errorf("%q: add it to the picture, here and in DEVELOPERS.md", unknown)
	}
}

// TestDevelopersPicture holds DEVELOPERS.md to the same picture: a line there
// begins with the rooms of its row.
func TestDevelopersPicture(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	there, _ := rooms(t)
	var want [][]string
	for _, row := range picture {
		if row = kept(row, there); len(row) > 0 {
			want = append(want, row)
		}
	}
	if got := drawn(string(text), there); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("the picture in DEVELOPERS.md shows %q, want %q", got, want)
	}
}

func TestDrawn(t *testing.T) {
	text := "search is a room.\n```\nsearch  catalog   knows the catalog\ninternal/fault  kinds\nunknown\n```\ncatalog\n"
	got := drawn(text, map[string]bool{"search": true, "catalog": true, "internal/fault": true})
	want := [][]string{{"search", "catalog"}, {"internal/fault"}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// drawn reads the rows of the picture out of the fenced blocks of text: of each
// line the words it begins with, as long as they are names of rooms.
func drawn(text string, rooms map[string]bool) [][]string {
	var rows [][]string
	fenced := false
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "```") {
			fenced = !fenced
		}
		var names []string
		for _, word := range strings.Fields(line) {
			if _, row := place(word); row < 0 {
				break
			}
			names = append(names, word)
		}
		if names = kept(names, rooms); fenced && len(names) > 0 {
			rows = append(rows, names)
		}
	}
	return rows
}

// kept returns those names that are rooms with source.
func kept(names []string, rooms map[string]bool) []string {
	return slices.DeleteFunc(slices.Clone(names), func(name string) bool { return !rooms[name] })
}
