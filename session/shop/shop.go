package shop

import (
	"cmp"
	"crypto/rand"
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"bendbook/model/date"
	"bendbook/model/finish"
)

// Shop is a maker's book seen as bows.
type Shop struct {
	book    Book
	options Options

	mu   sync.Mutex // guards rack
	rack rowCache
	came atomic.Int64 // how many times something came to a read-only book

	sitting sitting
}

// sitting is what was done since the shop was opened, and what of it was undone, the last last. What was done
// on a bow stands in the bow's own record; settings and drafts are known here only.
type sitting struct {
	done, undone []deed
	just         bool // the last thing was not an undo
}

// deed is a thing done in this sitting. On a bow's record it is no more than that something was.
type deed struct {
	bow        string // its id; "" for none
	says       string
	undo, redo func() error // nil for what stands in the bow's record
}

func (s *sitting) did(d deed) { s.done, s.undone, s.just = append(s.done, d), nil, true }

// Options are what a Shop takes from outside; zero stands for the real clock and the system's randomness.
type Options struct {
	Now     func() time.Time
	Place   *time.Location // in which days are counted; nil is UTC
	Dates   date.Order     // of days, where the settings don't say; "" is ISO
	Entropy io.Reader      // of ids and of numbers' letters
}

// Open is the shop whose book is given.
func Open(book Book, o Options) *Shop {
	if o.Now == nil {
		o.Now = time.Now
	}
	o.Place, o.Dates = cmp.Or(o.Place, time.UTC), cmp.Or(o.Dates, date.ISO)
	o.Entropy = cmp.Or(o.Entropy, rand.Reader)
	return &Shop{book: book, options: o}
}

// Now is the shop's time.
func (s *Shop) Now() time.Time { return s.options.Now() }

// Here is the shop's time as its own clock on the wall shows it.
func (s *Shop) Here() time.Time { return s.Now().In(s.options.Place) }

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
		s.came.Add(1)
	}
	return changed, err
}

// Settings are the shop's practice as kept last; common practice where none was, or with the error.
func (s *Shop) Settings() (finish.Settings, error) {
	doc, kept, err := s.book.Settings()
	if err != nil {
		return finish.Usual(), fmt.Errorf("reading the shop's settings: %w", err)
	}
	if !kept {
		return finish.Usual(), nil
	}
	settings, err := finish.Parse(doc)
	if err != nil {
		return finish.Usual(), fmt.Errorf("the shop's settings in the book: %w", err)
	}
	return settings, nil
}

// Dates is DatesOf by the settings in the book; where they can't be read, the terminal's language decides.
func (s *Shop) Dates() date.Order {
	settings, _ := s.Settings()
	return s.DatesOf(settings)
}

// DatesOf is how dates are written, by the shop's settings or else by the terminal's language.
func (s *Shop) DatesOf(settings finish.Settings) date.Order {
	if settings.Dates != finish.DatesAsTerminal {
		return settings.Dates
	}
	return s.options.Dates
}
