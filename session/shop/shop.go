package shop

import (
	"cmp"
	"crypto/rand"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"bendbook/model/date"
)

// Shop is a maker's book seen as bows.
type Shop struct {
	book    Book
	options Options

	mu   sync.Mutex // guards rack
	rack rowCache
	came atomic.Int64 // how many times something came to a read-only book
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
