package storage

import (
	"bytes"
	"fmt"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// The buckets of a book. All are there once it is verified. The sequence of book is the number of all
// lines; that of a bow's bucket, of its entries.
const (
	bookBucket     = "book"     // "head" → head
	bowsBucket     = "bows"     // bow's id → line of its description
	entriesBucket  = "entries"  // bow's id → bucket: 16-byte key → line of the entry
	draftsBucket   = "drafts"   // key → half-typed form
	settingsBucket = "settings" // number → line of the settings
	rowsBucket     = "rows"     // bow's id → cached rack row
)

func buckets() []string {
	return []string{bookBucket, bowsBucket, entriesBucket, draftsBucket, settingsBucket, rowsBucket}
}

func bucket(tx *bbolt.Tx, name string) *bbolt.Bucket { return tx.Bucket([]byte(name)) }

// putText seals a draft or a row under its bucket and key.
func putText(tx *bbolt.Tx, name, key string, text []byte) error {
	return bucket(tx, name).Put([]byte(key), sealText(name, key, text))
}

func sealText(name, key string, text []byte) []byte {
	sum := checksum(fmt.Appendf(nil, "%s\x00%s\x00%s", name, key, text))
	return append(sum[:], text...)
}

// texts are the drafts or rows that are whole, by their keys, and what is wrong with the others.
func texts(tx *bbolt.Tx, name string) (all map[string][]byte, faults []error) {
	all = make(map[string][]byte)
	err := bucket(tx, name).ForEach(func(key, value []byte) error {
		text := value[min(8, len(value)):]
		if bytes.Equal(value, sealText(name, string(key), text)) {
			all[string(key)] = append([]byte{}, text...)
		} else {
			faults = append(faults, fmt.Errorf("%s %s: %w", name, key, errSum))
		}
		return nil
	})
	if err != nil {
		faults = append(faults, err)
	}
	return all, faults
}

// eachLine calls visit for each line of a book, bow by bow and then settings, with what is wrong with it.
func eachLine(tx *bbolt.Tx, visit func(at place, value []byte, wrong error) error) error {
	err := bucket(tx, bowsBucket).ForEach(func(id, value []byte) error {
		at := place{Bow: string(id)}
		if err := visit(at, value, sealed(value, at.start())); err != nil {
			return err
		}
		return eachEntry(tx, at.Bow, visit)
	})
	if err != nil {
		return err
	}
	return bucket(tx, settingsBucket).ForEach(func(key, value []byte) error {
		at := place{Key: string(key)}
		return visit(at, value, sealed(value, at.start()))
	})
}

// eachEntry does so for a bow's entries, and for the bow itself if their number is wrong.
func eachEntry(tx *bbolt.Tx, bow string, visit func(at place, value []byte, wrong error) error) error {
	at := place{Bow: bow}
	entries := bucket(tx, entriesBucket).Bucket([]byte(bow))
	if entries == nil {
		return visit(at, nil, fmt.Errorf("%w: its entries are missing", errDamaged))
	}
	start := at.start() + `,"key":"`
	last, n := "", 0
	err := entries.ForEach(func(key, value []byte) error {
		at.Key = fmt.Sprintf("%x", key)
		if len(key) == len(record.Key{}) {
			at.Key = record.Key(key).String()
		}
		wrong := sealed(value, start+at.Key+`"`)
		if wrong == nil && at.Key <= last { // the same page twice, say
			wrong = fmt.Errorf("%w: it is out of order", errDamaged)
		}
		last = at.Key
		n++
		return visit(at, value, wrong)
	})
	if want := entries.Sequence(); err == nil && want != uint64(n) {
		wrong := fmt.Errorf("%w: %d of %d entries are there", errDamaged, n, want)
		err = visit(place{Bow: bow}, nil, wrong)
	}
	return err
}

// put puts a sealed line in its bucket, and counts it, unless something is in its place.
func put(tx *bbolt.Tx, text []byte) (at place, fresh bool, err error) {
	var l line
	if err := unseal(text, &l); err != nil {
		return at, false, err
	}
	at = l.place
	b, key := bucket(tx, bowsBucket), []byte(at.Bow)
	switch {
	case at.Bow == "":
		b, key = bucket(tx, settingsBucket), []byte(at.Key)
	case at.Key != "":
		if b = bucket(tx, entriesBucket).Bucket(key); b == nil {
			return at, false, fmt.Errorf("%s: %w", at.Bow, errNoBow)
		}
		k, ok := record.KeyOf(at.Key)
		if !ok {
			return at, false, fmt.Errorf("%s: %w", at, errNoKey)
		}
		key = k[:]
	}
	if b.Get(key) != nil {
		return at, false, nil
	}
	err = b.Put(key, text)
	switch {
	case err != nil:
	case at.Key == "":
		_, err = bucket(tx, entriesBucket).CreateBucket(key)
	case at.Bow != "":
		_, err = b.NextSequence()
	}
	if err == nil {
		_, err = bucket(tx, bookBucket).NextSequence()
	}
	return at, true, err
}

// The book's format. Version 1 was another layout, which isn't read any more.
const (
	bookFormat  = "bendbook/book"
	bookVersion = 2
)

// pageSize of a book: the same on every machine.
const pageSize = 4096

// head is what a book says of itself. Its place, seal and first three fields stay in every version to come.
type head struct {
	Format  string   `json:"format"`
	Version int      `json:"version"`
	ID      string   `json:"id"`
	Journal position `json:"journal"` // how far in the journal the book is
}

func putHead(tx *bbolt.Tx, h head) error {
	text, err := seal(h)
	if err != nil {
		return err
	}
	return bucket(tx, bookBucket).Put([]byte("head"), text)
}

// readHead returns what a book says of itself. The error wraps errForeign, errVersion or errDamaged.
func readHead(tx *bbolt.Tx) (h head, err error) {
	b := bucket(tx, bookBucket)
	if b == nil {
		return h, errForeign
	}
	text := b.Get([]byte("head"))
	switch {
	case bytes.HasPrefix(text, []byte("\x01")) && bytes.Contains(text, []byte(bookFormat)):
		return h, errVersion // the first layout, which isn't read any more
	case !bytes.HasPrefix(text, []byte(sealStart)) && !bytes.Contains(text, []byte(bookFormat)):
		return h, errForeign
	}
	err = unseal(text, &h)
	if err == nil && h.Version > bookVersion {
		err = fmt.Errorf("%w (its version is %d, this one knows up to %d)", errVersion, h.Version, bookVersion)
	}
	return h, err
}
