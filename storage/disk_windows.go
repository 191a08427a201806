package storage

import (
	"os"
	"syscall"
)

// fullErrnos are the system's ways to say that there is no more room: ERROR_HANDLE_DISK_FULL and
// ERROR_DISK_FULL.
func fullErrnos() []syscall.Errno {
	return []syscall.Errno{39, 112}
}

// unlock gives up the lock that bbolt took on file: Windows does so when the file is closed.
func unlock(*os.File) error { return nil }

// syncFolder does nothing: Windows keeps names safe itself.
func syncFolder(string) error { return nil }

// hasName says whether a file that is open still has a name somewhere: Windows takes none from a file that
// is open.
func hasName(os.FileInfo) bool { return true }
