package search

import (
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// A folder of an index holds: words, bleve's own; lock, held as long as a
// process has the index open; seal, written when it is closed.
//
// The seal names version and catalog, and every file of words with its size
// and checksum. Only what its seal still describes is opened: bleve does not
// survive every half-written or cut file, and some of it breaks only in the
// background, where nothing can be caught. So a process that was killed while
// it wrote costs a new index, which is no more than seconds.

func (ix *Index) sealPath() string { return filepath.Join(ix.dir, "seal") }

// sealed reports whether the folder is as it was closed.
func (ix *Index) sealed() bool {
	want, err := os.ReadFile(ix.sealPath())
	if err != nil {
		return false
	}
	got, err := ix.describe()
	return err == nil && got == string(want)
}

// seal writes down how the folder is. Without a seal, the next one that opens
// it begins anew.
func (ix *Index) seal() {
	text, err := ix.describe()
	temporary := ix.sealPath() + ".new"
	if err == nil && os.WriteFile(temporary, []byte(text), 0o644) == nil {
		os.Rename(temporary, ix.sealPath())
	}
}

// describe gives the text of the seal, one file a line, by name.
func (ix *Index) describe() (string, error) {
	var b strings.Builder
	fmt.Fprintf(&b, "forkstock index %s of %q\n", version, ix.catalog)
	err := fs.WalkDir(os.DirFS(ix.path()), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := os.Open(filepath.Join(ix.path(), filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		defer f.Close()
		sum := crc32.NewIEEE()
		size, err := io.Copy(sum, f)
		fmt.Fprintf(&b, "%08x %d %s\n", sum.Sum32(), size, name)
		return err
	})
	return b.String(), err
}

// acquire takes the lock of the folder, which it makes where it is absent.
func (ix *Index) acquire() error {
	if err := os.MkdirAll(ix.dir, 0o755); err != nil {
		return err
	}
	f, err := os.OpenFile(filepath.Join(ix.dir, "lock"), os.O_CREATE|os.O_RDWR, 0o644)
	if err != nil {
		return err
	}
	if err := lock(f); err != nil {
		f.Close()
		return err
	}
	ix.lock = f
	return nil
}

// release lets go of the lock.
func (ix *Index) release() {
	if ix.lock != nil {
		ix.lock.Close()
		ix.lock = nil
	}
}
