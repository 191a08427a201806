package command

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/report/table"
	"bendbook/session/shop"
)

type tableFlags struct {
	bow         string
	dryRun, yes bool
}

func (f *tableFlags) check(cmd *cobra.Command, names []string) error {
	given := cmd.Flags().Changed("bow")
	switch {
	case given && f.bow == "":
		return misused(cmd, `--bow "": name a bow`)
	case given && len(names) > 1:
		return misused(cmd, "--bow: a table is one file, but %d were given", len(names))
	case given:
		return nil
	case f.dryRun || f.yes:
		return misused(cmd, "--dry-run and --yes are for a table, which --bow asks for")
	}
	for _, name := range names {
		if ending := strings.ToLower(filepath.Ext(name)); ending == ".csv" || ending == ".tsv" {
			return misused(cmd, "%s: a table needs --bow: whose readings are they", name)
		}
	}
	return nil
}

// importTable brings a table's rows into the book: all of them or none.
func importTable(world *World, s *shop.Shop, name string, f tableFlags) error {
	bench, err := benchOf(s, f.bow)
	if err != nil {
		return err
	}
	said := name
	if name == "-" {
		said = "standard input"
	}
	bow := bench.Story().Bow().AsKept()
	var told table.Rows
	err = withInput(world, name, func(in io.Reader) (err error) {
		told, err = table.Read(in, bow, world.Place)
		return err
	})
	if err != nil {
		return err
	}
	entries, faults := told.Entries()
	arrivals, err := bench.Look(entries)
	if err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	if err := tellRows(world, bow, told, arrivals); err != nil {
		return err
	}
	refused := faults + arrivals.Differ
	called := session.NameOf(bow)
	switch {
	case refused > 0:
		return fmt.Errorf("%s: %s of %d can't be read, so nothing was written; put them right, or take them out",
			said, plain.Plural(refused, "%d row", "%d rows", refused), len(told))
	case arrivals.New == 0:
		printMessage(world, fmt.Sprintf("%s: 0 new entries", called))
		return nil
	case f.dryRun:
		printMessage(world, fmt.Sprintf("%s: %s would be written", called, newEntries(arrivals.New)))
		return nil
	}
	if world.Terminal && !f.yes {
		if name == "-" {
			return fmt.Errorf("%s: I can't ask you for a yes after the table; nothing was written: "+
				"say --yes, or name a file", said)
		}
		if err := agreed(world, arrivals.New, called); err != nil {
			return err
		}
	}
	if err := bench.Keep(arrivals); err != nil {
		return err
	}
	printMessage(world, fmt.Sprintf("%s: %s", called, newEntries(arrivals.New)))
	return nil
}

func newEntries(n int) string { return plain.Plural(n, "%d new entry", "%d new entries", n) }

// tellRows shows what each row was taken for and what would become of it.
func tellRows(world *World, bow model.Bow, rows table.Rows, arrivals shop.Arrivals) error {
	var b strings.Builder
	next := 0
	for _, row := range rows {
		fmt.Fprintf(&b, "line %d: ", row.Line)
		if row.Fault != nil {
			fmt.Fprintf(&b, "refused: %s\n", plain.Line(row.Fault.Error()))
			continue
		}
		if at := row.Entry.At; !at.IsZero() {
			b.WriteString(at.In(world.Place).Format("2006-01-02 15:04 "))
		}
		b.WriteString(session.Say(bow, row.Entry.What))
		if row.Of > 0 {
			fmt.Fprintf(&b, ": with line %d\n", row.Of)
			continue
		}
		is := [...]string{"new", "in the book already", "refused: the book has this entry with other " +
			"figures or another time; correct it on the screen, or delete its id for a new entry"}[arrivals.Are[next]]
		fmt.Fprintf(&b, ": %s\n", is)
		next++
	}
	_, err := io.WriteString(world.Out, b.String())
	return err
}

// agreed asks on the terminal whether to write so many new entries to a bow; the error is a no.
func agreed(world *World, entries int, bow string) error {
	if _, err := fmt.Fprintf(world.Err, "Write %s to %s? [y/N] ", newEntries(entries), bow); err != nil {
		return err
	}
	line, err := bufio.NewReader(watchedReader{world.In, world.ctx}).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	if yes := strings.ToLower(strings.TrimSpace(line)); yes != "y" && yes != "yes" {
		return errors.New("nothing was written")
	}
	return nil
}
