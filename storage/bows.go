package storage

import (
	"encoding/json"
	"errors"
	"fmt"
	"strconv"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// Bows calls visit for each bow as it was first described, in order of ids, until visit fails. A damaged
// bow keeps no other back: the error that names it comes last. visit may read the book.
func (b *Book) Bows(visit func(record.Description) error) error {
	const doing = "listing the bows of"
	var all []record.Description
	var found tally
	err := b.view(doing, func(tx *bbolt.Tx) error {
		return bucket(tx, bowsBucket).ForEach(func(id, _ []byte) error {
			desc, err := bowIn(tx, string(id))
			if err == nil {
				all = append(all, desc)
			}
			found.fault(err)
			return nil
		})
	})
	for i := 0; i < len(all) && err == nil; i++ {
		err = visit(all[i])
	}
	if err == nil {
		err = explain(doing, b.path, found.flaw())
	}
	return err
}

// Bow is one bow as it was first described; ok is false where the book has no such bow.
func (b *Book) Bow(id string) (desc record.Description, ok bool, err error) {
	err = b.view("reading bow "+id+" in", func(tx *bbolt.Tx) error {
		desc, err = bowIn(tx, id)
		return err
	})
	if errors.Is(err, errNoBow) {
		return desc, false, nil
	}
	return desc, err == nil, err
}

// bowIn reads a bow of the book. The error is an errNoBow where there is none.
func bowIn(tx *bbolt.Tx, id string) (record.Description, error) {
	value := bucket(tx, bowsBucket).Get([]byte(id))
	if value == nil {
		return record.Description{}, fmt.Errorf("%s: %w", id, errNoBow)
	}
	var l line
	err := sealed(value, place{Bow: id}.start())
	if err == nil {
		err = unseal(value, &l)
	}
	if err != nil {
		return record.Description{}, fmt.Errorf("bow %s: %w", id, err)
	}
	return l.description()
}

// Items are a bow's entries in order of their keys. One that is damaged or missing makes all of them an
// error: figures from the rest would be wrong.
func (b *Book) Items(bow string) (items []record.Item, err error) {
	err = b.view("reading the entries of bow "+bow+" in", func(tx *bbolt.Tx) error {
		desc, err := bowIn(tx, bow)
		if err != nil {
			return err
		}
		return eachEntry(tx, bow, func(at place, value []byte, wrong error) error {
			var l line
			if wrong == nil {
				wrong = unseal(value, &l)
			}
			if wrong != nil {
				return fmt.Errorf("%s: %w", at, wrong)
			}
			item, err := l.item(desc.Bow.Units)
			items = append(items, item)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	return items, nil
}

// AddBow adds a new bow with its entries and drops the draft that it came from: all of it or nothing.
func (b *Book) AddBow(rec record.Record, draft string) error {
	id := rec.Bow.ID
	s, err := sealedLines(id, &rec.Description, rec.Items)
	if err == nil && id == "" {
		err = fmt.Errorf("the bow has no id (%w)", errNoKey)
	}
	return b.save("adding bow "+id+" to", s, err, draft)
}

// AddItems adds entries to a bow and drops the draft that they came from: all of it or nothing.
func (b *Book) AddItems(bow string, items []record.Item, draft string) error {
	_, ok, err := b.Bow(bow)
	if err == nil && !ok {
		err = fmt.Errorf("%s: %w", bow, errNoBow)
	}
	s, wrong := sealedLines(bow, nil, items)
	return b.save("adding to bow "+bow+" in", s, errors.Join(err, wrong), draft)
}

// save writes lines and drops a draft, or returns failed, the error from making the lines.
func (b *Book) save(doing string, s save, failed error, draft string) error {
	if failed != nil {
		return explain(doing, b.path, failed)
	}
	s.Draft = draft
	return b.update(doing, s, func(tx *bbolt.Tx) error {
		for _, text := range s.Lines {
			at, fresh, err := put(tx, text)
			if err == nil && !fresh {
				err = fmt.Errorf("%s is %w", at, errTaken)
			}
			if err != nil {
				return err
			}
		}
		return bucket(tx, draftsBucket).Delete([]byte(draft))
	})
}

// Draft is the half-typed form kept under key; ok is false where there is none.
func (b *Book) Draft(key string) (doc []byte, ok bool, err error) {
	err = b.view("reading draft "+key+" in", func(tx *bbolt.Tx) error {
		doc, err = unsealText(draftsBucket, key, bucket(tx, draftsBucket).Get([]byte(key)))
		return err
	})
	return doc, doc != nil, err
}

// Drafts are the keys of all half-typed forms, in order.
func (b *Book) Drafts() (keys []string, err error) {
	err = b.view("listing the drafts of", func(tx *bbolt.Tx) error {
		return bucket(tx, draftsBucket).ForEach(func(key, _ []byte) error {
			keys = append(keys, string(key))
			return nil
		})
	})
	return keys, err
}

// SaveDraft keeps a half-typed form under key, in place of what was there.
func (b *Book) SaveDraft(key string, doc []byte) error {
	return b.update("saving draft "+key+" in", save{}, func(tx *bbolt.Tx) error {
		if key == "" {
			return fmt.Errorf("the draft: %w", errNoKey)
		}
		return putText(tx, draftsBucket, key, doc)
	})
}

// DropDraft forgets the half-typed form under key, if there is one.
func (b *Book) DropDraft(key string) error {
	return b.save("dropping draft "+key+" from", save{}, nil, key)
}

// Settings are the shop's settings as they were kept last; ok is false where none were.
func (b *Book) Settings() (doc []byte, ok bool, err error) {
	l, err := b.lastSettings("reading the shop's settings in")
	return l.Settings, l.Settings != nil, err
}

// lastSettings is the line of the settings that were kept last.
func (b *Book) lastSettings(doing string) (l line, err error) {
	err = b.view(doing, func(tx *bbolt.Tx) error {
		key, value := bucket(tx, settingsBucket).Cursor().Last()
		if key == nil {
			return nil
		}
		return errors.Join(sealed(value, place{Key: string(key)}.start()), unseal(value, &l))
	})
	return l, err
}

// KeepSettings keeps the shop's settings. Those before stay in the book.
func (b *Book) KeepSettings(doc []byte) error {
	const doing = "keeping the shop's settings in"
	last, err := b.lastSettings(doing)
	if err != nil {
		return err
	}
	if !json.Valid(doc) {
		err = errors.New("they aren't JSON")
	}
	n, _ := strconv.Atoi(last.Key) // 0 before the first
	var s save
	err = errors.Join(err, s.add(line{place: place{Key: fmt.Sprintf("%06d", n+1)}, Settings: doc}))
	return b.save(doing, s, err, "")
}

// Rows calls visit for each bow, in order of ids, with the number of its entries and its cached rack row, nil
// if there is none or it is damaged. visit may read the book.
func (b *Book) Rows(visit func(bow string, entries int, row []byte) error) error {
	var visits []func() error
	err := b.view("listing the rack of", func(tx *bbolt.Tx) error {
		entries := bucket(tx, entriesBucket)
		return entries.ForEachBucket(func(id []byte) error {
			row, _ := unsealText(rowsBucket, string(id), bucket(tx, rowsBucket).Get(id))
			bow, n := string(id), int(entries.Bucket(id).Sequence())
			visits = append(visits, func() error { return visit(bow, n, row) })
			return nil
		})
	})
	for i := 0; i < len(visits) && err == nil; i++ {
		err = visits[i]()
	}
	return err
}

// KeepRows caches rack rows by their bows' ids. Rows of bows that the book doesn't have are left out.
func (b *Book) KeepRows(rows map[string][]byte) error {
	return b.update("keeping the rack of", save{}, func(tx *bbolt.Tx) error {
		for id, row := range rows {
			if bucket(tx, bowsBucket).Get([]byte(id)) == nil {
				continue
			}
			if err := putText(tx, rowsBucket, id, row); err != nil {
				return err
			}
		}
		return nil
	})
}
