package command

import (
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/say"
	"bendbook/session"
	"bendbook/ui/line"
)

func showScreen(world *World, o options) error {
	if o.plain {
		return withBook(world, o, o.readOnly, func(book session.Book) error {
			return talk(world, session.Open(book, session.Options{Now: world.Now, Place: world.Place}))
		})
	}
	if !world.Terminal {
		return noTerminal(world)
	}
	return withBookAhead(world, o, o.readOnly, func(book session.Book) error {
		return world.Screen(session.Open(book, session.Options{Now: world.Now, Place: world.Place, Dates: world.Dates}))
	})
}

// talk asks and answers line by line. A signal ends it as the end of the input does.
func talk(world *World, shop *session.Shop) error {
	ctx, stop := world.Watch()
	defer stop()
	return line.Run(ctx, line.Desk{Shop: shop, Place: world.Place, Typed: world.InTerminal, ASCII: world.ASCII, Save: world.Save}, world.In, world.Out)
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
	return say.Errorf("the screen needs a terminal; without one bendbook --plain works, and so do these: %s", strings.Join(names, ", "))
}

func demoCommand(world *World) *cobra.Command {
	var plain bool
	cmd := &cobra.Command{
		Use:   "demo",
		Short: say.It("Open the screen on an invented shop, in a book that is thrown away"),
		Long: say.It("Open the screen on an invented shop. Its book is a throw-away one: try everything, nothing is kept and your own\n" +
			"book is not touched."),
		Args:              noArguments,
		ValidArgsFunction: cobra.NoFileCompletions,
		Annotations:       map[string]string{needsScreen: ""},
		RunE: func(*cobra.Command, []string) (err error) {
			if !world.Terminal && !plain {
				return noTerminal(world)
			}
			book, closeBook, err := world.OpenScratchBook()
			if err != nil {
				return err
			}
			defer func() { err = besides(err, closeBook()) }()
			shop := session.Open(book, session.Options{Now: world.Now, Place: world.Place, Dates: world.Dates})
			if err := shop.Import(world.Demo(), func(session.Imported) {}); err != nil {
				return say.Errorf("setting up the demo shop: %w", err)
			}
			if plain {
				return talk(world, shop)
			}
			return world.Screen(shop)
		},
	}
	cmd.Flags().BoolVar(&plain, "plain", false, say.It("ask and answer line by line, without a screen"))
	return cmd
}
