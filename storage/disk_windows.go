package storage

import "os"

// unlock gives up the lock that bbolt took on file: Windows does so when the file is closed.
func unlock(*os.File) error { return nil }

// syncFolder does nothing: Windows keeps names safe itself.
func syncFolder(string) error { return nil }
