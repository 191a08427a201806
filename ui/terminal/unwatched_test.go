//go:build !race

package terminal

// watched says that the tests were built with the race detector, and slower how many times longer everything then takes.
const (
	watched = false
	slower  = 1
)
