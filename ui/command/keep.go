package command

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
)

// Account tells what stands in a book's file, or what was made of it.
type Account interface {
	// Lines are for a reader, a thing a line.
	Lines() []string
	// Whole says whether nothing is wrong or missing.
	Whole() bool
}

// Keeping are the ways of keeping a book safe. A book's path "" is the maker's own.
type Keeping struct {
	// Check reads all of a book, whatever its state.
	Check func(path string) (Account, error)
	// Rescue brings what is whole in a book's file into a new book.
	Rescue func(from, to string) (Account, error)
	// Backup copies a book to a file; over says whether one that is there may be replaced.
	Backup func(path, to string, over bool) (Account, error)
	// Copies lists the copies of a book that were made by themselves.
	Copies func(path string) (Account, error)
	// Restore puts a copy, a file or that of a day, in the book's place.
	Restore func(path, from string) (Account, error)
}

// account prints what is told of a book.
func account(world *World, told Account, err error) error {
	if err != nil {
		return err
	}
	for _, line := range told.Lines() {
		indent := line[:len(line)-len(strings.TrimLeft(line, " "))]
		if _, err := fmt.Fprintln(world.Out, indent+plain.Line(line)); err != nil {
			return err
		}
	}
	return nil
}

func checkCommand(world *World, o *options) *cobra.Command {
	return &cobra.Command{
		Use:   "check [FILE]",
		Short: "Read all of a book and tell what is whole and what is not",
		Long: "Read every page and every entry of the book, or of FILE, compare them with their checksums, and tell what is wrong\n" +
			"and what is whole. Nothing is written. It works on a book that is open elsewhere, as it stands at that moment, and on\n" +
			"one that is too damaged to be opened. It ends with 1 where anything is wrong.",
		Example: "  bendbook check\n" +
			"  bendbook check /media/stick/bows-2027-02-01.book",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return misused(cmd, "check takes one file, but %d arguments were given", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			path := string(o.book)
			if len(args) == 1 {
				path = args[0]
			}
			told, err := world.Keeping.Check(path)
			if err := account(world, told, err); err != nil {
				return err
			}
			if !told.Whole() {
				return errors.New("the book is damaged; leave it as it is, and restore a copy, or rescue what is whole into a new book")
			}
			return nil
		},
	}
}

func rescueCommand(world *World) *cobra.Command {
	var to fileName
	cmd := &cobra.Command{
		Use:   "rescue FILE --to NEW",
		Short: "Bring all that is whole in a damaged book into a new one",
		Long: "Look through every page of FILE, a book in whatever state: cut short, overwritten in parts, with bits that have\n" +
			"flipped. Each bow, entry, half-typed form and setting that is whole is brought into the new book NEW; what is not is\n" +
			"listed. FILE stays as it is. A bow whose description is lost gets a stand-in for it.",
		Example: "  bendbook rescue bows.book --to rescued.book",
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case len(args) != 1:
				return misused(cmd, "rescue needs one file: the damaged book")
			case to == "":
				return misused(cmd, "rescue needs --to and the name of the new book")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			told, err := world.Keeping.Rescue(args[0], string(to))
			return account(world, told, err)
		},
	}
	cmd.Flags().Var(&to, "to", "the new book's `file`, where there must be none yet")
	return cmd
}

func backupCommand(world *World, o *options) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:   "backup FILE | FOLDER",
		Short: "Copy the book, also while it is open elsewhere, and read the copy back",
		Long: "Copy the book as it stands to FILE, or into FOLDER under its name and the day. The copy is written under another\n" +
			"name, brought to the disk, and read back whole before it gets its own. It works while the screen is open.",
		Example: "  bendbook backup /media/stick\n" +
			"  bendbook backup today.book --force",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused(cmd, "backup needs the name of a file or a folder to copy to")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			told, err := world.Keeping.Backup(string(o.book), args[0], force)
			if errors.Is(err, fs.ErrExist) {
				return fmt.Errorf("%s: it is there already; choose another name, or replace it with --force", args[0])
			}
			return account(world, told, err)
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "replace the file if there is one")
	return cmd
}

func restoreCommand(world *World, o *options) *cobra.Command {
	return &cobra.Command{
		Use:   "restore [FILE | DAY]",
		Short: "List the copies of the book, or put one in its place",
		Long: "Without an argument, list the copies that were made by themselves in the folder beside the book, with their days, what\n" +
			"is in them and whether they are whole. With a FILE, or the DAY of one of those, put that copy in the book's place: it\n" +
			"is read whole first, and the book that was there is laid aside beside it. What was entered since that copy is then in\n" +
			"the book that was laid aside, and only there.",
		Example: "  bendbook restore\n" +
			"  bendbook restore 2027-02-01\n" +
			"  bendbook restore /media/stick/bows-2027-02-01.book",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 1 {
				return misused(cmd, "restore takes one copy, but %d arguments were given", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				told, err := world.Keeping.Copies(string(o.book))
				return account(world, told, err)
			}
			told, err := world.Keeping.Restore(string(o.book), args[0])
			return account(world, told, err)
		},
	}
}
