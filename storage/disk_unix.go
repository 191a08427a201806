//go:build !windows

package storage

import (
	"errors"
	"os"
	"syscall"
)

// unlock gives up the lock that bbolt took on file. A mapping that is left behind would hold it past the
// file's closing.
func unlock(file *os.File) error {
	return syscall.Flock(int(file.Fd()), syscall.LOCK_UN)
}

// syncFolder makes a new name in a folder survive a loss of power, where its file system knows how to.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	defer folder.Close()
	err = folder.Sync()
	if errors.Is(err, syscall.EINVAL) || errors.Is(err, syscall.ENOTSUP) {
		return nil
	}
	return err
}
