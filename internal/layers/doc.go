// Package layers holds only tests: that imports point down in the picture of
// the rooms (DEVELOPERS.md), and that the source keeps the house style as far
// as a program can tell.
//
// Non-goals: what go vet, staticcheck and gofumpt find (make test runs them).
package layers
