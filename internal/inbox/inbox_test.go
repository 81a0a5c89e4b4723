package inbox

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// folder gives a folder whose clock the test sets.
func folder(t *testing.T) (*Folder, *time.Time) {
	t.Helper()
	now := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	f := &Folder{Path: t.TempDir(), Still: 2 * time.Second, Empty: time.Minute, Clock: func() time.Time { return now }}
	t.Cleanup(f.Close)
	return f, &now
}

func (f *Folder) write(t *testing.T, name, text string, age time.Duration) {
	t.Helper()
	path := filepath.Join(f.Path, name)
	when := f.Clock().Add(-age)
	err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, []byte(text), 0o666), os.Chtimes(path, when, when))
	if err != nil {
		t.Fatal(err)
	}
}

func (f *Folder) ready(t *testing.T) (names []string, coming int) {
	t.Helper()
	files, coming, err := f.Look()
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		names = append(names, file.Name)
	}
	return names, coming
}

// A file is given once it has been the same for long enough, whatever its own
// time says; the oldest first.
func TestLook(t *testing.T) {
	f, now := folder(t)
	f.write(t, "b.jpg", "half", time.Hour)
	f.write(t, "a.jpg", "whole", time.Minute)
	f.write(t, "none.jpg", "", time.Hour)
	f.write(t, ".hidden.jpg", "x", time.Hour)
	f.write(t, "c.JPG.Part", "x", time.Hour)
	f.write(t, "inside/d.jpg", "x", time.Hour)
	if err := os.Symlink("a.jpg", filepath.Join(f.Path, "link.jpg")); err != nil {
		t.Fatal(err)
	}
	check := func(when string, coming int, want ...string) {
		t.Helper()
		got, n := f.ready(t)
		if !slices.Equal(got, want) || n != coming {
			t.Errorf("%s: %v and %d on their way, want %v and %d", when, got, n, want, coming)
		}
	}
	check("at once", 3)
	*now = now.Add(time.Second)
	check("too early", 3)
	f.write(t, "b.jpg", "half and", time.Second)
	*now = now.Add(time.Second)
	check("one is at rest, one has grown", 2, "a.jpg")
	*now = now.Add(2 * time.Second)
	check("both are", 1, "a.jpg", "b.jpg")
	*now = now.Add(time.Minute)
	check("the empty one, too", 0, "none.jpg", "a.jpg", "b.jpg")
}

// What is left alone comes again when it has changed.
func TestLeave(t *testing.T) {
	f, now := folder(t)
	f.write(t, "a.jpg", "x", time.Hour)
	f.ready(t)
	*now = now.Add(2 * time.Second)
	files, _, _ := f.Look()
	if len(files) != 1 {
		t.Fatal(files)
	}
	f.Leave(files[0])
	if got, coming := f.ready(t); len(got)+coming > 0 {
		t.Errorf("left alone, it came again: %v, %d", got, coming)
	}
	f.write(t, "a.jpg", "xy", 0)
	f.ready(t)
	*now = now.Add(2 * time.Second)
	if got, _ := f.ready(t); len(got) != 1 {
		t.Error("changed, it did not come again")
	}
}

// The folder goes and comes back: its files have to come to rest again.
func TestGoneAndBack(t *testing.T) {
	f, now := folder(t)
	f.write(t, "a.jpg", "x", time.Hour)
	f.ready(t)
	away := f.Path + "-away"
	if err := os.Rename(f.Path, away); err != nil {
		t.Fatal(err)
	}
	*now = now.Add(time.Hour)
	if _, _, err := f.Look(); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the folder is gone: %v", err)
	}
	if err := os.Rename(away, f.Path); err != nil {
		t.Fatal(err)
	}
	if got, coming := f.ready(t); len(got) != 0 || coming != 1 {
		t.Errorf("just back: %v, %d on their way", got, coming)
	}
	*now = now.Add(2 * time.Second)
	if got, _ := f.ready(t); len(got) != 1 {
		t.Errorf("back: %v", got)
	}
}

// at gives a file as it is now.
func (f *Folder) at(t *testing.T, name string) File {
	t.Helper()
	info, err := os.Lstat(filepath.Join(f.Path, name))
	if err != nil {
		t.Fatal(err)
	}
	return File{name, info.Size(), info.ModTime()}
}

func (f *Folder) text(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(f.Path, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// Files of one name find room beside each other, and none is lost.
func TestMove(t *testing.T) {
	f, _ := folder(t)
	for i, text := range []string{"one", "two", "three"} {
		f.write(t, "a.jpg", text, time.Hour)
		to, err := f.Move(f.at(t, "a.jpg"), "taken")
		if want := []string{"taken/a.jpg", "taken/a-2.jpg", "taken/a-3.jpg"}[i]; err != nil || to != want || f.text(t, to) != text {
			t.Errorf("moved to %q, %v, want %q", to, err, want)
		}
		if _, err := os.Lstat(filepath.Join(f.Path, "a.jpg")); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("it is still there: %v", err)
		}
	}
	if got := f.text(t, "taken/a.jpg"); got != "one" {
		t.Errorf("the first is %q now", got)
	}
}

// A program that was killed in the middle of a move: the same file has two
// names, or an empty one holds the place. Neither is taken for another file.
func TestMoveAfterKill(t *testing.T) {
	f, _ := folder(t)
	f.write(t, "taken/b.jpg", "", time.Hour)
	f.write(t, "a.jpg", "x", time.Hour)
	f.write(t, "b.jpg", "y", time.Hour)
	if err := os.Link(filepath.Join(f.Path, "a.jpg"), filepath.Join(f.Path, "taken/a.jpg")); err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{"a.jpg": "x", "b.jpg": "y"} {
		to, err := f.Move(f.at(t, name), "taken")
		if err != nil || to != "taken/"+name || f.text(t, to) != text {
			t.Errorf("%s moved to %q, %v", name, to, err)
		}
	}
	if left, _ := filepath.Glob(filepath.Join(f.Path, "*.jpg")); len(left) > 0 {
		t.Errorf("still there: %v", left)
	}
}

// What has changed since the last look is neither read nor moved.
func TestChanged(t *testing.T) {
	f, _ := folder(t)
	f.write(t, "a.jpg", "x", time.Hour)
	file := f.at(t, "a.jpg")
	if data, err := f.Read(file); err != nil || string(data) != "x" {
		t.Errorf("read %q, %v", data, err)
	}
	f.write(t, "a.jpg", "xy", 0)
	if _, err := f.Read(file); !errors.Is(err, ErrChanged) {
		t.Errorf("read what has changed: %v", err)
	}
	if _, err := f.Move(file, "taken"); !errors.Is(err, ErrChanged) {
		t.Errorf("moved what has changed: %v", err)
	}
	if err := os.Remove(filepath.Join(f.Path, "a.jpg")); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Move(file, "taken"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("moved what is gone: %v", err)
	}
}

// A wait ends by an event, by ctx, or by the time, also where there is no
// folder to hear of.
func TestWait(t *testing.T) {
	f, _ := folder(t)
	f.Wait(t.Context(), time.Nanosecond) // hangs the bell
	if f.bell.watcher == nil {
		t.Skip("this system tells of no changes")
	}
	go os.WriteFile(filepath.Join(f.Path, "a.jpg"), []byte("x"), 0o666)
	f.Wait(t.Context(), time.Hour)

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	f.Wait(ctx, time.Hour)

	if err := os.RemoveAll(f.Path); err != nil {
		t.Fatal(err)
	}
	f.Wait(t.Context(), time.Millisecond)
	if f.bell.watcher != nil {
		t.Error("the bell still hangs over a folder that is gone")
	}
	if err := os.Mkdir(f.Path, 0o777); err != nil {
		t.Fatal(err)
	}
	f.Wait(t.Context(), time.Millisecond)
	go os.WriteFile(filepath.Join(f.Path, "b.jpg"), []byte("x"), 0o666)
	f.Wait(t.Context(), time.Hour)
}
