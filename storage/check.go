package storage

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// Check reads all of a book and its journal and compares them entry by entry, also a book that Open
// refuses. What another process has open is checked as it stands at this moment. The error is for a file
// that is no book or can't be read, not for what is wrong with it.
func Check(path string) (Report, error) {
	return onFile("checking", path, func(r *Report, found string) error {
		copied, _, err := privateCopy(found)
		if err != nil {
			return err
		}
		defer func() { _ = os.Remove(copied) }()
		var t tally
		err = read(copied, func(tx *bbolt.Tx, file *os.File) error {
			if err := t.verify(tx, file); err != nil {
				return err
			}
			return t.compare(tx, journalPath(found))
		})
		if err != nil && !errors.Is(err, errDamaged) {
			return err
		}
		if len(t.faults) == 0 {
			t.fault(err)
		}
		if r.bad = len(t.faults) > 0; !r.bad {
			r.say("%s and its journal are whole: %s", path, t)
			return nil
		}
		r.say("%s has %s:", path, counted(len(t.faults), "fault", "faults"))
		for _, fault := range t.faults {
			r.say("  %s", plain.Line(fault.Error()))
		}
		r.say("whole are: %s", t)
		return nil
	})
}

// compare compares a book, which is whole, with its journal. What came to that since is no fault.
func (t *tally) compare(tx *bbolt.Tx, path string) error {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.fault(errors.New("the journal is missing; it is made again when you open the book"))
		return nil
	} else if err != nil {
		return err
	}
	known := t.head.Journal.Size
	lines, _, damaged := readJournal(text[:min(int64(len(text)), known)], known)
	saves, foreign, err := parseSaves(lines, t.head.ID)
	if err != nil {
		return err
	}
	if damaged {
		t.fault(errors.New("the journal is damaged; it is made again when you open the book"))
	}
	if foreign {
		t.fault(errors.New("the journal belongs to another book"))
	}
	kept := make(map[place][]byte)
	for _, s := range saves {
		for _, text := range s.Lines {
			var l line
			t.fault(unseal(text, &l))
			kept[l.place] = text
		}
	}
	err = eachLine(tx, func(at place, value []byte, _ error) error {
		if !bytes.Equal(kept[at], value) {
			t.fault(fmt.Errorf("%s: the journal lacks it, or says something else", at))
		}
		delete(kept, at)
		return nil
	})
	for at := range kept {
		t.fault(fmt.Errorf("%s: it is in the journal, but not in the book", at))
	}
	return err
}

// reconcile compares a book that was just opened, and has so much in it, with its journal. Lines that the
// book lacks are added: entries are only ever added, so both together are always right. A journal that is
// damaged, or lacks what the book has, is laid aside and written anew.
func (b *Book) reconcile(has tally) error {
	j, known := &b.journal, has.head.Journal
	text, err := os.ReadFile(j.path)
	if errors.Is(err, fs.ErrNotExist) {
		if known.Size > 0 {
			b.notice = "The journal was missing. It was written anew from the book."
		}
		return b.renewJournal("")
	}
	if err == nil {
		j.file, err = os.OpenFile(j.path, os.O_RDWR, 0)
	}
	if err != nil {
		return fmt.Errorf("its journal: %w", err)
	}
	j.at = known
	lines, end, damaged := readJournal(text, known.Size)
	if !damaged && end == known && known.Size == int64(len(text)) {
		return nil
	}
	saves, foreign, err := parseSaves(lines, b.id)
	why := ""
	switch {
	case err != nil:
	case foreign:
		why, saves = "The journal belonged to another book.", nil
	case damaged:
		why = "The journal was damaged."
	default:
		err = j.cutTo(end)
	}
	if err != nil {
		return err
	}
	return b.restore(saves, has, why)
}

// restore adds the lines of saves that the book, which has so much in it, lacks. It writes the journal anew
// where why says so, or where the journal lacked something.
func (b *Book) restore(saves []save, has tally, why string) error {
	var came tally
	seen := make(map[place]bool)
	err := b.commit(save{}, func(tx *bbolt.Tx) error { return came.addMissing(tx, saves, seen) })
	if err != nil {
		return err
	}
	if came.lines() > 0 {
		b.notice = came.String() + " came back from the journal. "
	}
	if why == "" && len(seen) < has.lines()+came.lines() {
		why = "The journal lacked part of the book."
	}
	if why != "" {
		aside := freeName(b.journal.path + ".damaged-" + b.opts.now().Format(time.DateOnly))
		err = b.renewJournal(aside)
		b.notice += why + " It was written anew from the book; the old one is " + aside + "."
	}
	b.notice = plain.Line(b.notice)
	return err
}

// addMissing puts into the book the lines that it lacks, counts them, and drops the drafts that their saves
// dropped. An entry whose bow nobody describes is left out. seen are the places of all that are there then.
func (t *tally) addMissing(tx *bbolt.Tx, saves []save, seen map[place]bool) error {
	for _, s := range saves {
		for _, text := range s.Lines {
			at, fresh, err := put(tx, text)
			if errors.Is(err, errNoBow) {
				continue
			}
			if err == nil && fresh {
				t.count(at)
				err = bucket(tx, draftsBucket).Delete([]byte(s.Draft))
			}
			if err != nil {
				return err
			}
			seen[at] = true
		}
	}
	return nil
}

// tally counts what is whole in a book, and lists what isn't.
type tally struct {
	start                   opening
	head                    head
	bows, entries, settings int
	drafts                  map[string][]byte
	faults                  []error
}

// String is as in "2 bows, 31 entries": it leaves out what there is none of.
func (t tally) String() string {
	parts := []string{counted(t.bows, "bow", "bows"), counted(t.entries, "entry", "entries"),
		counted(len(t.drafts), "half-typed form", "half-typed forms"),
		counted(t.settings, "change of settings", "changes of settings")}
	parts = slices.DeleteFunc(parts, func(part string) bool { return part[0] == '0' })
	return cmp.Or(strings.Join(parts, ", "), "nothing")
}

func counted(n int, one, many string) string { return plain.Plural(n, "%d "+one, "%d "+many, n) }

func (t tally) lines() int { return t.bows + t.entries + t.settings }

func (t *tally) count(at place) {
	switch {
	case at.Bow == "":
		t.settings++
	case at.Key == "":
		t.bows++
	default:
		t.entries++
	}
}

func (t *tally) fault(err error) {
	if err != nil {
		t.faults = append(t.faults, err)
	}
}

func (t *tally) flaw() error {
	if len(t.faults) > 1 {
		return fmt.Errorf("%w, and %d more faults", t.faults[0], len(t.faults)-1)
	}
	return cmp.Or(t.faults...)
}

// verify reads every page and value of a book; the caller guards it. The error is for one that isn't whole.
// bbolt's own check runs in a goroutine where a memory fault can't be recovered, so it comes last, when all
// the pages that it reads were read here.
func (t *tally) verify(tx *bbolt.Tx, file *os.File) (err error) {
	if t.start, err = startOf(file); err != nil {
		return err
	}
	text := make([]byte, t.start.size)
	if _, err := file.ReadAt(text, 0); err != nil {
		return err
	}
	if err := checkPages(text, uint64(tx.Cursor().Bucket().RootPage())); err != nil {
		return err
	}
	if t.head, err = readHead(tx); err != nil && !errors.Is(err, errDamaged) {
		return err
	}
	t.fault(err)
	for _, name := range buckets() {
		if bucket(tx, name) == nil {
			return fmt.Errorf("%w: its bucket %s can't be read", errDamaged, name)
		}
	}
	var faults, more []error
	t.drafts, faults = texts(tx, draftsBucket)
	_, more = texts(tx, rowsBucket)
	t.faults = slices.Concat(t.faults, faults, more)
	t.fault(eachLine(tx, func(at place, _ []byte, wrong error) error {
		if wrong != nil {
			t.fault(fmt.Errorf("%s: %w", at, wrong))
		} else {
			t.count(at)
		}
		return nil
	}))
	if want := bucket(tx, bookBucket).Sequence(); len(t.faults) == 0 && want != uint64(t.lines()) {
		t.fault(fmt.Errorf("%w: %d of %d lines are there", errDamaged, t.lines(), want))
	}
	if len(t.faults) == 0 {
		for err := range tx.Check() {
			t.fault(fmt.Errorf("%w (%w)", errDamaged, err))
		}
	}
	return t.flaw()
}

// checkPages sees to it that no page of a book's text is below two others. bbolt follows a page that leads
// back to itself until memory runs out, and nothing can stop it.
func checkPages(text []byte, root uint64) error {
	seen := make(map[uint64]bool)
	for next := []uint64{root}; len(next) > 0; {
		id := next[0]
		ids, ok := below(text, id)
		if !ok || seen[id] {
			return fmt.Errorf("%w: page %d is out of place", errDamaged, id)
		}
		seen[id] = true
		next = append(next[1:], ids...)
	}
	return nil
}

// below are the pages below a page; ok is false where that can't be read. A page has a header of 16 bytes:
// its id (8), whether it is a branch or a leaf (2), how many elements it has (2) and over how many pages more
// it goes on (4). Then come 16 bytes for each element. Of a branch: where its key is, how long that is, and
// the page below it; the key must lie in the page too. Of a leaf: flags, where its key is, how long that is,
// and its value. A bucket is a value: its first page and its sequence, 8 bytes each. Where that page is 0 the
// bucket is small, and a page of its own follows, which must be a leaf.
func below(text []byte, id uint64) (ids []uint64, ok bool) {
	u16, u32, u64 := binary.LittleEndian.Uint16, binary.LittleEndian.Uint32, binary.LittleEndian.Uint64
	const header, isBranch, isLeaf, isBucket = 16, 1, 2, 1
	if id >= uint64(len(text)/pageSize) {
		return nil, false
	}
	page := text[id*pageSize:]
	kind, elements, size := u16(page[8:]), int(u16(page[10:])), (1+uint64(u32(page[12:])))*pageSize
	if kind != isBranch && kind != isLeaf || size > uint64(len(page)) || uint64(header+16*elements) > size {
		return nil, false
	}
	for n := range elements {
		at := uint64(header + 16*n)
		e := page[at : at+16]
		value := at + uint64(u32(e[4:])) + uint64(u32(e[8:]))
		switch {
		case kind == isBranch && at+uint64(u32(e))+uint64(u32(e[4:])) > size:
			return nil, false
		case kind == isBranch:
			ids = append(ids, u64(e[8:]))
		case u32(e)&isBucket == 0:
		case value+header > size:
			return nil, false
		case u64(page[value:]) != 0:
			ids = append(ids, u64(page[value:]))
		case value+2*header > size || u16(page[value+header+8:]) != isLeaf:
			return nil, false
		}
	}
	return ids, true
}
