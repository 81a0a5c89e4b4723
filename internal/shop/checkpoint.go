package shop

import (
	"context"
	"os"
	"path/filepath"
	"time"
)

// checkpointEvery is how often a server brings what was committed into the file,
// where there is enough of it.
const (
	checkpointEvery = 200 * time.Millisecond
	checkpointFrom  = 4 << 20 // bytes of the log
)

// checkpointing does so, so that those who commit do not wait for it. Where it
// fails, the next commit tries and tells.
func (s *Shop) checkpointing(ctx context.Context) {
	tick := time.NewTicker(checkpointEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		if log, err := os.Stat(filepath.Join(s.dir, file+"-wal")); err == nil && log.Size() > checkpointFrom {
			_ = s.db.Checkpoint(ctx)
		}
	}
}
