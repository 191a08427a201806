package storage

import (
	"fmt"
	"slices"

	"go.etcd.io/bbolt"
)

// checkHeads looks at both head pages. bbolt reads the newer of those that are whole, and without a word the one before
// where the newer is damaged: then what was saved last is missing, and nothing else shows it.
func (b *Book) checkHeads() error {
	doing := "checking the head pages of"
	return b.run(doing, func() error {
		const readings = 3 // a writer may be at one of them at this moment
		var err error
		for range readings {
			var m metas
			if m, err = metasOf(b.file); err != nil {
				return err
			}
			if err = m.pair(); err == nil {
				return nil
			}
		}
		return err
	})
}

// pair refuses head pages of which one is not whole, or that are not of two commits in a row: each commit writes the page that the one
// before it did not.
func (m metas) pair() error {
	first, firstErr := parseMeta(m.raw[0])
	second, secondErr := parseMeta(m.raw[1])
	if firstErr != nil || secondErr != nil || first.tx+1 != second.tx && second.tx+1 != first.tx {
		return fmt.Errorf("%w: %w", ErrDamaged, errOneHead)
	}
	return nil
}

// checkParts finds what stands among the parts of the book and is none of them: one whose name was damaged would be
// taken for one that was never begun.
func (b *Book) checkParts() error {
	return b.view("checking the parts of", func(tx *bbolt.Tx) error {
		known := sorts()
		return tx.Cursor().Bucket().ForEach(func(name, value []byte) error {
			if value != nil || !slices.Contains(known, string(name)) {
				return fmt.Errorf("%w: it has a part %q", ErrDamaged, string(name))
			}
			return nil
		})
	})
}
