package storage

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

// BenchmarkPromised works on a book of the load that is promised: 1,000 bows of 60 entries, and one of
// 2,000.
func BenchmarkPromised(b *testing.B) {
	path := bookPath(b)
	book := open(b, path, Options{})
	for i := range 1001 {
		n := 60
		if i == 1000 {
			n = 2000
		}
		must(b, book.AddBow(bow(b, fmt.Sprintf("bow-%04d", i), n), ""))
	}
	run := func(name string, do func() error) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				must(b, do())
			}
		})
	}
	run("rows", func() error { _, _, err := book.Rows(); return err })
	run("2000 entries", func() error { return second(itemsOf(book, "bow-1000")) })
	b.Run("save", func(b *testing.B) { benchmarkSave(b, book) })
	must(b, book.Close())
	for name, opts := range map[string]Options{"open": {}, "open read-only": {ReadOnly: true}} {
		run(name, func() error {
			book, err := Open(path, opts)
			must(b, err)
			return book.Close()
		})
	}
	run("copy", func() error { return second(Backup(path, filepath.Join(b.TempDir(), "copy.book"), true, Options{})) })
}

// benchmarkSave compares a save with a bare put that bbolt syncs, in turn.
func benchmarkSave(b *testing.B, book *Book) {
	db, err := bbolt.Open(filepath.Join(b.TempDir(), "bare"), 0o600, nil)
	must(b, err)
	var bare, saving time.Duration
	for item := pull(b, 3000); b.Loop(); item.Key = item.Key.Next() {
		begun := time.Now()
		must(b, db.Update(func(tx *bbolt.Tx) error {
			bucket, err := tx.CreateBucketIfNotExists([]byte("b"))
			must(b, err)
			return bucket.Put(item.Key[:], item.Doc)
		}))
		bare += time.Since(begun)
		begun = time.Now()
		must(b, book.AddItems("bow-0500", []record.Item{item}, "draft"))
		saving += time.Since(begun)
	}
	b.ReportMetric(float64(saving)/float64(bare), "times-bare")
	must(b, db.Close())
}
