package shop

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
)

// What the book does not take, as on a full disk, can be kept apart: as a record of the bow, which another book, or the same
// one later, imports. Entries that a book has already are not taken twice.

// Apart is the bow's record with events that are not in the book.
func (b *Bench) Apart(events ...model.Event) (record.Record, error) {
	items, err := b.made(events...)
	if err != nil {
		return record.Record{}, err
	}
	return session.Fold(b.first, append(b.items[:len(b.items):len(b.items)], items...)).Record(), nil
}

// RedescribedApart is the bow's record with a change of its description that is not in the book.
func (b *Bench) RedescribedApart(bow model.Bow) (record.Record, error) {
	edit, changes, err := b.story.Desc.EditTo(bow)
	switch {
	case err != nil:
		return record.Record{}, err
	case !changes:
		return record.Record{}, errors.New("nothing was changed")
	}
	return b.Apart(edit)
}

// CorrectedApart is the bow's record with a correction that is not in the book.
func (b *Bench) CorrectedApart(id string, what model.Event) (record.Record, error) {
	return b.Apart(model.Void{Entry: id, Why: corrected}, what)
}

// NewBowApart is the record of a bow that is not in the book. Whether its number is taken is told when it is imported.
func (s *Shop) NewBowApart(bow model.Bow) (record.Record, error) {
	key, err := s.nextKey(record.Key{})
	if err != nil {
		return record.Record{}, err
	}
	bow = bow.AsKept()
	bow.ID = key.String()
	desc, err := record.Describe(bow)
	if err != nil {
		return record.Record{}, fmt.Errorf("describing the bow: %w", err)
	}
	return record.Record{Description: desc}, nil
}
