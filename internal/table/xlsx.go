package table

import (
	"io"
)

func readXLSX(name string, file io.ReadSeeker, o Options) (*Table, error) {
	return nil, refuse(name, "table.is.packed")
}
