package storage

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"go.etcd.io/bbolt"
)

// Settings are the shop's settings as they were kept last; ok is false where none were.
func (b *Book) Settings() (doc []byte, ok bool, err error) {
	doing := "reading the shop's settings in"
	var key, value []byte
	err = b.view(doing, func(tx *bbolt.Tx) error {
		if settings := tx.Bucket([]byte(sortSettings)); settings != nil {
			k, v := settings.Cursor().Last()
			key, value = bytes.Clone(k), bytes.Clone(v)
		}
		return nil
	})
	if err != nil || key == nil {
		return nil, false, err
	}
	fields, err := unseal(place{sort: sortSettings, key: key}, value)
	if err == nil && len(fields) != 1 {
		err = fmt.Errorf("%w: %d fields", ErrDamaged, len(fields))
	}
	if err != nil {
		return nil, false, explain(doing, b.path, err)
	}
	return fields[0], true, nil
}

// KeepSettings keeps the shop's settings. Those before stay in the book.
func (b *Book) KeepSettings(doc []byte) error {
	return b.update("keeping the shop's settings in", func(tx *bbolt.Tx) error {
		settings, err := tx.CreateBucketIfNotExists([]byte(sortSettings))
		if err != nil {
			return err
		}
		// Behind the last one, whatever the bucket's own counter says: that has no checksum.
		n := uint64(1)
		if last, _ := settings.Cursor().Last(); len(last) == 8 {
			n = binary.BigEndian.Uint64(last) + 1
		}
		key := binary.BigEndian.AppendUint64(nil, n)
		return settings.Put(key, seal(place{sort: sortSettings, key: key}, doc))
	})
}

// checkSettings compares all settings that were ever kept with their checksums.
func (b *Book) checkSettings() error {
	return b.view("checking the settings of", func(tx *bbolt.Tx) error {
		settings := tx.Bucket([]byte(sortSettings))
		if settings == nil {
			return nil
		}
		return settings.ForEach(func(key, value []byte) error {
			if _, err := unseal(place{sort: sortSettings, key: bytes.Clone(key)}, value); err != nil {
				return fmt.Errorf("settings %x: %w", key, err)
			}
			return nil
		})
	})
}
