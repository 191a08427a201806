package storage

import (
	"fmt"
	"testing"

	"go.etcd.io/bbolt"

	"bendbook/model/record"
)

func BenchmarkAddItems(b *testing.B) {
	book := open(b, bookPath(b), Options{})
	must(b, book.AddBow(bow(b, "b", 0), ""))
	for n := 1; b.Loop(); n++ {
		must(b, book.AddItems("b", []record.Item{pull(b, n)}, "draft"))
	}
}

func BenchmarkItems5000(b *testing.B) {
	book := open(b, bookPath(b), Options{})
	must(b, book.AddBow(bow(b, "b", 5000), ""))
	for b.Loop() {
		items, err := book.Items("b")
		if err != nil || len(items) != 5000 {
			b.Fatal(len(items), err)
		}
	}
}

func BenchmarkBows10000(b *testing.B) {
	book := open(b, bookPath(b), Options{})
	addBows(b, book, 10_000)
	for b.Loop() {
		n := 0
		must(b, book.Bows(func(record.Description) error { n++; return nil }))
		if n != 10_000 {
			b.Fatal(n)
		}
	}
}

func BenchmarkOpen10000(b *testing.B) {
	path := bookPath(b)
	book := open(b, path, Options{})
	addBows(b, book, 10_000)
	must(b, book.Close())
	for b.Loop() {
		again, err := Open(path, Options{})
		must(b, err)
		must(b, again.Close())
	}
}

// addBows adds n bows with five entries each, in one transaction for the sake of time.
func addBows(t testing.TB, book *Book, n int) {
	t.Helper()
	must(t, book.update("adding many bows to", func(tx *bbolt.Tx) error {
		for i := range n {
			rec := bow(t, fmt.Sprintf("bow-%05d", i), 5)
			if err := addBow(tx, rec.Bow.ID, sealBow(rec.Description), rec.Items); err != nil {
				return err
			}
		}
		return nil
	}))
}
