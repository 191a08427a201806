package storage

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// rolling makes copies of an open book by themselves: on closing it, if it was changed and the day has none yet, and,
// since one that is killed or left open for weeks is never closed, after the first change of a day if what was there before is in no copy.
// That one is made beside the work, from the file as anyone may read it, and again on closing.
type rolling struct {
	path string
	opts Options

	mu     sync.Mutex
	under  sync.WaitGroup
	behind bool // what the book held before this day's first change is in no copy
	looked day  // the day on which a change was last seen
	made   day  // the day of the last copy of this session
	failed error
	closed bool
}

func newRolling(path string, opts Options) *rolling {
	r := &rolling{path: path, opts: opts}
	r.behind = !r.upToDate()
	return r
}

// upToDate says whether the last copy is the book as it stands, as far as the head pages tell.
func (r *rolling) upToDate() bool {
	days, err := copyDays(copiesOf(r.path))
	if err != nil || len(days) == 0 {
		return false
	}
	mine, err := headOfFile(r.path)
	if err != nil {
		return false
	}
	last, err := headOfFile(copyPath(copiesOf(r.path), days[0]))
	return err == nil && last == mine
}

func headOfFile(path string) (metaPage, error) {
	file, err := os.Open(path)
	if err != nil {
		return metaPage{}, err
	}
	defer file.Close()
	m, err := metasOf(file)
	return m.current, err
}

// changed is called after each change of the book.
func (r *rolling) changed() {
	today := dayOf(r.opts.Now())
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.closed || today == r.looked {
		return
	}
	if r.looked != (day{}) {
		r.behind = true // A day has gone by with the book open.
	}
	r.looked = today
	if !r.behind || r.has(today) {
		return
	}
	r.behind, r.made = false, today
	r.under.Go(func() { r.make(today) })
}

func (r *rolling) has(d day) bool {
	_, err := os.Lstat(copyPath(copiesOf(r.path), d))
	return err == nil
}

// close waits for what is under way and makes the day's copy, if one is due. The book must be locked still. The error is for the maker to
// be told: the book itself is safe.
func (r *rolling) close() error {
	r.mu.Lock()
	r.closed = true
	r.mu.Unlock()
	r.under.Wait()
	today := dayOf(r.opts.Now())
	if r.looked != (day{}) && (r.made == today || !r.has(today)) && !r.upToDate() {
		r.make(today)
	}
	return r.failed
}

// make makes the copy of a day, and removes those that it supersedes.
func (r *rolling) make(today day) {
	err := guarded(func() error { return makeCopy(r.path, today, r.opts) })
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.failed = err; err != nil {
		r.failed = explain("making the day's copy of", r.path, err)
	}
}

func makeCopy(path string, today day, opts Options) error {
	folder := copiesOf(path)
	if err := makeFolder(folder); err != nil {
		return err
	}
	if err := sweep(folder); err != nil {
		return err
	}
	// One of today is only there if this session made it.
	if _, err := copyTo(path, copyPath(folder, today), true, opts); err != nil {
		return fmt.Errorf("%s: %w", copyPath(folder, today), err)
	}
	return prune(folder, today)
}

// sweep removes what a copy left that was broken off. Nobody else makes copies here: the book is locked.
func sweep(folder string) error {
	files, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	for _, file := range files {
		name := file.Name()
		if strings.HasPrefix(name, ".") && strings.Contains(name, copyEnding+".new-") && file.Type().IsRegular() {
			if err := os.Remove(filepath.Join(folder, name)); err != nil {
				return err
			}
		}
	}
	return nil
}
