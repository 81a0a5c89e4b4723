package store

import (
	"encoding/binary"
	"encoding/hex"
	"io"

	"forkstock/internal/fault"
)

// NewID gives a UUID of version 7 (RFC 9562, section 5.7) as text: the
// transaction's time in milliseconds, then a counter of the transaction's ids
// in the 12 bits after the version, so that ids of one transaction sort as
// they were given, then 62 random bits.
func (tx *Tx) NewID() (string, error) {
	var b [16]byte
	if _, err := io.ReadFull(tx.opt.Random, b[8:]); err != nil {
		return "", fault.New(fault.Internal, "internal").WithCause(err)
	}
	// 4096 ids and more in one transaction move on to the next millisecond.
	ms := uint64(tx.Now.UnixMilli()) + uint64(tx.ids>>12)
	binary.BigEndian.PutUint64(b[:8], ms<<16|0x7000|uint64(tx.ids&0xfff))
	b[8] = b[8]&0x3f | 0x80
	tx.ids++
	s := hex.EncodeToString(b[:])
	return s[:8] + "-" + s[8:12] + "-" + s[12:16] + "-" + s[16:20] + "-" + s[20:], nil
}
