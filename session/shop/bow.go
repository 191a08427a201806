package shop

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"slices"

	"github.com/oklog/ulid/v2"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/record"
	"bendbook/session"
)

// Story is the story of one bow, in the units in which the shop has its bows shown.
func (s *Shop) Story(id string) (session.Story, error) {
	rec, known, err := s.book.Bow(id)
	if err != nil {
		err = unreadable(rec.Bow, err)
	}
	s.noteDamage(id, err)
	switch {
	case err != nil:
		return session.Story{}, err
	case !known:
		return session.Story{}, fmt.Errorf("%w: %s", ErrNoBow, id)
	}
	settings, _ := s.Settings() // where they can't be read, each bow is shown in its own units
	return session.Fold(rec.Description, rec.Items).ShownIn(settings.ShownUnits()), nil
}

// NewBow writes a new bow into the book, under a new id, and drops the draft that it came from; "" is none.
func (s *Shop) NewBow(bow model.Bow, draft string) (id string, err error) {
	bow.ID = ""
	if err := s.checkNumber(bow); err != nil {
		return "", err
	}
	rec, err := s.NewBowApart(bow)
	if err != nil {
		return "", err
	}
	if err := s.book.AddBow(rec, draft); err != nil {
		return "", fmt.Errorf("keeping the new bow: %w", err)
	}
	// Read it back: a figure may have been rounded on its way into the bow's units.
	if story, err := s.Story(rec.Bow.ID); err == nil {
		s.retold(story)
	}
	return rec.Bow.ID, nil
}

// NewBowApart is the record of a new bow that is not in the book; its number is checked on import.
func (s *Shop) NewBowApart(bow model.Bow) (record.Record, error) {
	key, err := s.nextKey(record.Key{})
	if err != nil {
		return record.Record{}, err
	}
	bow = bow.AsKept()
	bow.ID = key.String()
	desc, err := record.Describe(bow)
	return record.Record{Description: desc}, err
}

// nextKey is a key of this moment. It comes after last even when the clock was set back.
func (s *Shop) nextKey(last record.Key) (record.Key, error) {
	id, err := ulid.New(ulid.Timestamp(s.Now()), s.options.Entropy)
	if err != nil {
		return record.Key{}, fmt.Errorf("making an id: %w", err)
	}
	key := record.Key(id)
	if key.Compare(last) <= 0 {
		// A random step: two books that go on from the same entry must not give the same id to different ones.
		key = last.Plus(chance(key) | 1)
	}
	return key, nil
}

// chance is the random part of a new key.
func chance(key record.Key) uint64 { return binary.BigEndian.Uint64(key[8:]) }

// nextNumber is a number that no bow of the book has or ever had.
func (s *Shop) nextNumber(settings finish.Settings) (string, error) {
	rows, err := s.rows()
	var given []string
	for _, row := range rows {
		err = cmp.Or(err, row.Damage)
		given = append(given, row.Numbers...)
	}
	if err != nil {
		return "", fmt.Errorf("no number, because part of the book can't be read: %w", err)
	}
	return settings.Number.Next(given, s.Here(), s.options.Entropy)
}

// numbered are the bows of the book, other than the one with this id, that have or had one of the numbers.
func (s *Shop) numbered(numbers []string, except string) (bows []model.Bow) {
	taken := make(map[string]bool)
	for _, number := range numbers {
		taken[finish.PlainNumber(number)] = true
	}
	delete(taken, "")
	if len(taken) == 0 {
		return nil
	}
	rows, _ := s.rows()
	for _, row := range rows {
		had := func(number string) bool { return taken[finish.PlainNumber(number)] }
		if row.Bow.ID != except && slices.ContainsFunc(row.Numbers, had) {
			bows = append(bows, row.Bow)
		}
	}
	return bows
}

// checkNumber refuses a typed number that another bow has or had.
func (s *Shop) checkNumber(bow model.Bow) error {
	if by := s.numbered([]string{bow.Number}, bow.ID); len(by) > 0 {
		return &model.FieldError{Field: "number", Want: fmt.Sprintf(
			"%s is the number of %s; a number is never given twice", bow.Number, session.NameOf(by[0]))}
	}
	return nil
}
