package shop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"forkstock/internal/fault"
)

// Files that came through a page wait in a folder of the shop between what
// would be done and the word to do it.

// keptUploads is how long a file waits at least.
const keptUploads = 24 * time.Hour

var uploadToken = regexp.MustCompile(`^[0-9a-f]{24}$`)

// Upload keeps a file until it is taken in, and gives a token for it: the same
// file has the same one. Older files are thrown away.
func (s *Shop) Upload(_ context.Context, name string, r io.Reader) (token string, err error) {
	dir := s.uploads()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return "", folderFault(dir, err)
	}
	s.clearUploads()
	f, err := os.CreateTemp(dir, ".coming-")
	if err != nil {
		return "", folderFault(dir, err)
	}
	defer os.Remove(f.Name()) // after the rename there is none
	sum := sha256.New()
	_, err = io.Copy(io.MultiWriter(f, sum), r)
	if err = errors.Join(err, f.Close()); err != nil {
		return "", folderFault(dir, err)
	}
	token = hex.EncodeToString(sum.Sum(nil))[:24]
	place := filepath.Join(dir, token)
	if err := errors.Join(os.RemoveAll(place), os.Mkdir(place, 0o777)); err != nil {
		return "", folderFault(dir, err)
	}
	if err := os.Rename(f.Name(), filepath.Join(place, plainName(name))); err != nil {
		return "", folderFault(dir, err)
	}
	return token, nil
}

func (s *Shop) uploads() string { return filepath.Join(s.dir, "uploads") }

// Uploaded gives the path of a file that waits. Error: NotFound.
func (s *Shop) Uploaded(token string) (path string, err error) {
	if uploadToken.MatchString(token) {
		if files, _ := filepath.Glob(filepath.Join(s.uploads(), token, "*")); len(files) == 1 {
			return files[0], nil
		}
	}
	return "", fault.New(fault.NotFound, "shop.upload.gone").WithHint("shop.upload.gone.hint")
}

// plainName gives the name of a file without anything that leads elsewhere.
func plainName(name string) string {
	name = name[strings.LastIndexAny(name, `/\`)+1:]
	name = strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`<>:"|?*[]`, r) {
			return '_'
		}
		return r
	}, clip(name, 100))
	if strings.Trim(name, ". ") == "" {
		return "list"
	}
	return strings.TrimLeft(name, ".")
}

// clearUploads throws away what has waited long enough.
func (s *Shop) clearUploads() {
	all, _ := os.ReadDir(s.uploads())
	for _, e := range all {
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > keptUploads {
			_ = os.RemoveAll(filepath.Join(s.uploads(), e.Name()))
		}
	}
}
