package cli

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"forkstock/internal/fault"
	"forkstock/internal/shop"
	"forkstock/internal/words"
)

// mostFile is the largest picture file that is read, in bytes.
const mostFile = 64 << 20

func (a *app) scanCommand() *cobra.Command {
	var itf string
	cmd := a.command("scan [--itf LENGTHS] PICTURE... | FOLDER... | -", 1, -1, a.withShop(func(ctx context.Context, s *shop.Shop, args []string) error {
		pictures, err := a.picturesOf(args)
		if err != nil {
			return err
		}
		tell := func(one shop.Scanned) {
			if !a.json {
				a.scanned(one)
				a.out.Flush()
			}
		}
		out, err := s.Scan(ctx, pictures, itf, tell)
		if err != nil {
			return err
		}
		a.show(&out, func() {
			if len(out.Files) > 1 {
				a.scanSum(out)
			}
		})
		if len(out.Unread) > 0 {
			return errNo
		}
		return nil
	}))
	cmd.Flags().StringVar(&itf, "itf", "", a.words.Say("cli.flag.itf"))
	return cmd
}

// scanSum tells what several pictures gave.
func (a *app) scanSum(out shop.Scanned) {
	known, bad := 0, 0
	for _, y := range out.Symbols {
		if y.Number != "" || y.Bin != "" || y.Trial != 0 {
			known++
		}
	}
	for _, f := range out.Files {
		if f.Pages == 0 {
			bad++
		}
	}
	a.say("cli.scan.sum", len(out.Files), len(out.Symbols), known, len(out.Symbols)-known)
	if n := len(out.Refused); n > 0 {
		a.say("cli.scan.sum_refused", n)
	}
	if n := len(out.Unread) - bad; n > 0 {
		a.say("cli.scan.sum_unread", n)
	}
	if bad > 0 {
		a.say("cli.scan.sum_bad", bad)
	}
}

// scanned shows what a file of pictures says.
func (a *app) scanned(out shop.Scanned) {
	several := slices.ContainsFunc(out.Files, func(f shop.File) bool { return f.Pages > 1 })
	where := func(image string, page int) string {
		if several && page > 0 {
			return a.words.Say("cli.scan.page", image, page)
		}
		return image
	}
	var g grid
	for _, y := range out.Symbols {
		stands := a.words.Say("cli.scan.unknown")
		if y.Number != "" {
			stands = a.words.Say("cli.scan.stands", y.Number, a.amount(y.Pieces, y.Unit))
		}
		if y.Bin != "" {
			stands = a.words.Say("cli.scan.bin", y.Bin)
		}
		if y.Trial != 0 {
			stands = a.words.Say("cli.scan.trial", y.Trial)
		}
		g.add(where(y.Image, y.Page), y.Symbology, oneLine(y.Text), stands)
	}
	g.write(a.out)
	a.notRead(out.Refused, out.Unread, where)
}

// notRead shows what was not believed or not read in pictures; where names a
// page.
func (a *app) notRead(refused []shop.Refused, unread []shop.Unread, where func(image string, page int) string) {
	for _, r := range refused {
		if r.Text == "" || oneLine(r.Text) != r.Text { // what it seems to say would only puzzle
			a.say("cli.scan.refused_blank", where(r.Image, r.Page), r.Symbology, r.Why)
			continue
		}
		a.say("cli.scan.refused", where(r.Image, r.Page), r.Symbology, r.Text, r.Why)
	}
	for _, u := range unread {
		a.say("cli.scan.unread", where(u.Image, u.Page), u.Why)
	}
}

// onPage names a page of a picture but the first.
func (a *app) onPage(image string, page int) string {
	if page > 1 {
		return a.words.Say("cli.scan.page", image, page)
	}
	return image
}

// picturesOf gives the pictures that arguments name: files, the pictures in
// folders, and - for standard input. Files are opened when their turn comes; a
// name that is not there is told at once. Errors: NotFound, Denied, Invalid.
func (a *app) picturesOf(args []string) ([]shop.Picture, error) {
	var paths []string
	for _, arg := range args {
		info, err := os.Stat(arg)
		switch {
		case arg == "-":
			paths = append(paths, arg)
		case errors.Is(err, fs.ErrNotExist) && len(args) == 1:
			return nil, fault.New(fault.NotFound, "cli.no_file", arg)
		case err == nil && info.IsDir():
			inside, err := picturesIn(arg)
			if err != nil {
				return nil, err
			}
			paths = append(paths, inside...)
		default:
			paths = append(paths, arg)
		}
	}
	named := map[string]int{}
	for _, path := range paths {
		named[filepath.Base(path)]++
	}
	var all []shop.Picture
	for _, path := range paths {
		p := shop.Picture{Name: filepath.Base(path), Load: func() ([]byte, error) { return readFile(path) }}
		if named[p.Name] > 1 {
			p.Name = path
		}
		if path == "-" {
			p.Load = func() ([]byte, error) { return readPicture(a.stdin, path) }
		}
		all = append(all, p)
	}
	return all, nil
}

// pictureEndings are those of files that are meant to be pictures, whatever is
// in them.
var pictureEndings = []string{
	".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".bmp", ".gif", ".pdf", ".heic", ".heif", ".avif",
}

// picturesIn lists the pictures in a folder in the order of their names: what
// is a picture by its contents, and what should be one by its name. Errors:
// Denied, Invalid where there is none.
func picturesIn(folder string) (paths []string, err error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, fault.New(fault.Denied, "cli.file_denied", folder).WithCause(err)
	}
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		if slices.Contains(pictureEndings, strings.ToLower(filepath.Ext(path))) || shop.IsPicture(firstBytes(path)) {
			paths = append(paths, path)
		}
	}
	if len(paths) == 0 {
		return nil, fault.New(fault.Invalid, "cli.no_pictures", folder).WithHint("cli.no_pictures.hint")
	}
	return paths, nil
}

// firstBytes gives the beginning of a file, as much as can be read.
func firstBytes(path string) []byte {
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	b := make([]byte, 1024)
	n, _ := io.ReadFull(f, b)
	return b[:n]
}

// readPictures reads picture files whole. Errors: NotFound, Denied, Invalid.
func readPictures(paths []string) ([]shop.Picture, error) {
	var all []shop.Picture
	for _, path := range paths {
		b, err := readFile(path)
		if err != nil {
			return nil, err
		}
		all = append(all, shop.Picture{Name: filepath.Base(path), Data: b})
	}
	return all, nil
}

func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fault.New(fault.NotFound, "cli.no_file", path)
	case errors.Is(err, fs.ErrPermission):
		return nil, fault.New(fault.Denied, "cli.file_denied", path)
	case err != nil:
		return nil, fault.New(fault.Invalid, "cli.bad_file", path).WithCause(err)
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, fault.New(fault.Invalid, "cli.file_is_folder", path).WithHint("cli.file_is_folder.hint", words.ShellWord(path))
	}
	return readPicture(f, path)
}

// readPicture reads a picture to its end.
func readPicture(r io.Reader, path string) ([]byte, error) {
	b, err := io.ReadAll(io.LimitReader(r, mostFile+1))
	if err != nil {
		return nil, fault.New(fault.Invalid, "cli.bad_file", path).WithCause(err)
	}
	if len(b) > mostFile {
		return nil, fault.New(fault.Invalid, "cli.big_file", path, mostFile>>20)
	}
	return b, nil
}
