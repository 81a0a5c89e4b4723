module forkstock

go 1.26.0

require (
	github.com/bep/imagemeta v1.0.1 // indirect
	github.com/google/go-cmp v0.7.0 // indirect
	github.com/makiuchi-d/gozxing v0.1.1 // indirect
	github.com/mattn/go-sqlite3 v1.14.53 // indirect
	golang.org/x/image v0.48.0 // indirect
	golang.org/x/text v0.44.0 // indirect
	golang.org/x/xerrors v0.0.0-20200804184101-5ec99f83aff1 // indirect
)
