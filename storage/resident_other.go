//go:build !linux

package storage

// unmapped does nothing: only on Linux a file is mapped in so large pieces that it matters.
func unmapped(uintptr, int64) {}
