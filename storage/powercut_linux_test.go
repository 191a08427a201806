package storage

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"golang.org/x/sys/unix"

	"bendbook/model/record"
)

// written is one thing that reached the kernel: bytes at a place, a new length, or a sync, after which all before is on the disk.
type written struct {
	data   []byte // nil where it is a length or a sync
	at     int64  // or the length
	synced bool
}

// recorder lets all calls pass and keeps what is written to one file.
type recorder struct {
	path string
	mu   sync.Mutex
	log  []written
	err  error
}

func (r *recorder) answer(c call) answer {
	fd, has := c.file()
	if !has || !c.is(writes, syncs) {
		return answer{pass: true}
	}
	if path, err := os.Readlink(fmt.Sprintf("/proc/self/fd/%d", fd)); err != nil || path != r.path {
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
		r.log = append(r.log, written{data: data, at: int64(c.args[3])})
	case unix.SYS_FTRUNCATE:
		r.log = append(r.log, written{at: int64(c.args[1])})
	case unix.SYS_FDATASYNC, unix.SYS_FSYNC:
		r.log = append(r.log, written{synced: true})
		return answer{}
	}
	return answer{pass: true}
}

// grow makes a file at least so long.
func grow(file []byte, length int64) []byte {
	if missing := length - int64(len(file)); missing > 0 {
		file = append(file, make([]byte, missing)...)
	}
	return file
}

// onto puts what was written onto a file; of bytes that were not synced only some sectors, by chance.
func (w written) onto(file []byte, r *rand.Rand) []byte {
	const sector = 512
	if w.data == nil {
		return grow(file, w.at)
	}
	file = grow(file, w.at+int64(len(w.data)))
	for from := 0; from < len(w.data); from += sector {
		if r == nil || r.IntN(2) == 0 {
			copy(file[w.at+int64(from):], w.data[from:min(len(w.data), from+sector)])
		}
	}
	return file
}

// TestACutOfThePowerLosesNothingConfirmed records a day's work, and makes the files that a cut of the power at each moment could leave: all
// that was synced, and of the rest some sectors and others not. Each opens and holds all that was confirmed until then.
func TestACutOfThePowerLosesNothingConfirmed(t *testing.T) {
	r := rand.New(rand.NewPCG(seed(t), 7))
	folder := t.TempDir()
	path := filepath.Join(folder, "ash.book")
	book, err := Open(path, Options{Now: noon})
	must(t, err)
	base := readFile(t, path)
	states := []expected{{make(map[string]record.Record), make(map[string]string), nil}}
	day := deeds(t)
	disk := &recorder{path: path}
	var marks []int // how much was written when each deed was confirmed
	onDisk(t, disk.answer, func() {
		for _, d := range day {
			if err = d.do(book); err != nil {
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
	for _, d := range day {
		next := states[len(states)-1].clone()
		d.then(&next)
		states = append(states, next)
	}
	cuts := r.Perm(len(disk.log))
	if *faultsEach > 0 {
		cuts = cuts[:min(20**faultsEach, len(cuts))]
	}
	for _, cut := range cuts {
		image, loose := append([]byte(nil), base...), 0
		for i, w := range disk.log[:cut] {
			if w.synced {
				loose = i + 1
			}
		}
		for i, w := range disk.log[:cut] {
			switch {
			case w.synced:
			case i < loose:
				image = w.onto(image, nil)
			case r.IntN(4) > 0:
				image = w.onto(image, r)
			}
		}
		confirmed := 0
		for confirmed < len(marks) && marks[confirmed] <= cut {
			confirmed++
		}
		after, err := Open(fileWith(t, image), Options{ReadOnly: true, Now: noon})
		if err != nil {
			t.Fatalf("cut at %d of %d: %v", cut, len(disk.log), err)
		}
		differs := states[confirmed].differs(after)
		if differs != "" && (confirmed+1 == len(states) || states[confirmed+1].differs(after) != "") {
			t.Errorf("cut at %d of %d, after %d deeds: %s", cut, len(disk.log), confirmed, differs)
		}
		must(t, after.Close())
	}
	t.Logf("%d cuts at %d writes, lengths and syncs", len(cuts), len(disk.log))
}
