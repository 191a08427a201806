package storage

import "syscall"

// unmapped lets the system take back the memory of mapped pages. They stay in its own cache, and come back when they are read.
func unmapped(at uintptr, size int64) {
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, at, uintptr(size), syscall.MADV_DONTNEED) // it is advice
}
