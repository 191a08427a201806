package storage

import (
	"bytes"
	"encoding/binary"

	"go.etcd.io/bbolt"
)

// tagsAtOnce is how many tags are taken from the book between two visits.
const tagsAtOnce = 4096

// Tags calls visit for each bow's id, in order of the ids, with the tag that was kept of it; "" where there is none, or
// none that is whole. visit runs while no transaction is open. A bow that is added meanwhile may be left out.
func (b *Book) Tags(visit func(bow, tag string) error) error {
	if met := b.gathered.Swap(nil); met != nil && !b.closed.Load() {
		return met.each(visit)
	}
	for from, more := []byte(nil), true; more; {
		batch, err := b.tagsFrom(from)
		if err != nil {
			return err
		}
		for _, tag := range batch {
			if err := visit(tag.id, tag.doc); err != nil {
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
		if tags == nil || tags.Sequence() != uint64(tx.ID()) {
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
				if sealed(mark(layoutVersion, sortTags, ""), id, value) == nil {
					tag.doc = tagIn(value)
				}
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
	id  string
	doc string // "" where there is none
}

// tagIn is the tag in a value whose checksum fits. Where there is none it is made anew from the entries, where what is wrong with them shows.
func tagIn(value []byte) string {
	if value[0] != layoutVersion {
		return ""
	}
	content := value[envelopeLength:]
	if size, n := binary.Uvarint(content); n > 0 && size == uint64(len(content)-n) {
		return string(content[n:])
	}
	return ""
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

// Whatever writes to the book notes in the tags' bucket, as its sequence, the number of its transaction. Where that is another than the
// book's last one, a program wrote that knows no tags and may have left stale ones: none is believed.

// dropStaleTags drops the tags, in a transaction that begins, where they are not to be believed.
func dropStaleTags(tx *bbolt.Tx) error {
	if tags := tx.Bucket([]byte(sortTags)); tags != nil && tags.Sequence() != uint64(tx.ID()-1) {
		return tx.DeleteBucket([]byte(sortTags))
	}
	return nil
}

// stampTags says, in a transaction that ends, that the tags fit what was written.
func stampTags(tx *bbolt.Tx) error {
	if tags := tx.Bucket([]byte(sortTags)); tags != nil {
		return tags.SetSequence(uint64(tx.ID()))
	}
	return nil
}
