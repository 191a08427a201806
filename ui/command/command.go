// Package command is the command line: which commands there are, what they take and print, and how they end.
// It opens no files and no screens itself; main hands it the ways to do so in a World.
package command

import (
	"cmp"
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"bendbook/session/demo"
	"bendbook/session/shop"
)

// The ways in which a command ends, as exit codes.
const (
	exitDone   = 0
	exitFailed = 1 // bad input, a book that cannot be opened, or an output that cannot be written
	exitUsage  = 2 // wrong command, flag or argument
)

// Run carries out one command line and returns its exit code. Whatever is wrong is told in one line.
func Run(world World, args []string) int {
	world.ctx = context.Background()
	out := &results{to: world.Out, name: "standard output"}
	world.Out = out
	root := newRoot(&world)
	root.SetArgs(args)
	root.SetIn(world.In)
	root.SetOut(world.Out)
	root.SetErr(world.Err)
	// Help and the like are printed without a look at what became of it.
	err := cmp.Or(root.Execute(), out.err)
	if err == nil {
		return exitDone
	}
	printMessage(&world, fmt.Sprintf("bendbook: %s", err.Error()))
	var usage usageError
	if errors.As(err, &usage) {
		return exitUsage
	}
	return exitFailed
}

func newRoot(world *World) *cobra.Command {
	root := &cobra.Command{
		Use:   "bendbook",
		Short: "A bowyer's book of wooden longbows, pull by pull",
		Long: `Bendbook is a bowyer's book: it keeps every pull at the tiller tree. It shows both limbs pass by
pass, and says what to do next. Without a command it opens the screen.

A command exits with 0 when it worked, and 1 when something went wrong. It exits with 2 when it was
called wrongly. One line on standard error says why.`,
		Example: "  bendbook demo                      look round an invented shop\n" +
			"  bendbook                           open the book\n" +
			"  bendbook summary ash -o ash.txt    write the story of a bow named ash...",
		Args:          noCommand,
		SilenceErrors: true,
		SilenceUsage:  true,
		Version:       world.Version,

		SuggestionsMinimumDistance: 2,

		RunE: func(*cobra.Command, []string) error { return showScreen(world) },
	}
	root.SetVersionTemplate("bendbook {{.Version}}\n")
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return misused(cmd, "%w", err) })
	root.PersistentFlags().Var(&world.book, "book",
		"the book's `file` (default: BENDBOOK, else bows.book in the user's data directory)")
	root.Flags().BoolVar(&world.readOnly, "read-only", false,
		"show the book and write nothing, even while another Bendbook has it")
	root.AddCommand(demoCommand(world), listCommand(world), logCommand(world),
		photoCommand(world), marksCommand(world), importCommand(world), exportCommand(world),
		summaryCommand(world), cardCommand(world), tallyCommand(world), settingsCommand(world),
		adviseCommand(world), strungCommand(world), whatIfCommand(world),
		checkCommand(world), rescueCommand(world), backupCommand(world), restoreCommand(world),
		&cobra.Command{Use: "version", Short: "Print the version", Args: takes(0, 0, noArgument),
			RunE: func(*cobra.Command, []string) error {
				_, err := fmt.Fprintf(world.Out, "bendbook %s\n", world.Version)
				return err
			}})
	addTopics(root)
	root.SetHelpCommand(helpCommand())
	root.InitDefaultCompletionCmd()
	if shells, _, err := root.Find([]string{"completion"}); err == nil {
		for _, shell := range shells.Commands() {
			shell.Args = takes(0, 0, noArgument)
		}
	}
	return root
}

var errNoTerminal = errors.New("the screen needs a full terminal; use bendbook list, " +
	"log and advise instead")

func showScreen(world *World) error {
	if !world.Terminal {
		return errNoTerminal
	}
	return withBook(world, world.readOnly, func(book shop.Book) error {
		return world.Screen(shop.Open(book, shop.Options{Now: world.Now, Place: world.Place, Dates: world.Dates}))
	})
}

func demoCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Open the screen on an invented shop, in a throw-away book",
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
			if err := s.Import(demo.Records(world.Now()), func(shop.Imported) {}); err != nil {
				return fmt.Errorf("setting up the demo shop: %w", err)
			}
			return world.Screen(s)
		},
	}
}
