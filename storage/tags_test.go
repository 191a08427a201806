package storage

import (
	"fmt"
	"maps"
	"reflect"
	"testing"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// tagsOf are the tags of all bows; nil for one that has none.
func tagsOf(t testing.TB, book *Book) map[string]string {
	t.Helper()
	all := make(map[string]string)
	must(t, book.Tags(func(id, tag string) error {
		if _, twice := all[id]; twice {
			t.Errorf("bow %s came twice", id)
		}
		all[id] = "none"
		if tag != "" {
			all[id] = tag
		}
		return nil
	}))
	return all
}

func TestATagStaysUntilAnEntryIsAdded(t *testing.T) {
	path := bookPath(t)
	book := open(t, path, Options{})
	for _, id := range []string{"b", "a", "c"} {
		must(t, book.AddBow(bow(t, id, 2), ""))
	}
	if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "none", "b": "none", "c": "none"}) {
		t.Errorf("before any was kept: %v", got)
	}
	must(t, book.KeepTags(map[string][]byte{"a": []byte("A"), "c": []byte("C"), "nobody": []byte("N")}))
	must(t, book.Close())
	book = open(t, path, Options{})
	if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "A", "b": "none", "c": "C"}) {
		t.Errorf("reopened: %v", got)
	}
	must(t, book.AddItems("a", []record.Item{pull(t, 50)}, ""))
	if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "none", "b": "none", "c": "C"}) {
		t.Errorf("after an entry was added to a: %v", got)
	}
	if err := book.AddItems("c", []record.Item{pull(t, 1)}, ""); err == nil {
		t.Fatal("a key was taken twice")
	}
	if got := tagsOf(t, book); got["c"] != "C" {
		t.Errorf("an entry that was refused took the tag: %v", got)
	}
}

// A tag that is damaged is as none: it is made anew. The settings are not.
func TestADamagedTagIsNone(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	must(t, book.AddBow(bow(t, "a", 2), ""))
	must(t, book.KeepTags(map[string][]byte{"a": []byte("A")}))
	must(t, book.KeepSettings([]byte("first")))
	must(t, book.KeepSettings([]byte("second")))
	if doc, ok, err := book.Settings(); err != nil || !ok || string(doc) != "second" {
		t.Errorf("the settings are %q, %t, %v", doc, ok, err)
	}
	must(t, book.update("damaging", func(tx *bbolt.Tx) error {
		for _, name := range []string{sortTags, sortSettings} {
			b := tx.Bucket([]byte(name))
			key, value := b.Cursor().Last()
			bent := append([]byte(nil), value...)
			bent[len(bent)-1] ^= 1
			if err := b.Put(append([]byte(nil), key...), bent); err != nil {
				return err
			}
		}
		return nil
	}))
	if got := tagsOf(t, book); !reflect.DeepEqual(got, map[string]string{"a": "none"}) {
		t.Errorf("%v", got)
	}
	if _, _, err := book.Settings(); err == nil {
		t.Error("damaged settings are taken for whole")
	}
	if faults := book.Check(); len(faults) != 1 {
		t.Errorf("the check finds %v, want the settings alone", faults)
	}
	must(t, book.KeepSettings([]byte("third")))
	if doc, ok, err := book.Settings(); err != nil || !ok || string(doc) != "third" {
		t.Errorf("set anew the settings are %q, %t, %v", doc, ok, err)
	}
	// The test's own end wants a whole book.
	must(t, book.update("mending", func(tx *bbolt.Tx) error { return tx.DeleteBucket([]byte(sortSettings)) }))
	if _, ok, err := book.Settings(); ok || err != nil {
		t.Errorf("a book without settings: %t, %v", ok, err)
	}
}

// More bows than are taken at once, with and without tags.
func TestTagsOfThousands(t *testing.T) {
	book := open(t, bookPath(t), Options{})
	const n = tagsAtOnce + 10
	must(t, book.update("adding", func(tx *bbolt.Tx) error {
		for i := range n {
			rec := bow(t, fmt.Sprintf("b%05d", i), 0)
			if err := addBow(tx, rec.Bow.ID, sealBow(rec.Description), nil); err != nil {
				return err
			}
		}
		return nil
	}))
	want := make(map[string]string)
	tags := make(map[string][]byte)
	for i := range n {
		id := fmt.Sprintf("b%05d", i)
		want[id] = "none"
		if i%3 == 0 {
			tags[id], want[id] = []byte(id), id
		}
	}
	must(t, book.KeepTags(tags))
	if got := tagsOf(t, book); !maps.Equal(got, want) {
		t.Errorf("%d tags, want %d", len(got), len(want))
	}
}

// A program that knows no tags leaves those of the bows that it adds to as they were. None is believed after it, and none comes back
// when others are made anew.
func TestTagsAreNotBelievedAfterAProgramThatKnowsNone(t *testing.T) {
	for _, opts := range []Options{{}, {Ahead: true}} {
		path := bookPath(t)
		book := open(t, path, opts)
		must(t, book.AddBow(bow(t, "a", 2), ""))
		must(t, book.AddBow(bow(t, "b", 2), ""))
		must(t, book.KeepTags(map[string][]byte{"a": []byte("A"), "b": []byte("B")}))
		must(t, book.SaveDraft("d", []byte("typed"))) // what this program writes leaves them
		must(t, book.Close())
		book = open(t, path, opts)
		if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "A", "b": "B"}) {
			t.Errorf("reopened: %v", got)
		}
		must(t, book.Close())

		db, err := bbolt.Open(path, 0o600, nil)
		must(t, err)
		must(t, db.Update(func(tx *bbolt.Tx) error {
			entries, err := entriesOf(tx, "a")
			if err != nil {
				return err
			}
			return putItems(entries, "a", []record.Item{pull(t, 50)})
		}))
		must(t, db.Close())

		book = open(t, path, opts)
		if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "none", "b": "none"}) {
			t.Errorf("after the other program: %v", got)
		}
		must(t, book.KeepTags(map[string][]byte{"b": []byte("B")}))
		if got := tagsOf(t, book); !maps.Equal(got, map[string]string{"a": "none", "b": "B"}) {
			t.Errorf("made anew: %v", got)
		}
		must(t, book.Close())
	}
}
