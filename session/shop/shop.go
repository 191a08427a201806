package shop

import (
	"crypto/rand"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math/bits"
	"sync"
	"time"

	"github.com/oklog/ulid/v2"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
)

// ErrNoBow is wrapped when a book has no bow of the name, number or id that was asked for.
var ErrNoBow = errors.New("no such bow")

// Shop is a maker's book seen as bows.
type Shop struct {
	book    Book
	now     func() time.Time
	place   *time.Location
	dates   date.Order
	entropy io.Reader

	mu   sync.Mutex // guards rack and came
	rack rowCache
	came int // how many times something came to a read-only book
}

// Options are what a Shop takes from outside; zero stands for the real clock and the system's randomness.
type Options struct {
	Now     func() time.Time
	Place   *time.Location // in which days are counted; nil is UTC
	Dates   date.Order     // in which days are told where the settings don't say; "" is ISO
	Entropy io.Reader      // of ids and of numbers' letters
}

// Open is the shop whose book is given.
func Open(book Book, o Options) *Shop {
	s := &Shop{book: book, now: o.Now, place: o.Place, dates: o.Dates, entropy: o.Entropy}
	if s.place == nil {
		s.place = time.UTC
	}
	if s.now == nil {
		s.now = time.Now
	}
	if s.entropy == nil {
		s.entropy = rand.Reader
	}
	return s
}

// Now is the shop's time.
func (s *Shop) Now() time.Time { return s.now() }

// Here is the shop's time as its own clock on the wall shows it.
func (s *Shop) Here() time.Time { return s.now().In(s.place) }

// ReadOnly says why nothing can be written; "" where writing is possible.
func (s *Shop) ReadOnly() string { return s.book.ReadOnly() }

// Notice says what opening the book had to mend; "" for nothing.
func (s *Shop) Notice() string { return s.book.Notice() }

// Refresh brings a read-only shop up to what the book's holder has written since; changed says if any.
func (s *Shop) Refresh() (changed bool, err error) {
	changed, err = s.book.Refresh()
	if changed {
		s.mu.Lock()
		defer s.mu.Unlock()
		s.rack.read = false
		s.came++
	}
	return changed, err
}

// refreshed is how many times something came to a read-only book.
func (s *Shop) refreshed() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.came
}

// Story is the story of one bow, in the units in which the shop has its bows shown.
func (s *Shop) Story(id string) (session.Story, error) {
	first, items, err := s.load(id)
	if err != nil {
		return session.Story{}, err
	}
	return session.Fold(first, items).ShownIn(s.shownUnits()), nil
}

// shownUnits are those of every bow; each is in its own where the settings cannot be read.
func (s *Shop) shownUnits() measure.Units {
	settings, _ := s.Settings()
	return settings.ShownUnits()
}

// Bench is the bench with one bow on it.
func (s *Shop) Bench(id string) (*Bench, error) {
	came := s.refreshed()
	first, items, err := s.load(id)
	if err != nil {
		return nil, err
	}
	story := session.Fold(first, items)
	return &Bench{shop: s, first: first, items: items, story: story, shown: s.shownUnits(), came: came}, nil
}

func (s *Shop) load(id string) (first record.Description, items []record.Item, err error) {
	first, ok, err := s.book.Bow(id)
	if err != nil {
		return first, nil, fmt.Errorf("reading bow %s: %w", id, err)
	}
	if !ok {
		return first, nil, fmt.Errorf("%w: %s", ErrNoBow, id)
	}
	if items, err = s.book.Items(id); err != nil {
		err = unreadable(first.Bow, err)
	}
	s.noteDamage(id, err)
	return first, items, err
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
	// As the document tells it: a number may have been rounded on its way into the bow's units.
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

// nextKey is a key of this moment that stands after last, also when the clock was set back.
func (s *Shop) nextKey(last record.Key) (record.Key, error) {
	ms := ulid.Timestamp(s.now())
	id, err := ulid.New(ms, s.entropy)
	if err != nil {
		return record.Key{}, fmt.Errorf("making an id: %w", err)
	}
	if key := record.Key(id); key.Compare(last) > 0 {
		return key, nil
	}
	return after(last, record.Key(id)), nil
}

// after is a key behind last, by a step taken from another key's random part: two books that go on from the
// same entry must not give the same id to different ones.
func after(last, random record.Key) record.Key {
	step := binary.BigEndian.Uint64(random[8:]) | 1
	low, carry := bits.Add64(binary.BigEndian.Uint64(last[8:]), step, 0)
	binary.BigEndian.PutUint64(last[8:], low)
	binary.BigEndian.PutUint64(last[:8], binary.BigEndian.Uint64(last[:8])+carry)
	return last
}
