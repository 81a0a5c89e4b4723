package inbox

import (
	"context"
	"os"
	"time"

	"github.com/fsnotify/fsnotify"
)

// A bell rings when the file system tells of a change in the folder. Some
// never do: then it is silent.
type bell struct {
	watcher *fsnotify.Watcher
	over    os.FileInfo // the folder that it watches
}

// Wait returns when something has happened in the folder, the time is up, or
// ctx has ended.
func (f *Folder) Wait(ctx context.Context, atMost time.Duration) {
	timer := time.NewTimer(atMost)
	defer timer.Stop()
	f.bell.hang(f.Path)
	var events chan fsnotify.Event
	var faults chan error
	if f.bell.watcher != nil {
		events, faults = f.bell.watcher.Events, f.bell.watcher.Errors
	}
	select {
	case <-events:
	case <-faults: // events were lost; there is a look after every wait
	case <-timer.C:
	case <-ctx.Done():
	}
	for f.bell.watcher != nil { // a file brings many events: one look answers them all
		select {
		case <-events:
		case <-faults:
		default:
			return
		}
	}
}

// Close gives back what Wait took from the system.
func (f *Folder) Close() { f.bell.take() }

// hang hangs the bell over a folder, again where another one stands there now.
func (b *bell) hang(path string) {
	now, err := os.Stat(path)
	if err != nil {
		b.take()
		return
	}
	if b.watcher != nil && os.SameFile(b.over, now) {
		return
	}
	b.take()
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return
	}
	if err := w.Add(path); err != nil {
		_ = w.Close()
		return
	}
	b.watcher, b.over = w, now
}

// take takes the bell down.
func (b *bell) take() {
	if b.watcher != nil {
		_ = b.watcher.Close()
	}
	*b = bell{}
}
