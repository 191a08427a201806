// Package command is the command line: which commands there are, what they take and print, and how they end. It
// opens no files and no screens itself; main hands it the ways to do so in a World.
package command

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/session"
)

// The ways in which a command ends, as exit codes.
const (
	Done     = 0
	Failed   = 1 // bad input, or a book that cannot be had
	BadUsage = 2 // wrong command, flag or argument
)

// World is what the command line takes from outside.
type World struct {
	In       io.Reader
	Out, Err io.Writer
	// Terminal says whether both In and Out are one, so that a screen can be shown.
	Terminal bool
	Version  string
	Now      func() time.Time
	Place    *time.Location // in which times are told

	// OpenBook opens the book at path for a command that reads, or writes too; path "" is the maker's own book.
	// A book that does not exist is made for one that writes. close must be called and its error told.
	OpenBook func(path string, readOnly bool) (book session.Book, close func() error, err error)
	// OpenScratchBook makes a throw-away book.
	OpenScratchBook func() (book session.Book, close func() error, err error)
	// Screen shows the shop on the terminal until the maker leaves.
	Screen func(shop *session.Shop) error
	// ReadFile opens a file to read; WriteFile makes one, or replaces it where force is set.
	ReadFile  func(name string) (io.ReadCloser, error)
	WriteFile func(name string, data []byte, force bool) error
	// Demo opens the records of the demo shop.
	Demo func() io.Reader
}

// usageError is a mistake in the command line itself.
type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// Run carries out one command line and returns its exit code. Whatever is wrong is told in one line.
func Run(world World, args []string) int {
	root := newRoot(&world)
	root.SetArgs(args)
	root.SetIn(world.In)
	root.SetOut(world.Out)
	root.SetErr(world.Err)
	err := root.Execute()
	if err == nil {
		return Done
	}
	fmt.Fprintln(world.Err, "bendbook: "+plain.Line(err.Error()))
	var usage usageError
	if errors.As(err, &usage) {
		return BadUsage
	}
	return Failed
}

// options are the flags that every command has.
type options struct {
	book     string
	readOnly bool
}

func newRoot(world *World) *cobra.Command {
	var o options
	root := &cobra.Command{
		Use:   "bendbook",
		Short: "A bowyer's book of wooden longbows, pull by pull",
		Long: "Bendbook is a bowyer's book: it keeps every pull at the tiller tree, shows both limbs pass by pass, and\n" +
			"writes the summary of a session. Without a command it opens the screen.",
		Args:          usageArgs(cobra.NoArgs),
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE:          func(*cobra.Command, []string) error { return showScreen(world, o) },
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{err} })
	root.PersistentFlags().StringVar(&o.book, "book", "", "the book's `file` (default: BENDBOOK, else bows.book in the user's data directory)")
	root.Flags().BoolVar(&o.readOnly, "read-only", false, "show the book and write nothing, also while another Bendbook has it")
	root.AddCommand(demoCommand(world), listCommand(world, &o), importCommand(world, &o), exportCommand(world, &o),
		summaryCommand(world, &o), versionCommand(world))
	root.InitDefaultHelpCmd()
	return root
}

// usageArgs makes a complaint about arguments one about usage.
func usageArgs(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if err := check(cmd, args); err != nil {
			return usageError{fmt.Errorf("%w; see bendbook help", err)}
		}
		return nil
	}
}

// withShop opens the book, does the work and closes the book.
func withShop(world *World, o options, readOnly bool, work func(*session.Shop) error) (err error) {
	book, closeBook, err := world.OpenBook(o.book, readOnly)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, closeBook()) }()
	return work(session.Open(book, session.Options{Now: world.Now}))
}

func showScreen(world *World, o options) error {
	if !world.Terminal {
		return errNoTerminal
	}
	return withShop(world, o, o.readOnly, world.Screen)
}

var errNoTerminal = errors.New("the screen needs a terminal; without one these work: list, import, export, summary, version, help")

func demoCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "demo",
		Short: "Open the screen on an invented shop, in a book that is thrown away",
		Args:  usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) (err error) {
			if !world.Terminal {
				return errNoTerminal
			}
			book, closeBook, err := world.OpenScratchBook()
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, closeBook()) }()
			shop := session.Open(book, session.Options{Now: world.Now})
			if err := shop.Import(world.Demo(), func(session.Imported) {}); err != nil {
				return fmt.Errorf("setting up the demo shop: %w", err)
			}
			return world.Screen(shop)
		},
	}
}

func versionCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Args:  usageArgs(cobra.NoArgs),
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintln(world.Out, "bendbook "+world.Version)
			return err
		},
	}
}

// completeBow offers the bows of the book for the first argument.
func completeBow(world *World, o *options) cobra.CompletionFunc {
	return func(_ *cobra.Command, args []string, start string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		var names []cobra.Completion
		// Completion has no place for an error: without a book it offers nothing.
		_ = withShop(world, *o, true, func(shop *session.Shop) error {
			rows, err := shop.Rack()
			for _, row := range rows {
				if name := plain.Line(session.NameOf(row.Bow)); strings.HasPrefix(strings.ToLower(name), strings.ToLower(start)) {
					names = append(names, name)
				}
			}
			return err
		})
		return names, cobra.ShellCompDirectiveNoFileComp
	}
}
