package store

import (
	"embed"
	"io/fs"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

// Migrations gives the SQL steps that lead from an empty database to this
// version's, in order: step i brings it to version i+1. A step that has been
// released is never edited; changes are new files.
func Migrations() ([]string, error) {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql") // sorted
	if err != nil {
		return nil, err
	}
	var steps []string
	for _, name := range names {
		b, err := migrationFiles.ReadFile(name)
		if err != nil {
			return nil, err
		}
		steps = append(steps, string(b))
	}
	return steps, nil
}
