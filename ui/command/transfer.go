package command

import (
	"errors"
	"io"

	"github.com/spf13/cobra"

	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/shop"
)

func importCommand(world *World) *cobra.Command {
	var asTable tableFlags
	cmd := &cobra.Command{
		Use:   "import FILE... | -",
		Short: "Bring bow records into the book",
		Long: `Bring bow records into the book, as JSON or JSON Lines. A bow that is in the book already gets the
entries it lacks. Importing the same record twice adds nothing. - is standard input.

With --bow the file is a table of readings, like summary --as csv. The first row has headings
such as time, kind, draw, peak, upper 6, lower 6. It shows how it reads each row. On a terminal it asks
first, and writes all of them or none.`,
		Example: "  bendbook import ash.json\n  bendbook import readings.csv --bow ash --dry-run\n" +
			"  bendbook --book old.book export | bendbook import -",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return misused(cmd, "import needs a file of bow records, or - for standard input")
			}
			return asTable.check(cmd, args)
		},
		RunE: func(_ *cobra.Command, names []string) error {
			// A name that is wrong should not be found out half-way.
			for _, name := range names {
				in, _, err := openInput(world, name)
				if err != nil {
					return err
				}
				_ = in.Close() // of standard input it does nothing
			}
			if asTable.bow != "" {
				return withShop(world, asTable.dryRun, func(s *shop.Shop) error {
					return importTable(world, s, names[0], asTable)
				})
			}
			return withShop(world, false, func(s *shop.Shop) (err error) {
				for i := 0; i < len(names) && err == nil; i++ {
					err = withInput(world, names[i], func(in io.Reader) error {
						told := func(done shop.Imported) { printMessage(world, done.String()) }
						err := s.Import(in, told)
						if errors.Is(err, errInterrupted) {
							return errors.New("interrupted; the bows listed are in the book, the others aren't")
						}
						return err
					})
				}
				return err
			})
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&asTable.bow, "bow", "", "the file is a table (CSV) of this `bow`'s readings")
	flags.BoolVar(&asTable.dryRun, "dry-run", false, "only show how a table is read, and write nothing")
	flags.BoolVar(&asTable.yes, "yes", false, "write a table's entries without asking first")
	return cmd
}

func exportCommand(world *World) *cobra.Command {
	var out outFlags
	var all bool
	cmd := &cobra.Command{
		Use:   "export [BOW]",
		Short: "Write a bow's record, or every bow's as JSON Lines",
		Long: `Write the record of one bow as JSON. With --all or no BOW, write every bow as JSON Lines, one a line.
BOW is a number, an id or the start of a name.`,
		Example: "  bendbook export ash -o ash.json\n  bendbook export --all -o shop.jsonl",
		Args: func(cmd *cobra.Command, args []string) error {
			if all && len(args) > 0 {
				return misused(cmd, "--all is every bow, but %q was given too", args[0])
			}
			return takes(0, 1, oneBow)(cmd, args)
		},
		ValidArgsFunction: completeBow(world),
		RunE: func(_ *cobra.Command, args []string) error {
			return withShop(world, true, func(s *shop.Shop) error {
				if len(args) == 0 {
					return out.write(world, "bows.jsonl", func(w io.Writer) error {
						return s.ExportAll(func(rec record.Record) error {
							return record.WriteLine(plain.JSONWriter{To: w}, rec)
						})
					})
				}
				bench, err := benchOf(s, args[0])
				if err != nil {
					return err
				}
				rec := bench.Story().Record()
				named := report.Filename(session.NameOf(rec.Bow), "bow") + ".json"
				return out.write(world, named, func(w io.Writer) error {
					return record.Write(plain.JSONWriter{To: w}, rec)
				})
			})
		},
	}
	cmd.Flags().BoolVar(&all, "all", false, "every bow, as without a BOW")
	out.add(cmd)
	return cmd
}
