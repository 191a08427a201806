package storage

import (
	"bytes"
	"fmt"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// The buckets of a book. All are there once it is verified.
const (
	bookBucket     = "book"     // "head" → head
	bowsBucket     = "bows"     // bow's id → line of its description
	entriesBucket  = "entries"  // bow's id → bucket: 16-byte key → line of the entry
	countsBucket   = "counts"   // bow's id → how many entries it has
	draftsBucket   = "drafts"   // key → half-typed form
	settingsBucket = "settings" // number → line of the settings
	rowsBucket     = "rows"     // bow's id → cached rack row
)

func buckets() []string {
	return []string{bookBucket, bowsBucket, entriesBucket, countsBucket, draftsBucket, settingsBucket, rowsBucket}
}

func bucket(tx *bbolt.Tx, name string) *bbolt.Bucket { return tx.Bucket([]byte(name)) }

// putText seals a text under its bucket and key: a draft, a row, a count.
func putText(tx *bbolt.Tx, name, key string, text []byte) error {
	return bucket(tx, name).Put([]byte(key), sealText(name, key, text))
}

func sealText(name, key string, text []byte) []byte {
	sum := checksum(fmt.Appendf(nil, "%s\x00%s\x00%s", name, key, text))
	return append(sum[:], text...)
}

// unsealText returns the text that was sealed; nil, without an error, for no value.
func unsealText(name, key string, value []byte) (text []byte, err error) {
	if value == nil {
		return nil, nil
	}
	text = value[min(8, len(value)):]
	if !bytes.Equal(value, sealText(name, key, text)) {
		return nil, fmt.Errorf("%s of %s: %w", name, key, errSum())
	}
	return append([]byte{}, text...), nil
}

// entriesOf is the bucket of a bow's entries.
func entriesOf(tx *bbolt.Tx, bow string) (*bbolt.Bucket, error) {
	if b := bucket(tx, entriesBucket).Bucket([]byte(bow)); b != nil {
		return b, nil
	}
	return nil, fmt.Errorf("bow %s: %w: its entries are missing", bow, ErrDamaged)
}

// eachLine calls visit for the value of each line in a book: bow by bow its description and its entries,
// then settings.
func eachLine(tx *bbolt.Tx, visit func(at place, value []byte) error) error {
	err := bucket(tx, bowsBucket).ForEach(func(id, value []byte) error {
		bow := string(id)
		if err := visit(place{bow, ""}, value); err != nil {
			return err
		}
		entries, err := entriesOf(tx, bow)
		if err != nil {
			return err
		}
		return entries.ForEach(func(key, value []byte) error { return visit(place{bow, keyText(key)}, value) })
	})
	if err != nil {
		return err
	}
	return bucket(tx, settingsBucket).ForEach(func(key, value []byte) error {
		return visit(place{"", string(key)}, value)
	})
}

// keyText is the key of an entry as its line has it.
func keyText(key []byte) string {
	if len(key) != len(record.Key{}) {
		return fmt.Sprintf("%x", key)
	}
	return record.Key(key).String()
}

// put puts a line in its bucket, and counts it. fresh is false where there is something in its place, which
// stays.
func put(tx *bbolt.Tx, l line) (fresh bool, err error) {
	b, key, counted := bucket(tx, bowsBucket), []byte(l.Bow), 0
	switch {
	case l.Settings != nil:
		b, key = bucket(tx, settingsBucket), []byte(l.Key)
	case l.Entry != nil:
		if b.Get(key) == nil {
			return false, fmt.Errorf("%s: %w", l.Bow, ErrNoBow)
		}
		k, ok := record.KeyOf(l.Key)
		if !ok {
			return false, fmt.Errorf("%s: %w", l.place(), ErrNoKey)
		}
		key, counted = k[:], 1
		if b, err = entriesOf(tx, l.Bow); err != nil {
			return false, err
		}
	}
	if b.Get(key) != nil {
		return false, nil
	}
	value, err := l.value()
	if err == nil {
		err = b.Put(key, value)
	}
	if err == nil && l.Describe != nil {
		_, err = bucket(tx, entriesBucket).CreateBucket([]byte(l.Bow))
	}
	if err == nil && l.Settings == nil {
		err = addCount(tx, l.Bow, counted)
	}
	return true, err
}
