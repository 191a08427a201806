package command

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"bendbook/session/shop"
)

var errNoTerminal = errors.New("the screen needs a terminal; bendbook help lists commands that do without")

func showScreen(world *World, o options) error {
	if !world.Terminal {
		return errNoTerminal
	}
	return withBook(world, o, o.readOnly, func(book shop.Book) error {
		return world.Screen(openShop(world, book))
	})
}

func openShop(world *World, book shop.Book) *shop.Shop {
	return shop.Open(book, shop.Options{Now: world.Now, Place: world.Place, Dates: world.Dates})
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
			s := openShop(world, book)
			if err := s.Import(world.Demo(), func(shop.Imported) {}); err != nil {
				return fmt.Errorf("setting up the demo shop: %w", err)
			}
			return world.Screen(s)
		},
	}
}
