package storage

import (
	"go.etcd.io/bbolt"
)

// Rows calls visit for each bow, in order of ids: how many entries the book has of it, and the rack row
// cached last; nil where none is, or none that is whole. visit may read the book.
func (b *Book) Rows(visit func(bow string, entries int, row []byte) error) error {
	var ids []string
	var counts []int
	var rows [][]byte
	err := b.view("listing the rack of", func(tx *bbolt.Tx) error {
		return bucket(tx, countsBucket).ForEach(func(id, _ []byte) error {
			n, err := countOf(tx, string(id))
			// A row that isn't whole is made anew like one that is missing.
			row, _ := unsealText(rowsBucket, string(id), bucket(tx, rowsBucket).Get(id))
			ids, counts, rows = append(ids, string(id)), append(counts, n), append(rows, row)
			return err
		})
	})
	for i := 0; i < len(ids) && err == nil; i++ {
		err = visit(ids[i], counts[i], rows[i])
	}
	return err
}

// KeepRows caches rack rows by their bows' ids. Rows of bows that the book doesn't have are left out.
func (b *Book) KeepRows(rows map[string][]byte) error {
	return b.update("keeping the rack of", nil, func(tx *bbolt.Tx) error {
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
