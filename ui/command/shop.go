package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"bendbook/session/shop"
)

// errInterrupted is what a command ends with that was broken off.
var errInterrupted = errors.New("interrupted")

// withShop opens the book for a command without a screen, does the work and closes the book. Work that waits
// for input breaks off when the context is done.
func withShop(world *World, o options, readOnly bool, work func(context.Context, *shop.Shop) error) error {
	ctx, stop := world.Watch()
	defer stop()
	return withBook(world, o, readOnly, func(book shop.Book) error {
		if notice := book.Notice(); notice != "" {
			printMessage(world, notice)
		}
		return work(ctx, shop.Open(book, shop.Options{Now: world.Now, Place: world.Place}))
	})
}

// withBook opens the book, does the work and closes the book.
func withBook(world *World, o options, readOnly bool, work func(shop.Book) error) (err error) {
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

// watchedReader is a reader that does not wait for more once its context is done.
type watchedReader struct {
	from io.Reader
	ctx  context.Context
}

// Read implements io.Reader.
func (r watchedReader) Read(p []byte) (int, error) {
	if r.ctx.Err() != nil {
		return 0, errInterrupted
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
