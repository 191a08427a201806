package session

import (
	"errors"
	"fmt"
)

// hung is a bow's tag, and what is wrong with the bow where something is.
type hung struct {
	Tag
	damage error // why its entries cannot be read; nil where they can
	read   bool  // made from its entries just now
}

// tags are the tags of all bows, in no promised order. Where the book has none of a bow, it is made from the bow's entries, and kept
// where that is possible. What is wrong with one bow keeps no other from being tagged; the tags then come with the error.
func (s *Shop) tags() ([]*hung, error) {
	var all []*hung
	var faults []error
	made := make(map[string][]byte)
	err := s.book.Tags(func(id string, doc []byte) error {
		if doc != nil {
			if tag, err := decodeTag(doc); err == nil && tag.Bow.ID == id {
				all = append(all, &hung{Tag: tag})
				return nil
			}
		}
		first, known, err := s.book.Bow(id)
		if err != nil || !known {
			faults = append(faults, err)
			return nil
		}
		items, err := s.book.Items(id)
		if err != nil {
			all = append(all, &hung{Tag: TagOf(Fold(first, nil)), damage: fmt.Errorf("reading the entries of %s: %w", NameOf(first.Bow), err), read: true})
			return nil
		}
		tag := TagOf(Fold(first, items))
		made[id] = tag.encode()
		all = append(all, &hung{Tag: tag, read: true})
		return nil
	})
	s.keepTags(made)
	if len(faults) > 1 {
		return all, errors.Join(fmt.Errorf("%w, and %d more bows", faults[0], len(faults)-1), err)
	}
	return all, errors.Join(append(faults, err)...)
}

// keepTags keeps what was made, for the next time. Where it cannot be kept it is made again then.
func (s *Shop) keepTags(made map[string][]byte) {
	if len(made) > 0 && s.book.ReadOnly() == "" {
		// Nothing is lost by it.
		_ = s.book.KeepTags(made)
	}
}
