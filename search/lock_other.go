//go:build !unix

package search

import "os"

// lock does nothing: bleve's own lock has to do.
func lock(*os.File) error { return nil }
