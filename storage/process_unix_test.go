//go:build !windows

package storage

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"go.etcd.io/bbolt"
)

// TestALimitOnFilesIsAFullDisk runs a second process whose files the system does not let grow.
func TestALimitOnFilesIsAFullDisk(t *testing.T) {
	t.Parallel()
	path := begin(t, 0)
	binary, err := os.Executable()
	must(t, err)
	cmd := exec.Command("sh", "-c", `ulimit -f 128 && exec "$0"`, binary)
	cmd.Env = append(os.Environ(), roleVariable+"=1048576", bookVariable+"="+path)
	stdin, err := cmd.StdinPipe() // never ends, so that the process goes on until it fails
	must(t, err)
	defer stdin.Close()
	var said, failed bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &failed
	if err := cmd.Run(); err == nil {
		t.Fatal("the disk is never full")
	}
	if line := failed.String(); !strings.Contains(line, ErrFull.Error()) || strings.Count(line, "\n") != 1 {
		t.Errorf("got %q", line)
	}
	lines := strings.Fields(said.String())
	confirmed, err := strconv.Atoi(lines[len(lines)-1])
	must(t, err)
	book := open(t, path, Options{})
	whole(t, book)
	if items, err := book.Items("b1"); err != nil || len(items) != confirmed {
		t.Errorf("got %d entries of %d confirmed, %v", len(items), confirmed, err)
	}
}

func TestABookCutShortWhileOpenIsNoCrash(t *testing.T) {
	t.Parallel()
	path := fileWith(t, readFile(t, begin(t, 500)))
	book, err := Open(path, Options{})
	must(t, err)
	must(t, os.Truncate(path, 100))
	if _, err := book.Items("b1"); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
	if err := book.SaveDraft("d", nil); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
	must(t, book.Close())
	// The lock is gone with it.
	if _, err := Open(path, Options{}); !errors.Is(err, ErrDamaged) {
		t.Errorf("got %v", err)
	}
}

func TestAPanicWithinBboltLeavesNoLock(t *testing.T) {
	t.Parallel()
	content := readFile(t, begin(t, 500))
	m, err := readMetas(fileOf(content), int64(len(content)))
	must(t, err)
	content[m.current.freelist*pageSize+8] = leafFlag // bbolt panics on that when it opens the file for writing
	path := fileWith(t, content)
	if _, _, err := openBolt(path, bbolt.Options{Timeout: lockWait}, os.OpenFile); !errors.Is(err, ErrDamaged) {
		t.Fatalf("got %v", err)
	}
	file, err := os.Open(path)
	must(t, err)
	defer file.Close()
	if err := syscall.Flock(int(file.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		t.Errorf("the lock stayed behind: %v", err)
	}
}

func TestAPipeIsNotWaitedFor(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "pipe")
	must(t, syscall.Mkfifo(path, 0o600))
	if _, err := Open(path, Options{}); !errors.Is(err, ErrForeign) {
		t.Errorf("got %v", err)
	}
}
