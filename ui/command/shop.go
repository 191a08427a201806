package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bendbook/session/shop"
)

var (
	errNoTerminal  = errors.New("the screen needs a terminal; bendbook help lists commands that do without")
	errInterrupted = errors.New("interrupted") // what a command ends with that was broken off
)

func showScreen(world *World, o options) error {
	if !world.Terminal {
		return errNoTerminal
	}
	return withBook(world, o, o.readOnly, func(book shop.Book) error {
		return world.Screen(shop.Open(book, shop.Options{Now: world.Now, Place: world.Place, Dates: world.Dates}))
	})
}

func demoCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Open the screen on an invented shop, in a book that is thrown away",
		Args:  takes(0, 0, noArgument),
		RunE: func(*cobra.Command, []string) (err error) {
			if !world.Terminal {
				return errNoTerminal
			}
			book, closeBook, err := world.OpenScratchBook()
			if err != nil {
				return err
			}
			defer func() { err = besides(err, closeBook()) }()
			s := shop.Open(book, shop.Options{Now: world.Now, Place: world.Place, Dates: world.Dates})
			if err := s.Import(world.Demo(), func(shop.Imported) {}); err != nil {
				return fmt.Errorf("setting up the demo shop: %w", err)
			}
			return world.Screen(s)
		},
	}
}

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
