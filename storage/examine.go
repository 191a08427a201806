package storage

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Examined is what stands in a book's file, and what is wrong with it.
type Examined struct {
	Path  string
	Pages int
	// Bows are those of which something is whole, in order of their ids.
	Bows []ExaminedBow
	// Drafts and Settings count what is whole: half-typed forms, and settings each time that they were kept.
	Drafts, Settings int
	// Astray are entries that are whole, but not where the book would look for them.
	Astray int
	Faults []Fault
}

// ExaminedBow is one bow of an examined book.
type ExaminedBow struct {
	ID, Name string // as it was first described; the name is "" where that is not whole
	Entries  int    // that are whole
	Faults   int
}

// Whole says whether all of the book is as it was written.
func (e Examined) Whole() bool { return len(e.Faults) == 0 }

// Entries are all that are whole.
func (e Examined) Entries() int {
	sum := 0
	for _, bow := range e.Bows {
		sum += bow.Entries
	}
	return sum
}

// Lines tell what is wrong and what is whole, a thing a line.
func (e Examined) Lines() []string {
	sum := fmt.Sprintf("%s, %s, %s, settings kept %s", plain.Plural(len(e.Bows), "%d bow", "%d bows", len(e.Bows)), plain.Plural(e.Entries(), "%d entry", "%d entries", e.Entries()),
		plain.Plural(e.Drafts, "%d half-typed form", "%d half-typed forms", e.Drafts), plain.Plural(e.Settings, "%d time", "%d times", e.Settings))
	if e.Whole() {
		return []string{shown(fmt.Sprintf("%s is whole: %s, on %s", e.Path, sum, plain.Plural(e.Pages, "%d page", "%d pages", e.Pages)))}
	}
	lines := []string{shown(fmt.Sprintf("%s has %s:", e.Path, plain.Plural(len(e.Faults), "%d fault", "%d faults", len(e.Faults))))}
	for _, fault := range e.Faults {
		lines = append(lines, "  "+fault.String())
	}
	lines = append(lines, fmt.Sprintf("whole are: %s", sum))
	for _, bow := range e.Bows {
		line := fmt.Sprintf("  %s: %s", cmp.Or(bow.Name, fmt.Sprintf("bow %s", bow.ID)), plain.Plural(bow.Entries, "%d entry", "%d entries", bow.Entries))
		if bow.Faults > 0 {
			line += ", " + plain.Plural(bow.Faults, "%d fault", "%d faults", bow.Faults)
		}
		lines = append(lines, shown(line))
	}
	if e.Astray > 0 {
		lines = append(lines, fmt.Sprintf("besides, where the book itself does not find them: %s", plain.Plural(e.Astray, "%d whole entry", "%d whole entries", e.Astray)))
	}
	return lines
}

// Examine reads every page and every value of a book, also of one that Open refuses. What another process has open is examined as
// it stands at this moment. The error is for a file that is no book or cannot be read, not for what is wrong with it.
func Examine(path string, opts Options) (Examined, error) {
	const doing = "checking"
	opts = opts.withDefaults()
	found, err := locate(path)
	if err != nil {
		return Examined{}, explain(doing, path, err)
	}
	e := Examined{Path: path}
	err = guarded(func() error {
		err := e.examine(found, opts)
		if !errors.Is(err, ErrDamaged) {
			return err
		}
		// It cannot be had as a book: what is there is looked for page by page.
		e = Examined{Path: path}
		return e.survey(found, err, opts)
	})
	if err != nil {
		return Examined{}, explain(doing, path, err)
	}
	return e, nil
}

// examine reads a book by way of a private copy.
func (e *Examined) examine(path string, opts Options) error {
	if err := inspect(path, opts.openFile); err != nil {
		return err
	}
	to, _, err := privateCopy(path, opts, filepath.Dir(path), os.TempDir())
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(to) }()
	opts.openFile = os.OpenFile
	return e.examineOwn(to, opts)
}

// examineOwn reads a book that nobody else has, and does not write to it.
func (e *Examined) examineOwn(path string, opts Options) error {
	h, _, err := look(path, opts, lockWait)
	if err != nil {
		return err
	}
	if err := e.survey(path, nil, opts); err != nil || h.Version < opts.schema.version {
		return err
	}
	db, file, err := openBolt(path, bbolt.Options{ReadOnly: true, Timeout: lockWait}, opts.openFile)
	if err != nil {
		return err
	}
	book := &Book{path: path, id: h.ID, db: db, file: file, release: func() {}, discard: func() {}}
	sound := e.Whole()
	for _, fault := range book.Check() {
		if sound { // What does not fit its checksum is told of already; here is what cannot be understood all the same.
			e.fault(fault)
		}
	}
	return book.Close()
}

// survey reads a file page by page. why is what is known to be wrong with it.
func (e *Examined) survey(path string, why error, opts Options) error {
	file, err := opts.openFile(path, os.O_RDONLY, 0)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	if err := filled(info); err != nil {
		return err
	}
	s := search(file, info.Size())
	if _, err := s.head(opts.schema.version); err != nil {
		return err
	}
	if why != nil && len(s.found[shelf{sort: sortBook}])+len(s.bowIDs()) == 0 {
		return ErrForeign
	}
	e.Pages = int(s.raw.pages())
	for _, id := range s.bowIDs() {
		bow := s.examinedBow(id)
		e.Astray += len(s.found[shelf{sortEntries, id}]) - bow.Entries
		if bow.Entries > 0 || bow.Name != "" {
			e.Bows = append(e.Bows, bow)
		}
	}
	e.Drafts, e.Settings = s.inPlace(shelf{sort: sortDrafts}), s.inPlace(shelf{sort: sortSettings})
	for _, gap := range s.gaps {
		e.fault(gap)
	}
	for _, flaw := range s.flaws {
		e.fault(flaw.fault())
	}
	if why != nil && len(e.Faults) == 0 {
		e.fault(Fault{Err: why})
	}
	return nil
}

func (e *Examined) fault(f Fault) {
	e.Faults = append(e.Faults, f)
	if i := slices.IndexFunc(e.Bows, func(bow ExaminedBow) bool { return bow.ID == f.Bow }); i >= 0 {
		e.Bows[i].Faults++
	}
}

// inPlace counts the whole values of a shelf that the book itself would find.
func (s *salvage) inPlace(in shelf) int {
	n := 0
	for _, at := range s.found[in] {
		if at.from == newest {
			n++
		}
	}
	return n
}

// examinedBow is what was found of a bow.
func (s *salvage) examinedBow(id string) ExaminedBow {
	bow := ExaminedBow{ID: id, Entries: s.inPlace(shelf{sortEntries, id})}
	if at, ok := s.found[shelf{sort: sortBows}][id]; ok && at.from == newest {
		if value, err := s.value(shelf{sort: sortBows}, id, at); err == nil {
			if desc, err := (storedBow{id, value}).description(); err == nil {
				bow.Name = desc.Bow.Name
			}
		}
	}
	return bow
}
