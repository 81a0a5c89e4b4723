// Package inbox looks after a folder into which phones, cameras and network
// drives copy files: it says which of them have come to rest, and moves them
// out of the way, never over another file.
//
// A file is at rest when its size and time have not changed for a while
// between two looks. Hidden files, folders, links and what is named as half
// done (.part, .partial, .tmp) are left alone. The folder may vanish and come
// back (a stick, a network drive): what lies in it then is looked at anew.
//
// Events of the file system only shorten the wait; whatever they miss, the
// next look finds. Times are those of Clock, so that tests need not wait.
//
// Non-goals: what is in the files, folders in the folder.
package inbox

import (
	"cmp"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Folder is a folder that files come into. Its fields are set before use.
type Folder struct {
	Path  string
	Still time.Duration    // how long a file must not have changed
	Empty time.Duration    // the same for one of no bytes: most are about to be written
	Clock func() time.Time // default time.Now

	seen map[string]sighting
	left map[string]File
	bell bell
}

// File is a file at rest.
type File struct {
	Name string // without the folder
	Size int64
	Time time.Time // of its last change
}

// sighting is a file as it was at a look, and since when.
type sighting struct {
	File
	since time.Time
}

// ErrChanged is the error of a file that is not what it was at the last look.
var ErrChanged = errors.New("inbox: the file has changed")

// Look gives the files at rest, in the order in which they were written, and
// how many are still on their way. An error is that of the folder.
func (f *Folder) Look() (ready []File, coming int, err error) {
	now := time.Now
	if f.Clock != nil {
		now = f.Clock
	}
	entries, err := os.ReadDir(f.Path)
	if err != nil {
		f.seen, f.left = nil, nil
		return nil, 0, err
	}
	at, seen := now(), map[string]sighting{}
	for _, e := range entries {
		info, err := e.Info()
		if err != nil || !info.Mode().IsRegular() || passing(e.Name()) {
			continue
		}
		s := sighting{File{e.Name(), info.Size(), info.ModTime()}, at}
		if old, ok := f.seen[s.Name]; ok && old.same(s.File) {
			s.since = old.since
		}
		seen[s.Name] = s
		still := f.Still
		if s.Size == 0 {
			still = max(f.Still, f.Empty)
		}
		switch left, ok := f.left[s.Name]; {
		case ok && left.same(s.File):
		case at.Sub(s.since) >= still:
			ready = append(ready, s.File)
		default:
			coming++
		}
	}
	f.seen = seen
	slices.SortFunc(ready, func(a, b File) int { return cmp.Or(a.Time.Compare(b.Time), strings.Compare(a.Name, b.Name)) })
	return ready, coming, nil
}

func (a File) same(b File) bool { return a.Size == b.Size && a.Time.Equal(b.Time) }

// passing reports whether a name is that of a file that is not meant to stay.
func passing(name string) bool {
	return strings.HasPrefix(name, ".") || slices.Contains([]string{".part", ".partial", ".tmp"}, strings.ToLower(filepath.Ext(name)))
}

// Read gives the bytes of a file at rest. Error: ErrChanged, or that of the
// file.
func (f *Folder) Read(file File) ([]byte, error) {
	data, err := os.ReadFile(filepath.Join(f.Path, file.Name))
	if err == nil {
		err = f.check(file)
	}
	if err == nil && int64(len(data)) != file.Size {
		err = ErrChanged
	}
	return data, err
}

// Leave keeps a file from being given again until it changes, or until this
// Folder is used by another run of the program.
func (f *Folder) Leave(file File) {
	if f.left == nil {
		f.left = map[string]File{}
	}
	f.left[file.Name] = file
}

func (f *Folder) check(file File) error {
	info, err := os.Lstat(filepath.Join(f.Path, file.Name))
	if err != nil {
		return err
	}
	if !file.same(File{file.Name, info.Size(), info.ModTime()}) {
		return ErrChanged
	}
	return nil
}

// mostNames is how many files of one name find room beside each other.
const mostNames = 10_000

// Move puts a file into a folder inside the folder, under another name where
// there is one of its name, and gives the path from the folder. Errors:
// ErrChanged, fs.ErrNotExist where somebody else has moved it, or that of the
// file system.
func (f *Folder) Move(file File, into string) (string, error) {
	if err := f.check(file); err != nil {
		return "", err
	}
	if err := os.MkdirAll(filepath.Join(f.Path, into), 0o777); err != nil {
		return "", err
	}
	from := filepath.Join(f.Path, file.Name)
	for n := 1; n < mostNames; n++ {
		to := filepath.Join(into, numbered(file.Name, n))
		err := moveOnce(from, filepath.Join(f.Path, to))
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err == nil {
			delete(f.seen, file.Name)
		}
		return to, err
	}
	return "", fs.ErrExist
}

// numbered gives the n-th name beside others: photo.jpg, photo-2.jpg.
func numbered(name string, n int) string {
	if n == 1 {
		return name
	}
	ending := filepath.Ext(name)
	return strings.TrimSuffix(name, ending) + "-" + strconv.Itoa(n) + ending
}

// moveOnce moves a file to a name that is free, else the error is
// fs.ErrExist. A program that was killed between the two steps left either a
// second name of the same file or an empty one; both are put right.
func moveOnce(from, to string) error {
	err := os.Link(from, to)
	if err == nil || same(from, to) {
		return os.Remove(from)
	}
	if errors.Is(err, fs.ErrExist) && !empty(to) || errors.Is(err, fs.ErrNotExist) {
		return err
	}
	// A file system without links, as on most cards: the name is taken by an
	// empty file first.
	if place, err := os.OpenFile(to, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o666); err == nil {
		if err := place.Close(); err != nil {
			return err
		}
	} else if !errors.Is(err, fs.ErrExist) || !empty(to) {
		return err
	}
	return os.Rename(from, to)
}

func same(a, b string) bool {
	x, errX := os.Lstat(a)
	y, errY := os.Lstat(b)
	return errX == nil && errY == nil && os.SameFile(x, y)
}

func empty(path string) bool {
	info, err := os.Lstat(path)
	return err == nil && info.Mode().IsRegular() && info.Size() == 0
}
