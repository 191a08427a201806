package command

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/session"
)

func showScreen(world *World, o options) error {
	if !world.Terminal {
		return noTerminal(world)
	}
	return withBook(world, o, o.readOnly, func(book session.Book) error {
		return world.Screen(session.Open(book, session.Options{Now: world.Now, Place: world.Place, Dates: world.Dates}))
	})
}

// needsScreen marks a command that works on a terminal only.
const needsScreen = "screen"

// noTerminal says which commands work without a terminal.
func noTerminal(world *World) error {
	var names []string
	for _, cmd := range newRoot(world).Commands() {
		if _, needs := cmd.Annotations[needsScreen]; !needs {
			names = append(names, cmd.Name())
		}
	}
	return fmt.Errorf("the screen needs a terminal; these commands work without one: %s", strings.Join(names, ", "))
}

func demoCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Open the screen on an invented shop, in a book that is thrown away",
		Long: "Open the screen on an invented shop. Its book is a throw-away one: try everything, nothing is kept and your own\n" +
			"book is not touched.",
		Args:              noArguments,
		ValidArgsFunction: cobra.NoFileCompletions,
		Annotations:       map[string]string{needsScreen: ""},
		RunE: func(*cobra.Command, []string) (err error) {
			if !world.Terminal {
				return noTerminal(world)
			}
			book, closeBook, err := world.OpenScratchBook()
			if err != nil {
				return err
			}
			defer func() { err = besides(err, closeBook()) }()
			shop := session.Open(book, session.Options{Now: world.Now, Place: world.Place, Dates: world.Dates})
			if err := shop.Import(world.Demo(), func(session.Imported) {}); err != nil {
				return fmt.Errorf("setting up the demo shop: %w", err)
			}
			return world.Screen(shop)
		},
	}
}
