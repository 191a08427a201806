package command

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
)

func (world *World) account(told Account, err error) error {
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

func checkCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "check [FILE]",
		Short: "Read all of a book and say what is whole and what isn't",
		Long: `Read every entry of the book, or of FILE, and of its journal. Compare them with their checksums and
with each other, and list what is wrong. Nothing is written. You can check a book that is open
elsewhere, and one that is too damaged to open. It exits with 1 if anything is wrong.`,
		Example: "  bendbook check\n  bendbook check /media/stick/bows-2027-02-01.book",
		Args:    takes(0, 1, "one file"),
		RunE: func(_ *cobra.Command, args []string) error {
			path := string(world.book)
			if len(args) == 1 {
				path = args[0]
			}
			told, err := world.Keeping.Check(path)
			if err := world.account(told, err); err != nil {
				return err
			}
			if !told.Whole() {
				return errors.New("the book is damaged; leave it as it is, and restore a copy or rescue it")
			}
			return nil
		},
	}
}

func rescueCommand(world *World) *cobra.Command {
	var to fileName
	cmd := &cobra.Command{
		Use:   "rescue FILE --to NEW",
		Short: "Make a new book from what is whole in a damaged one",
		Long: `Make the book NEW from what is whole in FILE, its journal and copies. If either FILE or its journal
is whole, every entry comes back. FILE may be gone; it is never written to. A bow whose description
is lost gets a made-up one.`,
		Example: "  bendbook rescue bows.book --to rescued.book",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 && to == "" {
				return misused(cmd, "rescue needs --to and the name of the new book")
			}
			return takes(1, 1, "one file, the damaged book")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			return world.account(world.Keeping.Rescue(args[0], string(to)))
		},
	}
	cmd.Flags().Var(&to, "to", "the new book's `file`, which must not exist yet")
	return cmd
}

func backupCommand(world *World) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:   "backup FILE | FOLDER",
		Short: "Copy the book, even while it is open, and read the copy back",
		Long: `Copy the book to FILE, or into FOLDER under its name and the day. The copy gets its name only once it
is on disk and read back whole. You can do this while the screen is open.`,
		Example: "  bendbook backup /media/stick\n  bendbook backup today.book --force",
		Args:    takes(1, 1, "the name of a file or a folder to copy to"),
		RunE: func(_ *cobra.Command, args []string) error {
			told, err := world.Keeping.Backup(string(world.book), args[0], force)
			if errors.Is(err, fs.ErrExist) {
				return fmt.Errorf("%s already exists; choose another name, or replace it with --force", args[0])
			}
			return world.account(told, err)
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "replace the file if there is one")
	return cmd
}

func restoreCommand(world *World) *cobra.Command {
	var asItWas bool
	cmd := &cobra.Command{
		Use:   "restore [FILE | DAY]",
		Short: "List the copies of the book, or put one back",
		Long: `Without an argument, list the daily copies: what is in them, and whether they are whole. With a FILE,
or the DAY of a copy, put that copy in the book's place. Bendbook reads it whole first, and lays the old
book aside. What you saved since comes back from the journal. With --as-it-was it stays in the old book.`,
		Example: "  bendbook restore\n  bendbook restore 2027-02-01\n  bendbook restore 2027-02-01 --as-it-was\n" +
			"  bendbook restore /media/stick/bows-2027-02-01.book",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 && asItWas {
				return misused(cmd, "--as-it-was needs a copy to restore")
			}
			return takes(0, 1, "one copy")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return world.account(world.Keeping.Copies(string(world.book)))
			}
			return world.account(world.Keeping.Restore(string(world.book), args[0], asItWas))
		},
	}
	cmd.Flags().BoolVar(&asItWas, "as-it-was", false, "leave out what was saved since")
	return cmd
}
