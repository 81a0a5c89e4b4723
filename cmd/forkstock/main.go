// Forkstock finds the wear parts of motorcycle forks, and keeps the stock of
// them.
package main

import (
	"os"

	"forkstock/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
