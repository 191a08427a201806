package storage

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"

	"go.etcd.io/bbolt"

	"bendbook/model/plain"
)

// tally counts what is whole in a book, and lists what isn't.
type tally struct {
	bows, entries, drafts, settings int
	faults                          []error
}

// String is as in "2 bows, 31 entries".
func (t tally) String() string {
	return counted(t.bows, "bow", "bows") + ", " + counted(t.entries, "entry", "entries")
}

// all is String with drafts and settings.
func (t tally) all() string {
	return fmt.Sprintf("%s, %s, settings kept %s", t, counted(t.drafts, "half-typed form", "half-typed forms"),
		counted(t.settings, "time", "times"))
}

func counted(n int, one, many string) string { return plain.Plural(n, "%d "+one, "%d "+many, n) }

func (t *tally) flaw() error {
	if len(t.faults) > 1 {
		return fmt.Errorf("%w, and %d more faults", t.faults[0], len(t.faults)-1)
	}
	return cmp.Or(t.faults...)
}

// verify reads every page and value of a book; the caller guards it. The error is for one that isn't whole.
// bbolt's own check runs in a goroutine where a memory fault can't be recovered, so it comes last, when all
// the pages that it reads were read here.
func (t *tally) verify(tx *bbolt.Tx, file io.ReaderAt) error {
	below, err := referred(tx, file)
	if err != nil {
		return err
	}
	if _, err := readHead(tx); err != nil && !errors.Is(err, ErrDamaged) {
		return err
	}
	for _, name := range buckets() {
		if b := bucket(tx, name); b == nil || below[uint64(b.RootPage())] {
			return fmt.Errorf("%w: its bucket %s can't be read", ErrDamaged, name)
		}
	}
	t.values(tx, below)
	if len(t.faults) == 0 {
		for err := range tx.Check() {
			t.faults = append(t.faults, fmt.Errorf("%w (%w)", ErrDamaged, err))
		}
	}
	return t.flaw()
}

// referred lists the pages below branch pages, each of which must have one page above it. bbolt follows a page that
// leads back to itself until memory runs out, and nothing can stop it. A page has a header of 16 bytes, then 16 bytes
// for each element. Of a branch page: where its key is, how long that is, and the page below it; the key must lie in
// the page too. Of a leaf page: flags, where its key is, how long that is, and its value. A small bucket is a value: a
// bucket's header of 16 bytes without a page, then a page of its own, which must be a leaf.
func referred(tx *bbolt.Tx, file io.ReaderAt) (map[uint64]bool, error) {
	u32, u64 := binary.LittleEndian.Uint32, binary.LittleEndian.Uint64
	below := make(map[uint64]bool)
	var buffer []byte
	pages := int(tx.Size() / pageSize)
	for id := 0; id < pages; {
		page, err := tx.Page(id)
		if err != nil {
			return nil, err
		}
		next := id + 1
		if page.Type != "free" {
			next += page.OverflowCount
		}
		wrong := fmt.Errorf("%w: page %d is out of place", ErrDamaged, id)
		if next > pages || page.Type != "free" && page.Type != "freelist" && 16+16*page.Count > (next-id)*pageSize {
			return nil, wrong
		}
		var text []byte
		if page.Type == "branch" || page.Type == "leaf" {
			buffer = slices.Grow(buffer[:0], (next-id)*pageSize)
			text = buffer[:(next-id)*pageSize]
			if _, err := file.ReadAt(text, int64(id)*pageSize); err != nil {
				return nil, fmt.Errorf("%w (%w)", wrong, err)
			}
		}
		for at := 16; at < 16+16*page.Count && text != nil; at += 16 {
			e := text[at : at+16]
			value := uint64(at) + uint64(u32(e[4:])) + uint64(u32(e[8:]))
			switch {
			case page.Type == "branch":
				key := uint64(at) + uint64(u32(e)) + uint64(u32(e[4:]))
				if below[u64(e[8:])] || key > uint64(len(text)) {
					return nil, wrong
				}
				below[u64(e[8:])] = true
			case page.Type == "leaf" && u32(e)&1 != 0:
				const header, leaf = 16, 2
				if value+2*header > uint64(len(text)) ||
					u64(text[value:]) == 0 && u32(text[value+header+8:])&0xffff != leaf {
					return nil, wrong
				}
			}
		}
		id = next
	}
	return below, nil
}

// values compares every value with its checksum, and every bow's number of entries with its count.
func (t *tally) values(tx *bbolt.Tx, below map[uint64]bool) {
	t.fault("its head", second(readHead(tx)))
	t.bows = t.each(tx, bowsBucket, func(id string, value []byte) error { return sealed(value, startOfBow(id)) })
	t.settings = t.each(tx, settingsBucket, func(key string, value []byte) error {
		return sealed(value, startOfSettings(key))
	})
	for _, name := range []string{draftsBucket, rowsBucket} {
		n := t.each(tx, name, func(key string, value []byte) error { return second(unsealText(name, key, value)) })
		if name == draftsBucket {
			t.drafts = n
		}
	}
	known := t.each(tx, countsBucket, func(bow string, _ []byte) error {
		entries, err := entriesOf(tx, bow)
		if err == nil && (below[uint64(entries.RootPage())] || bucket(tx, bowsBucket).Get([]byte(bow)) == nil) {
			err = fmt.Errorf("%w: its entries are out of place", ErrDamaged)
		}
		if err != nil {
			return err
		}
		n, start := 0, startOfBow(bow)
		err = entries.ForEach(func(key, value []byte) error {
			n++
			if err := sealed(value, startOfEntry(start, keyText(key))); err != nil {
				t.fault(place{bow, keyText(key)}.String(), err)
				return nil
			}
			t.entries++
			return nil
		})
		return cmp.Or(err, checkCount(tx, bow, n))
	})
	t.each(tx, entriesBucket, func(bow string, value []byte) error {
		if value != nil || bucket(tx, countsBucket).Get([]byte(bow)) == nil {
			return fmt.Errorf("%w: they were not counted", ErrDamaged)
		}
		return nil
	})
	if known < t.bows {
		t.fault("its entries", fmt.Errorf("%w: those of %d bows are missing", ErrDamaged, t.bows-known))
	}
}

// each checks each value of a bucket and returns how many are whole.
func (t *tally) each(tx *bbolt.Tx, name string, check func(key string, value []byte) error) (whole int) {
	err := bucket(tx, name).ForEach(func(key, value []byte) error {
		err := check(string(key), value)
		if err == nil {
			whole++
		}
		t.fault(fmt.Sprintf("%s %s", name, key), err)
		return nil
	})
	t.fault(name, err)
	return whole
}

// fault notes what is wrong, if anything is.
func (t *tally) fault(where string, err error) {
	if err != nil {
		t.faults = append(t.faults, fmt.Errorf("%s: %w", where, err))
	}
}

func second[T any](_ T, err error) error { return err }
