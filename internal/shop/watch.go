package shop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"forkstock/internal/fault"
	"forkstock/internal/inbox"
	"forkstock/internal/store"
	"forkstock/inventory"
	"forkstock/scanner/pages"
)

// How watching goes about time.
const (
	stillTime = 2 * time.Second // that a file must not have changed
	emptyTime = time.Minute     // the same for one of no bytes
	soonTime  = time.Second     // to the next look while files are on their way
	lookTime  = 5 * time.Second // to the next look where no event comes before
	retryTime = 10 * time.Second
)

// The folders inside a watched one that its files are moved into.
const (
	takenFolder  = "taken"
	unreadFolder = "unread"
)

// WatchRequest says which folder to watch, and where what comes goes.
type WatchRequest struct {
	Folder   string
	Delivery string // name; empty: the day's
	Bin      string // name; empty: each part's home
	Once     bool   // take what is there, and end
}

// What becomes of a file in a watched folder, and of the folder.
const (
	WatchTaken    = "taken"    // read, and moved to the folder "taken"
	WatchRepeated = "repeated" // the same bytes had been read before: moved, not counted again
	WatchUnread   = "unread"   // nothing was read in it: moved to the folder "unread"
	WatchLeft     = "left"     // it stays where it is, Why says so
	WatchGone     = "gone"     // the folder is not there: waiting for it
	WatchBack     = "back"     // the folder is there again
)

// Watched is something that happened in a watched folder.
type Watched struct {
	File     string        `json:"file,omitempty"` // its name
	State    string        `json:"state"`          // see the constants
	To       string        `json:"to,omitempty"`   // where it lies now, from the folder
	Why      fault.Message `json:"why,omitzero"`
	Received *Received     `json:"received,omitempty"` // of one that was taken or unread
}

// Watch takes the pictures that come into a folder, each once whatever happens
// in between, and tells what became of each: its scans are recorded and posted
// in one transaction, then the file is moved out of the way. It ends when ctx
// ends, which is no error, or with Once when nothing is left to take. Errors:
// NotFound (the folder, the bin), Invalid (no folder, the delivery's name),
// and those of a broken shop; a shop that is busy or full is tried again.
func (s *Shop) Watch(ctx context.Context, q WatchRequest, tell func(Watched)) error {
	info, err := os.Stat(q.Folder)
	if err != nil {
		return fault.New(fault.NotFound, "shop.watch_absent", q.Folder).WithHint("shop.watch_absent.hint").WithCause(err)
	}
	if !info.IsDir() {
		return fault.New(fault.Invalid, "shop.watch_file", q.Folder).WithHint("shop.watch_absent.hint")
	}
	if err := s.checkWatch(ctx, q); err != nil {
		return err
	}
	w := watching{
		s: s, q: q, tell: tell, there: true,
		in: inbox.Folder{Path: q.Folder, Still: stillTime, Empty: emptyTime},
	}
	defer w.in.Close()
	for {
		wait, err := w.round(ctx)
		switch {
		case ctx.Err() != nil:
			return nil
		case err != nil:
			return err
		case wait == 0:
			return nil
		}
		w.in.Wait(ctx, wait)
		if ctx.Err() != nil {
			return nil
		}
	}
}

// checkWatch refuses at the beginning what would fail at the first picture.
func (s *Shop) checkWatch(ctx context.Context, q WatchRequest) error {
	return s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		if q.Bin != "" {
			if _, err := inventory.BinNamed(ctx, tx, q.Bin); err != nil {
				return err
			}
		}
		if name := trimmed(q.Delivery); name != "" {
			return inventory.CheckDeliveryName(name)
		}
		return nil
	})
}

// watching is a folder under watch.
type watching struct {
	s     *Shop
	q     WatchRequest
	in    inbox.Folder
	tell  func(Watched)
	there bool   // the folder was there at the last look
	last  string // file and reason of the last trouble, told once
}

// round takes what is at rest, and gives how long to wait for the next; 0
// where nothing more is waited for.
func (w *watching) round(ctx context.Context) (wait time.Duration, err error) {
	ready, coming, err := w.in.Look()
	if err != nil {
		if w.q.Once {
			return 0, fault.New(fault.NotFound, "shop.watch_absent", w.q.Folder).WithHint("shop.watch_absent.hint").WithCause(err)
		}
		if w.there {
			w.there = false
			w.tell(Watched{State: WatchGone, Why: fault.Say("shop.watch_gone", w.q.Folder)})
		}
		return lookTime, nil
	}
	if !w.there {
		w.there = true
		w.tell(Watched{State: WatchBack, Why: fault.Say("shop.watch_back", w.q.Folder)})
	}
	for _, file := range ready {
		again, err := w.take(ctx, file)
		if err != nil || ctx.Err() != nil {
			return 0, err
		}
		if again {
			return retryTime, nil
		}
	}
	switch {
	case coming > 0:
		return soonTime, nil
	case w.q.Once:
		return 0, nil
	}
	return lookTime, w.s.CatchUp(ctx)
}

// take takes one file. Again says that the shop could not: it stays and is
// tried again later.
func (w *watching) take(ctx context.Context, file inbox.File) (again bool, err error) {
	p, before, err := w.read(ctx, file)
	switch {
	case errors.Is(err, inbox.ErrChanged), errors.Is(err, fs.ErrNotExist):
		return false, nil // the next look finds what it is now
	case errors.Is(err, fs.ErrPermission):
		w.leave(file, fault.Say("shop.watch_locked"))
		return false, nil
	case err != nil:
		return w.trouble(file, err)
	}
	t, read := Watched{File: file.Name, State: WatchRepeated}, true
	if before.ID == 0 {
		got, err := w.s.Receive(ctx, Intake{Delivery: w.q.Delivery, Bin: w.q.Bin, Apart: true, Once: true, Pictures: []Picture{p}})
		if err != nil {
			return w.trouble(file, err)
		}
		t.State, t.Received, read = WatchUnread, &got, len(got.Symbols) > 0
		if v := got.Pictures; len(v) == 1 && v[0].Repeated {
			t.Received = nil
			if read = v[0].Symbols > 0; read {
				t.State = WatchRepeated
			}
		} else if read {
			t.State = WatchTaken
		}
	}
	w.last = ""
	w.move(file, read, &t)
	w.tell(t)
	return false, nil
}

// move moves a file out of the way.
func (w *watching) move(file inbox.File, read bool, t *Watched) {
	folder := unreadFolder
	if read {
		folder = takenFolder
	}
	to, err := w.in.Move(file, folder)
	t.To = to
	if err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, inbox.ErrChanged) {
		t.Why = fault.Say("shop.watch_fixed", filepath.Join(w.q.Folder, folder))
		w.in.Leave(file)
	}
}

// read reads a file, and gives the record of the same bytes where something
// was read in them before, with whatever delivery. One that is too large is not read, but
// refused when its turn comes.
func (w *watching) read(ctx context.Context, file inbox.File) (p Picture, before inventory.Picture, err error) {
	p.Name = file.Name
	if file.Size > pages.MaxBytes {
		p.Load = func() ([]byte, error) {
			return nil, fault.New(fault.Invalid, "scanner.too_many_bytes", file.Size, pages.MaxBytes).WithHint("scanner.size_hint")
		}
		return p, before, nil
	}
	if p.Data, err = w.in.Read(file); err != nil {
		return p, before, err
	}
	sum := sha256.Sum256(p.Data)
	err = w.s.db.Read(ctx, func(ctx context.Context, tx *store.Tx) error {
		before, _, err = inventory.PictureSeen(ctx, tx, hex.EncodeToString(sum[:]))
		return err
	})
	return p, before, err
}

// trouble tells once why a file could not be taken, and whether it is worth
// trying again.
func (w *watching) trouble(file inbox.File, err error) (again bool, _ error) {
	e := fault.Of(err)
	switch e.Kind {
	case fault.Busy, fault.Full:
		if w.q.Once {
			return false, err
		}
		if now := file.Name + "\n" + e.Message.ID; now != w.last {
			w.last = now
			w.tell(Watched{File: file.Name, State: WatchLeft, Why: fault.Say("shop.watch_later", e.Message)})
		}
		return true, nil
	case fault.Conflict:
		w.leave(file, e.Message)
		return false, nil
	}
	return false, err
}

// leave leaves a file where it is, and says why.
func (w *watching) leave(file inbox.File, why fault.Message) {
	w.in.Leave(file)
	w.tell(Watched{File: file.Name, State: WatchLeft, Why: why})
}
