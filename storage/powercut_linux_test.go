//go:build linux && !race

package storage

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"golang.org/x/sys/unix"
)

// written is one thing that reached the kernel: bytes at a place, a new length, or a sync, after which all
// before is on the disk.
type written struct {
	file   string
	data   []byte // nil where it is a length or a sync
	at     int64  // or the length
	synced bool
}

// recorder lets all calls pass and keeps what is written to the book and its journal.
type recorder struct {
	path string
	mu   sync.Mutex
	log  []written
	err  error
}

func (r *recorder) answer(c call) answer {
	path := c.path()
	if !c.is(writes, syncs) || path != r.path && path != journalPath(r.path) {
		return answer{pass: true}
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	switch c.number {
	case unix.SYS_PWRITE64:
		data := make([]byte, c.args[2])
		local, remote := unix.Iovec{Base: &data[0]}, unix.RemoteIovec{Base: uintptr(c.args[1]), Len: len(data)}
		local.SetLen(len(data))
		if _, err := unix.ProcessVMReadv(os.Getpid(), []unix.Iovec{local}, []unix.RemoteIovec{remote}, 0); err != nil {
			r.err = err
		}
		r.log = append(r.log, written{file: path, data: data, at: int64(c.args[3])})
	case unix.SYS_FTRUNCATE:
		r.log = append(r.log, written{file: path, at: int64(c.args[1])})
	case unix.SYS_FDATASYNC, unix.SYS_FSYNC:
		r.log = append(r.log, written{file: path, synced: true})
		return answer{}
	}
	return answer{pass: true}
}

// onto puts what was written onto a file; of bytes that were not synced only some sectors, by chance.
func (w written) onto(file []byte, r *rand.Rand) []byte {
	const sector = 512
	if missing := w.at + int64(len(w.data)) - int64(len(file)); missing > 0 {
		file = append(file, make([]byte, missing)...)
	}
	for from := 0; from < len(w.data); from += sector {
		if r == nil || r.IntN(2) == 0 {
			copy(file[w.at+int64(from):], w.data[from:min(len(w.data), from+sector)])
		}
	}
	return file
}

// TestACutOfThePowerLosesNothingConfirmed records a day's work, and makes the files that a cut of the power
// at each moment could leave: all that was synced, and of the rest some sectors and others not. Each opens
// and holds all that was confirmed until then, once.
func TestACutOfThePowerLosesNothingConfirmed(t *testing.T) {
	r := rand.New(rand.NewPCG(seed(t), 7))
	day := deeds(t)
	want := states(t, day)
	path := bookPath(t)
	book := opened(t, path, Options{Now: noon})
	base := map[string][]byte{path: readFile(t, path), journalPath(path): readFile(t, journalPath(path))}
	disk := &recorder{path: path}
	var err error
	var marks []int // how much was written when each deed was confirmed
	onDisk(t, disk.answer, func() {
		for _, do := range day {
			if err = do(book); err != nil {
				return
			}
			disk.mu.Lock()
			marks = append(marks, len(disk.log))
			disk.mu.Unlock()
		}
	})
	must(t, err)
	must(t, disk.err)
	must(t, book.Close())
	for cut := range disk.log {
		confirmed := 0
		for confirmed < len(marks) && marks[confirmed] <= cut {
			confirmed++
		}
		to := filepath.Join(t.TempDir(), "ash.book")
		for file, name := range map[string]string{path: to, journalPath(path): journalPath(to)} {
			must(t, os.WriteFile(name, after(disk.log[:cut], file, bytes.Clone(base[file]), r), 0o600))
		}
		book, err := Open(to, Options{Now: noon})
		if err != nil {
			t.Fatalf("cut at %d of %d: %v", cut, len(disk.log), err)
		}
		if got := stateOf(t, book); got != want[confirmed] && got != want[min(confirmed+1, len(day))] {
			t.Errorf("cut at %d of %d, after %d deeds: something else is there", cut, len(disk.log), confirmed)
		}
		must(t, book.Close())
		whole(t, to)
	}
	t.Logf("%d cuts", len(disk.log))
}

// after is a file after what was written, all that was synced and some of the rest.
func after(log []written, file string, image []byte, r *rand.Rand) []byte {
	loose := 0
	for i, w := range log {
		if w.synced && w.file == file {
			loose = i
		}
	}
	for i, w := range log {
		switch {
		case w.file != file || w.synced:
		case i < loose:
			image = w.onto(image, nil)
		case r.IntN(4) > 0:
			image = w.onto(image, r)
		}
	}
	return image
}
