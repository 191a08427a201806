package storage

import (
	"bytes"

	"go.etcd.io/bbolt"
)

// tagsAtOnce is how many tags are taken from the book between two visits.
const tagsAtOnce = 4096

// Tags calls visit for each bow's id, in order of the ids, with the tag that was kept of it; nil where there is none, or
// none that is whole. visit runs while no transaction is open. A bow that is added meanwhile may be left out.
func (b *Book) Tags(visit func(bow string, tag []byte) error) error {
	for from, more := []byte(nil), true; more; {
		batch, err := b.tagsFrom(from)
		if err != nil {
			return err
		}
		for _, tag := range batch {
			if err := visit(tag.id, tag.content()); err != nil {
				return err
			}
		}
		if more = len(batch) == tagsAtOnce; more {
			// The next possible id after the last one.
			from = append([]byte(batch[len(batch)-1].id), 0)
		}
	}
	return nil
}

func (b *Book) tagsFrom(from []byte) ([]storedTag, error) {
	var batch []storedTag
	err := b.view("listing the tags of", func(tx *bbolt.Tx) error {
		bows, err := bucket(tx, sortBows)
		if err != nil {
			return err
		}
		tags := tx.Bucket([]byte(sortTags))
		if tags == nil {
			return eachID(bows.Cursor(), from, func(id []byte) { batch = append(batch, storedTag{id: string(id)}) })
		}
		// Both are in order of the ids, so that one walk beside the other finds them.
		cursor := tags.Cursor()
		key, value := cursor.Seek(from)
		return eachID(bows.Cursor(), from, func(id []byte) {
			for key != nil && bytes.Compare(key, id) < 0 {
				key, value = cursor.Next()
			}
			tag := storedTag{id: string(id)}
			if bytes.Equal(key, id) {
				tag.value = bytes.Clone(value)
			}
			batch = append(batch, tag)
		})
	})
	return batch, err
}

// eachID calls visit for up to tagsAtOnce keys, from the first that is not before from.
func eachID(cursor *bbolt.Cursor, from []byte, visit func(id []byte)) error {
	n := 0
	for id, _ := cursor.Seek(from); id != nil && n < tagsAtOnce; id, _ = cursor.Next() {
		visit(id)
		n++
	}
	return nil
}

// storedTag is a tag as it stands in the book.
type storedTag struct {
	id    string
	value []byte // nil where there is none
}

func (s storedTag) content() []byte {
	if s.value == nil {
		return nil
	}
	fields, err := unseal(place{sort: sortTags, key: []byte(s.id)}, s.value)
	if err != nil || len(fields) != 1 {
		return nil // it is made anew from the entries, where what is wrong with them shows
	}
	return fields[0]
}

// KeepTags keeps tags by the ids of their bows; those of bows that the book does not have are left out.
func (b *Book) KeepTags(tags map[string][]byte) error {
	return b.update("keeping the tags of", func(tx *bbolt.Tx) error {
		kept, err := tx.CreateBucketIfNotExists([]byte(sortTags))
		if err != nil {
			return err
		}
		bows, err := bucket(tx, sortBows)
		if err != nil {
			return err
		}
		for id, tag := range tags {
			if bows.Get([]byte(id)) == nil {
				continue
			}
			if err := kept.Put([]byte(id), seal(place{sort: sortTags, key: []byte(id)}, tag)); err != nil {
				return err
			}
		}
		return nil
	})
}

func dropTag(tx *bbolt.Tx, bow string) error {
	if tags := tx.Bucket([]byte(sortTags)); tags != nil {
		return tags.Delete([]byte(bow))
	}
	return nil
}
