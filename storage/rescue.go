package storage

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Rescued is what Rescue brought into a new book, and what it could not bring.
type Rescued struct {
	Path                            string // of the new book
	Bows, Entries, Drafts, Settings int    // that are in the new book; settings count each time that they were kept
	// Old is how many of these are whole only on pages that the old book no longer uses: a form among them may have been
	// saved since.
	Old int
	// Undescribed are the bows whose description is lost. Their names, lengths and stations are stand-ins.
	Undescribed []Undescribed
	// Gaps are the parts of the old book that cannot be read. What stood there is in the new one as far as it is whole
	// on another page; what is not cannot be named.
	Gaps []Fault
	// Lost are the values that are not whole anywhere.
	Lost []Fault
}

// Undescribed is a bow in a rescued book whose description is lost.
type Undescribed struct {
	ID      string
	Named   bool // whether the id is the bow's own; it is made up where no page says whose the entries are
	Entries int
}

// Whole says whether the old book is all there.
func (r Rescued) Whole() bool { return len(r.Gaps)+len(r.Lost)+len(r.Undescribed) == 0 }

// Lines tell what was brought and list the rest.
func (r Rescued) Lines() []string {
	lines := []string{shown(fmt.Sprintf("%s: %s, %s, %s, settings kept %s; read back whole", r.Path, plain.Plural(r.Bows, "%d bow", "%d bows", r.Bows),
		plain.Plural(r.Entries, "%d entry", "%d entries", r.Entries), plain.Plural(r.Drafts, "%d half-typed form", "%d half-typed forms", r.Drafts), plain.Plural(r.Settings, "%d time", "%d times", r.Settings)))}
	if r.Old > 0 {
		lines = append(lines, fmt.Sprintf("%d of these were found on pages that the book no longer used: look at them twice", r.Old))
	}
	list := func(heading string, faults []Fault) {
		if len(faults) > 0 {
			lines = append(lines, heading)
		}
		for _, fault := range faults {
			lines = append(lines, "  "+fault.String())
		}
	}
	if len(r.Undescribed) > 0 {
		lines = append(lines, "the description is lost of these bows; the lengths, stations and units that they have now are stand-ins:")
	}
	for _, bow := range r.Undescribed {
		line := fmt.Sprintf("  %s: %s", bow.ID, plain.Plural(bow.Entries, "%d entry", "%d entries", bow.Entries))
		if !bow.Named {
			line += "; " + "nothing tells which bow it was, and this id is made up"
		}
		lines = append(lines, shown(line))
	}
	list("cannot be read; what stood there is in the new book as far as it was found elsewhere:", r.Gaps)
	list("lost:", r.Lost)
	if r.Whole() {
		lines = append(lines, "nothing is lost")
	}
	return lines
}

// rescuing is what Rescue does with a book.
const rescuing = "rescuing"

// Rescue reads a book in whatever state, also one that Open refuses, and lays a new book at the path to, where there
// must be nothing, with every bow, entry, half-typed form and setting that is whole in the file: those that the book reaches, and
// where it should have some and has not, those on any other page. The old file is not written to. The new book was read back whole
// when Rescue returns without an error; where there is one, nothing is at the path to.
func Rescue(from, to string, opts Options) (Rescued, error) {
	opts = opts.withDefaults()
	found, err := locate(from)
	if err != nil {
		return Rescued{}, explain(rescuing, from, err)
	}
	if _, err := os.Lstat(to); err == nil {
		return Rescued{}, explain("rescuing a book into", to, fs.ErrExist)
	}
	var done Rescued
	err = guarded(func() (err error) {
		done, err = rescue(found, to, opts)
		return err
	})
	if err != nil {
		return Rescued{}, explain(rescuing, from, err)
	}
	done.Path = to
	return done, nil
}

func rescue(from, to string, opts Options) (Rescued, error) {
	if err := readable(from, opts); err != nil {
		return Rescued{}, err
	}
	file, err := opts.openFile(from, os.O_RDONLY, 0)
	if err != nil {
		return Rescued{}, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return Rescued{}, err
	}
	s := search(file, info.Size())
	refill, err := newRefill(s, opts)
	if err != nil {
		return Rescued{}, err
	}
	abs, err := filepath.Abs(to)
	if err != nil {
		return Rescued{}, err
	}
	err = layBook(abs, func(draft string) error { return refill.write(draft, opts) })
	return refill.done, err
}

// readable refuses what is no file with something in it, and a book that another process has.
func readable(path string, opts Options) error {
	info, err := os.Stat(path)
	if err != nil {
		return err
	}
	if err := filled(info); err != nil {
		return err
	}
	// bbolt asks for the lock before it looks at what is in the file. A wait of next to nothing makes it try once.
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: 1}, opts.openFile)
	if isLocked(err) {
		return busy(path, opts)
	}
	if err == nil {
		return closeAfter(nil, db, file)
	}
	return nil // what else is wrong is what we are here for
}

// head is what the old book said of itself, nil where that is lost.
func (s *salvage) head(known int) (*head, error) {
	at, ok := s.found[shelf{sort: sortBook}][string(headPlace().key)]
	if !ok {
		return nil, nil
	}
	value, err := s.value(shelf{sort: sortBook}, string(headPlace().key), at)
	if err != nil {
		return nil, nil
	}
	fields, err := unseal(headPlace(), value)
	if err != nil {
		return nil, nil
	}
	var h head
	switch {
	case len(fields) == 0 || json.Unmarshal(fields[0], &h) != nil || h.Format != bookFormat:
		return nil, ErrForeign
	case h.Version > known:
		return nil, fmt.Errorf("%w (the book's version is %d, this one knows up to %d)", ErrNewer, h.Version, known)
	}
	return &h, nil
}

// filled refuses what is no file with something in it.
func filled(info fs.FileInfo) error {
	switch {
	case !info.Mode().IsRegular():
		return ErrForeign
	case info.Size() == 0:
		return ErrEmpty
	}
	return nil
}

// bowIDs are the ids of all bows of which something was found, in order.
func (s *salvage) bowIDs() []string {
	ids := make(map[string]bool)
	for id := range s.found[shelf{sort: sortBows}] {
		ids[id] = true
	}
	for in, keys := range s.found {
		if in.sort == sortEntries && in.bow != "" && len(keys) > 0 {
			ids[in.bow] = true
		}
	}
	return slices.Sorted(maps.Keys(ids))
}
