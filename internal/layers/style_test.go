package layers

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const (
	root        = "../.." // of the tree
	maxFile     = 500     // lines
	maxFunction = 60      // lines
)

// tracked lists the files of the tree that git tracks or would track, by their
// slash-separated names.
func tracked(t *testing.T) []string {
	t.Helper()
	cmd := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard")
	cmd.Dir = root
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("git ls-files: %v", err)
	}
	var names []string
	for name := range strings.SplitSeq(strings.TrimSuffix(string(out), "\x00"), "\x00") {
		if _, err := os.Stat(filepath.Join(root, name)); err == nil { // not deleted
			names = append(names, name)
		}
	}
	return names
}

// sources lists the Go files of the tree but for test data.
func sources(t *testing.T) []string {
	t.Helper()
	var names []string
	for _, name := range tracked(t) {
		if strings.HasSuffix(name, ".go") && !strings.Contains("/"+name, "/testdata/") {
			names = append(names, name)
		}
	}
	if len(names) == 0 {
		t.Fatal("no source found")
	}
	return names
}

func TestStyle(t *testing.T) {
	documented := map[string]bool{} // folder -> has a package comment
	for _, name := range sources(t) {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, filepath.Join(root, name), nil, parser.ParseComments)
		if err != nil {
			t.Error(err)
			continue
		}
		if strings.HasSuffix(name, "_test.go") {
			for _, finding := range browserTest(file) {
				t.Errorf("%s: %s", name, finding)
			}
			continue
		}
		folder := path.Dir(name)
		documented[folder] = documented[folder] || file.Doc != nil
		if n := fset.File(file.FileStart).LineCount(); n > maxFile {
			t.Errorf("%s: %d lines, at most %d: one idea a file", name, n, maxFile)
		}
		for _, finding := range style(fset, file) {
			t.Errorf("%s: %s", name, finding)
		}
	}
	for folder, ok := range documented {
		if !ok {
			t.Errorf("%s: no package comment: say scope and non-goals", folder)
		}
	}
}

// style returns the exported names of a file without a doc comment and the
// functions that are too long.
func style(fset *token.FileSet, file *ast.File) []string {
	var findings []string
	undocumented := func(name *ast.Ident, docs ...*ast.CommentGroup) {
		for _, doc := range docs {
			if doc != nil {
				return
			}
		}
		if name.IsExported() {
			findings = append(findings, name.Name+": no doc comment")
		}
	}
	for _, decl := range file.Decls {
		switch d := decl.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil || ast.IsExported(receiver(d)) {
				undocumented(d.Name, d.Doc)
			}
			if n := fset.Position(d.End()).Line - fset.Position(d.Pos()).Line + 1; n > maxFunction {
				findings = append(findings, d.Name.Name+": too long, split it")
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch s := spec.(type) {
				case *ast.TypeSpec:
					undocumented(s.Name, d.Doc, s.Doc, s.Comment)
				case *ast.ValueSpec:
					for _, name := range s.Names {
						undocumented(name, d.Doc, s.Doc, s.Comment)
					}
				}
			}
		}
	}
	return findings
}

// receiver returns the name of the type that a method belongs to.
func receiver(d *ast.FuncDecl) string {
	name := ""
	ast.Inspect(d.Recv.List[0].Type, func(n ast.Node) bool {
		if id, ok := n.(*ast.Ident); ok && name == "" {
			name = id.Name
		}
		return true
	})
	return name
}

// browserTest returns what is wrong with a test file that drives a browser:
// make test runs such tests apart, by their name and without the race detector.
func browserTest(file *ast.File) []string {
	drives, raceless := false, false
	for _, spec := range file.Imports {
		drives = drives || spec.Path.Value == `"github.com/chromedp/chromedp"`
	}
	for _, group := range file.Comments {
		raceless = raceless || strings.HasPrefix(group.List[0].Text, "//go:build !race")
	}
	if !drives {
		return nil
	}
	var findings []string
	if !raceless {
		findings = append(findings, "drives a browser, so it needs //go:build !race")
	}
	for _, decl := range file.Decls {
		f, ok := decl.(*ast.FuncDecl)
		if ok && strings.HasPrefix(f.Name.Name, "Test") && !strings.HasPrefix(f.Name.Name, "TestBrowser") {
			findings = append(findings, f.Name.Name+": drives a browser, so its name begins with TestBrowser")
		}
	}
	return findings
}

func TestFindings(t *testing.T) {
	long := "func long() {" + strings.Repeat("\n", maxFunction) + "}\n"
	for _, c := range []struct {
		source string
		want   string // all findings, joined
	}{
		{"func Bare() {}", "Bare: no doc comment"},
		{"// Told does.\nfunc Told() {}\nfunc hidden() {}", ""},
		{"type Bare struct{}\n// M does.\nfunc (b *Bare) M() {}", "Bare: no doc comment"},
		{"type b[T any] struct{}\nfunc (b[T]) M() {}", ""},
		{"// Set holds.\ntype Set[T any] struct{}\nfunc (*Set[T]) M() {}", "M: no doc comment"},
		{"// Kinds.\nconst (\nA = 1\nB = 2\n)", ""},
		{"const (\nA = 1 // the first\nB = 2\n)", "B: no doc comment"},
		{long, "long: too long, split it"},
		{strings.Replace(long, "\n", "", 1), ""},
	} {
		fset := token.NewFileSet()
		file, err := parser.ParseFile(fset, "a.go", "package a\n"+c.source, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(style(fset, file), "; "); got != c.want {
			t.Errorf("%s\ngot %q, want %q", c.source, got, c.want)
		}
	}
}

func TestBrowserFindings(t *testing.T) {
	const drive = "package a\nimport \"github.com/chromedp/chromedp\"\n"
	for source, want := range map[string]int{
		"//go:build !race\n\n" + drive + "func TestBrowserFind() {}": 0,
		drive + "func TestFind() {}":                                 2,
		"package a\nfunc TestFind() {}":                              0,
	} {
		file, err := parser.ParseFile(token.NewFileSet(), "a_test.go", source, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		if got := browserTest(file); len(got) != want {
			t.Errorf("%s\ngot %q, want %d findings", source, got, want)
		}
	}
}

// Paths of one machine and names of package registries: what the project needs
// from either, a setting of the machine says.
var machine = regexp.MustCompile(`(?:^|[^\w.])/(?:root|home|work)/` +
	`|(?:proxy|sum)[.]golang[.]org|(?:deb|security)[.]debian[.]org|registry[.]npmjs`)

func TestNoMachine(t *testing.T) {
	for _, name := range tracked(t) {
		text, err := os.ReadFile(filepath.Join(root, name))
		if err != nil {
			t.Error(err)
			continue
		}
		if bytes.IndexByte(text, 0) >= 0 { // a picture, not text
			continue
		}
		if found := machine.Find(text); found != nil {
			t.Errorf("%s: %q does not belong in the tree", name, found)
		}
		trial := bytes.HasPrefix(text, []byte("//go:build trials\n")) || path.Dir(name) == "scripts/check"
		if path.Ext(name) == ".go" && !trial && bytes.Contains(text, []byte(".."+"/shared")) {
			t.Errorf("%s: only make trials may read the check values beside the project", name)
		}
	}
}

func TestMachine(t *testing.T) {
	for text, want := range map[string]bool{
		"see " + "/root" + "/go/pkg":       true,
		"/home" + "/anna/shop":             true,
		"https://proxy" + ".golang.org":    true,
		"handlers at /roots/ and x/home/y": false,
		"golang.org/x/text":                false,
	} {
		if got := machine.MatchString(text); got != want {
			t.Errorf("%q: got %v, want %v", text, got, want)
		}
	}
}
