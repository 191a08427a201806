package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"bendbook/model/record"
	"bendbook/session"
)

// errInterrupted is what a command ends with that was broken off.
var errInterrupted = errors.New("interrupted")

// withShop opens the book for a command without a screen, does the work and closes the book. The work breaks off
// between two steps when the world wants it to.
func withShop(world *World, o options, readOnly bool, work func(context.Context, *session.Shop) error) (err error) {
	ctx, stop := world.Watch()
	defer stop()
	return withBook(world, o, readOnly, func(book session.Book) error {
		return work(ctx, session.Open(watchedBook{book, ctx}, session.Options{Now: world.Now, Place: world.Place}))
	})
}

// withBook opens the book, does the work and closes the book.
func withBook(world *World, o options, readOnly bool, work func(session.Book) error) (err error) {
	book, closeBook, err := world.OpenBook(string(o.book), readOnly)
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

// watchedBook is a book that does nothing more once its context is done. What it was doing then is done whole.
type watchedBook struct {
	session.Book
	ctx context.Context
}

func interrupted(ctx context.Context) error {
	if ctx.Err() != nil {
		return errInterrupted
	}
	return nil
}

// Bows implements session.Book.
func (b watchedBook) Bows(visit func(record.Description) error) error {
	return b.Book.Bows(func(desc record.Description) error {
		if err := interrupted(b.ctx); err != nil {
			return err
		}
		return visit(desc)
	})
}

// Bow implements session.Book.
func (b watchedBook) Bow(id string) (record.Description, bool, error) {
	if err := interrupted(b.ctx); err != nil {
		return record.Description{}, false, err
	}
	return b.Book.Bow(id)
}

// Items implements session.Book.
func (b watchedBook) Items(bow string) ([]record.Item, error) {
	if err := interrupted(b.ctx); err != nil {
		return nil, err
	}
	return b.Book.Items(bow)
}

// Rows implements session.Book.
func (b watchedBook) Rows(visit func(bow string, entries int, row []byte) error) error {
	return b.Book.Rows(func(bow string, entries int, row []byte) error {
		if err := interrupted(b.ctx); err != nil {
			return err
		}
		return visit(bow, entries, row)
	})
}

// AddBow implements session.Book.
func (b watchedBook) AddBow(rec record.Record, draft string) error {
	if err := interrupted(b.ctx); err != nil {
		return err
	}
	return b.Book.AddBow(rec, draft)
}

// AddItems implements session.Book.
func (b watchedBook) AddItems(bow string, items []record.Item, draft string) error {
	if err := interrupted(b.ctx); err != nil {
		return err
	}
	return b.Book.AddItems(bow, items, draft)
}

// watchedReader is a reader that does not wait for more once its context is done.
type watchedReader struct {
	from io.Reader
	ctx  context.Context
}

// Read implements io.Reader.
func (r watchedReader) Read(p []byte) (int, error) {
	if err := interrupted(r.ctx); err != nil {
		return 0, err
	}
	type answer struct {
		data []byte
		err  error
	}
	come := make(chan answer, 1)
	go func() {
		// Its own memory, for it may be written to after this call has returned.
		data := make([]byte, len(p))
		n, err := r.from.Read(data)
		come <- answer{data[:n], err}
	}()
	select {
	case a := <-come:
		return copy(p, a.data), a.err
	case <-r.ctx.Done():
		return 0, errInterrupted
	}
}
