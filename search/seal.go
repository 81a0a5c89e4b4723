package search

import (
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// The folder of an index holds: lock, held as long as a process has it; words,
// the index that is asked; new, one that is being made, which takes the place of
// words once it is whole. Either holds bleve's own folder, and a seal and a copy
// of bleve's root, written when it is closed.
//
// The seal names version and catalog, and every file of bleve's with its size
// and checksum. Only what its seal still describes is opened: bleve does not
// survive every half-written or cut file, and some of it breaks only in the
// background, where nothing can be caught.
//
// Bleve writes each file once but for its root, which it changes as soon as it
// opens an index. With the copy of that, and without the files written since,
// an index whose process was killed is as it was when it was closed, and catches
// up; where it has lost files since, it is made anew.
const (
	asked      = "words"
	unfinished = "new"
	lockName   = "lock"
	rootName   = "root.bolt"
)

// name is the folder of the index that is open.
func (ix *Index) name() string {
	if ix.making {
		return unfinished
	}
	return asked
}

// path is the folder that is bleve's.
func (ix *Index) path(name string) string { return filepath.Join(ix.dir, name, "bleve") }

func (ix *Index) sealPath(name string) string { return filepath.Join(ix.dir, name, "seal") }

// root gives bleve's root and where its copy stands.
func (ix *Index) root(name string) (path, kept string) {
	return filepath.Join(ix.path(name), "store", rootName), filepath.Join(ix.dir, name, rootName)
}

// clear removes all but the lock.
func (ix *Index) clear() error {
	entries, err := os.ReadDir(ix.dir)
	for _, e := range entries {
		if err == nil && e.Name() != lockName {
			err = os.RemoveAll(filepath.Join(ix.dir, e.Name()))
		}
	}
	return err
}

// sealed reports whether a folder is as it was closed, or could be made so again.
func (ix *Index) sealed(name string) bool {
	seal, err := os.ReadFile(ix.sealPath(name))
	if err != nil {
		return false
	}
	intact := func() bool {
		got, err := ix.describe(name)
		return err == nil && got == string(seal)
	}
	return intact() || ix.restore(name, string(seal)) == nil && intact()
}

// restore puts back the root that a seal speaks of, and removes what it does not
// speak of.
func (ix *Index) restore(name, seal string) error {
	if !strings.HasPrefix(seal, ix.heading()) {
		return errors.New("an index of another catalog or version")
	}
	path, kept := ix.root(name)
	b, err := os.ReadFile(kept)
	if err == nil {
		err = os.WriteFile(path, b, 0o600)
	}
	if err != nil {
		return err
	}
	dir := ix.path(name)
	return fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || strings.Contains(seal, " "+name+"\n") {
			return err
		}
		return os.Remove(filepath.Join(dir, filepath.FromSlash(name)))
	})
}

// seal writes down how a folder is. Without a seal, the next one that opens it
// begins anew.
func (ix *Index) seal(name string) error {
	text, err := ix.describe(name)
	if err != nil {
		return err
	}
	path, kept := ix.root(name)
	b, err := os.ReadFile(path)
	if err == nil {
		err = os.WriteFile(kept, b, 0o644)
	}
	if err == nil {
		err = os.WriteFile(ix.sealPath(name)+".new", []byte(text), 0o644)
	}
	if err == nil {
		err = os.Rename(ix.sealPath(name)+".new", ix.sealPath(name))
	}
	return err
}

// heading is the first line of the seal.
func (ix *Index) heading() string {
	return fmt.Sprintf("forkstock index %s of %q\n", version, ix.catalog)
}

// describe gives the text of the seal, one file a line, by name.
func (ix *Index) describe(name string) (string, error) {
	var b strings.Builder
	b.WriteString(ix.heading())
	dir := ix.path(name)
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		f, err := os.Open(filepath.Join(dir, filepath.FromSlash(name)))
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
	f, err := os.OpenFile(filepath.Join(ix.dir, lockName), os.O_CREATE|os.O_RDWR, 0o644)
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
