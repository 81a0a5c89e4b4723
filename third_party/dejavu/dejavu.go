// Package dejavu holds the fonts DejaVu Sans and DejaVu Sans Bold, version
// 2.37, as the Debian package fonts-dejavu-core 2.37-6 has them; their licence
// stands in LICENSE.
package dejavu

import _ "embed"

// Sans and Bold are TrueType files.
var (
	//go:embed DejaVuSans.ttf
	Sans []byte
	//go:embed DejaVuSans-Bold.ttf
	Bold []byte
)
