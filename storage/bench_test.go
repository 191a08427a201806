package storage

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// promised makes a book of the load that is promised: 1,000 bows of 60 entries, and one of 2,000.
func promised(b *testing.B) (path string) {
	b.Helper()
	path = bookPath(b)
	book := open(b, path, Options{})
	var all save
	for i := range 1001 {
		n := 60
		if i == 1000 {
			n = 2000
		}
		rec := bow(b, fmt.Sprintf("bow-%04d", i), n)
		of, err := sealedLines(rec.Bow.ID, &rec.Description, rec.Items)
		must(b, err)
		all.Lines = append(all.Lines, of.Lines...)
	}
	must(b, book.save("filling", all, nil, ""))
	must(b, book.Close())
	return path
}

func BenchmarkOpen(b *testing.B) {
	path := promised(b)
	for b.Loop() {
		book, err := Open(path, Options{})
		must(b, err)
		must(b, book.Close())
	}
}

func BenchmarkOpenReadOnly(b *testing.B) {
	path := promised(b)
	for b.Loop() {
		book, err := Open(path, Options{ReadOnly: true})
		must(b, err)
		must(b, book.Close())
	}
}

func BenchmarkCopy(b *testing.B) {
	path := promised(b)
	for b.Loop() {
		_, err := Backup(path, filepath.Join(b.TempDir(), "copy.book"), true, Options{})
		must(b, err)
	}
}

func BenchmarkRows(b *testing.B) {
	book, err := Open(promised(b), Options{})
	must(b, err)
	for b.Loop() {
		must(b, book.Rows(func(string, int, []byte) error { return nil }))
		must(b, book.Bows(func(record.Description) error { return nil }))
	}
	must(b, book.Close())
}

func BenchmarkItems2000(b *testing.B) {
	book, err := Open(promised(b), Options{})
	must(b, err)
	for b.Loop() {
		items, err := book.Items("bow-1000")
		if err != nil || len(items) != 2000 {
			b.Fatal(len(items), err)
		}
	}
	must(b, book.Close())
}

// BenchmarkSave compares a save with a bare put that bbolt syncs, in turn.
func BenchmarkSave(b *testing.B) {
	book, err := Open(promised(b), Options{})
	must(b, err)
	db, err := bbolt.Open(filepath.Join(b.TempDir(), "bare"), 0o600, nil)
	must(b, err)
	var bare, saving time.Duration
	for n := 3000; b.Loop(); n++ {
		begun := time.Now()
		must(b, db.Update(func(tx *bbolt.Tx) error {
			bucket, err := tx.CreateBucketIfNotExists([]byte("b"))
			if err != nil {
				return err
			}
			return bucket.Put(fmt.Append(nil, n), pull(b, n).Doc)
		}))
		bare += time.Since(begun)
		begun = time.Now()
		must(b, book.AddItems("bow-0500", []record.Item{pull(b, n)}, "draft"))
		saving += time.Since(begun)
	}
	b.ReportMetric(float64(saving)/float64(bare), "times-bare")
	must(b, db.Close())
	must(b, book.Close())
}
