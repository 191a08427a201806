//go:build !race

package storage

// underRace says whether the race detector watches.
const underRace = false
