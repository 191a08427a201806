package command

import (
	"context"
	"fmt"
	"io"
	"time"

	"bendbook/model/date"
	"bendbook/model/plain"
	"bendbook/session/shop"
)

// World is what the command line takes from outside.
type World struct {
	In       io.Reader
	Out, Err io.Writer
	Terminal bool // both In and Out are one, so that a screen can be shown

	Version string
	Now     func() time.Time
	Place   *time.Location // in which times are told
	Dates   date.Order     // in which the terminal's language writes days

	// Watch begins to watch for the wish to break off, after which the context is done. stop ends that.
	Watch func() (ctx context.Context, stop func())
	// OpenBook opens the book at path, "" for the maker's own, and makes it for a command that writes. close
	// must be called and its error told.
	OpenBook func(path string, readOnly bool) (book shop.Book, close func() error, err error)
	// OpenScratchBook makes a throw-away book.
	OpenScratchBook func() (book shop.Book, close func() error, err error)
	Screen          func(s *shop.Shop) error // shows the shop until the maker leaves
	ReadFile        func(name string) (io.ReadCloser, error)
	// WriteFile makes a file of what write writes: all of it or nothing.
	WriteFile func(name string, over Over, write func(io.Writer) error) error
	// Folder says whether there is a folder of that name; nil knows of none.
	Folder  func(name string) bool
	Keeping Keeping

	book     fileName        // that the command line names
	readOnly bool            // as it says
	ctx      context.Context // breaks off what waits for input
}

// Over says what may be written over.
type Over struct {
	Force bool   // a file that is there is replaced
	Book  string // but never this book; "" is the maker's own
}

// Account reports what is in a book's file, or what was done with it.
type Account interface {
	Lines() []string // a thing a line
	Whole() bool     // nothing is wrong or missing
}

// Keeping has the functions that keep a book safe. A book's path "" is the maker's own.
type Keeping struct {
	// Check reads all of a book and its journal, whatever their state, and compares them.
	Check func(path string) (Account, error)
	// Rescue makes a new book of all that is whole in a book's file, its journal and its copies.
	Rescue func(from, to string) (Account, error)
	// Backup copies a book to a file; over says whether one that is there may be replaced.
	Backup func(path, to string, over bool) (Account, error)
	// Copies lists the daily copies of a book.
	Copies func(path string) (Account, error)
	// Restore puts a copy, a file or that of a day, in the book's place; asItWas, without later entries.
	Restore func(path, from string, asItWas bool) (Account, error)
}

// A NoBookError says that there is no book at a path yet.
type NoBookError string

func (path NoBookError) Error() string {
	const begin = "begin one with bendbook, or with bendbook import"
	return fmt.Sprintf("there is no book at %s yet; %s", string(path), begin)
}

// withShop opens the book for a command without a screen, does the work and closes the book.
func withShop(world *World, readOnly bool, work func(*shop.Shop) error) error {
	ctx, stop := world.Watch()
	defer stop()
	world.ctx = ctx
	return withBook(world, readOnly, func(book shop.Book) error {
		if notice := book.Notice(); notice != "" {
			printMessage(world, notice)
		}
		return work(shop.Open(book, shop.Options{Now: world.Now, Place: world.Place}))
	})
}

func withBook(world *World, readOnly bool, work func(shop.Book) error) (err error) {
	book, closeBook, err := world.OpenBook(string(world.book), readOnly)
	if err != nil {
		return err
	}
	defer func() { err = besides(err, closeBook()) }()
	return work(book)
}

// besides is err together with what went wrong after it, in one line.
func besides(err, more error) error {
	switch {
	case err == nil:
		return more
	case more == nil:
		return err
	}
	return fmt.Errorf("%w; besides, %w", err, more)
}

func benchOf(s *shop.Shop, call string) (*shop.Bench, error) {
	bow, err := s.Find(call)
	if err != nil {
		return nil, err
	}
	return s.Bench(bow.ID)
}

// printMessage tells something beside a command's output, on standard error.
func printMessage(world *World, text string) {
	// Where standard error is gone there is nobody to tell.
	_, _ = fmt.Fprintln(world.Err, plain.Line(text))
}
