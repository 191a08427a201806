package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/report"
)

func importCommand(world *World, o *options) *cobra.Command {
	var asTable tableFlags
	cmd := &cobra.Command{
		Use:   "import FILE... | -",
		Short: "Bring bow records into the book",
		Long: "Bring bow records (JSON, or JSON Lines with a record a line) into the book. A bow that the book has gets\n" +
			"the entries that it lacks; importing the same record again adds nothing. - is standard input.\n\n" +
			"With --bow the file is a table (CSV) of that bow's readings, as summary --as csv writes it or as a spreadsheet user\n" +
			"makes it: a first row of headings such as time, kind, draw, peak, upper 6, lower 6, and a row for each pull or walk\n" +
			"round the bow. What each row was taken for is shown, with the reason for any that is refused; then all of them\n" +
			"are written or none. On a terminal it asks first.",
		Example: "  bendbook import ash.json\n" +
			"  bendbook import readings.csv --bow ash --dry-run\n" +
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
				if err := tryFile(world, name); err != nil {
					return err
				}
			}
			if asTable.bow != "" {
				return withShop(world, *o, asTable.dryRun, func(ctx context.Context, shop *session.Shop) error {
					return importTable(ctx, world, shop, names[0], asTable)
				})
			}
			return withShop(world, *o, false, func(ctx context.Context, shop *session.Shop) error {
				for _, name := range names {
					if err := importFile(ctx, world, shop, name); err != nil {
						return err
					}
				}
				return nil
			})
		},
	}
	asTable.add(cmd)
	offer(cmd, "bow", completeBow(world, o))
	return cmd
}

func importFile(ctx context.Context, world *World, shop *session.Shop, name string) error {
	in, said, err := openInput(world, name)
	if err != nil {
		return err
	}
	// Nothing was written through it, so closing it cannot lose anything.
	defer func() { _ = in.Close() }()
	read, bows := &counter{Reader: in}, 0
	bar := newProgress(world, "bows", sizeOf(in))
	err = shop.Import(decoded(watchedReader{read, ctx}), func(done session.Imported) {
		bar.clear()
		printMessage(world, done.String())
		bows++
		bar.at(read.n, bows)
	})
	bar.clear()
	switch {
	case errors.Is(err, errInterrupted):
		return fmt.Errorf("%s: interrupted; the bows that were told of are in the book, the others are not", said)
	case err != nil:
		return fmt.Errorf("%s: %w", said, err)
	}
	return nil
}

// openInput opens a file, or standard input for -, and says what to call it.
func openInput(world *World, name string) (in io.ReadCloser, said string, err error) {
	if name == "-" {
		return io.NopCloser(world.In), "standard input", nil
	}
	if in, err = world.ReadFile(name); err != nil {
		return nil, name, fmt.Errorf("%s: %w; expected a file that can be read, or - for standard input", name, cause(err))
	}
	return in, name, nil
}

// withInput reads the text of a file, or of standard input for -; what is wrong with it is told with its name.
func withInput(world *World, name string, read func(in io.Reader) error) error {
	in, said, err := openInput(world, name)
	if err != nil {
		return err
	}
	// Nothing was written through it, so closing it cannot lose anything.
	defer func() { _ = in.Close() }()
	if err := read(decoded(in)); err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	return nil
}

// oneInput asks for exactly one file, or - for standard input.
func oneInput(missing string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return misused(cmd, "%s", missing)
		}
		return nil
	}
}

// decoded is a text in UTF-8. One that begins with a mark of its encoding, as some editors and shells write it, is
// read in that.
func decoded(in io.Reader) io.Reader {
	return transform.NewReader(in, unicode.BOMOverride(transform.Nop))
}

// tryFile says whether a file can be read at all.
func tryFile(world *World, name string) error {
	in, _, err := openInput(world, name)
	if err != nil || name == "-" {
		return err
	}
	return in.Close()
}

func exportCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	var all bool
	cmd := &cobra.Command{
		Use:   "export [BOW]",
		Short: "Write a bow's record, or every bow's as JSON Lines",
		Long: "Write the record of one bow as a JSON document, or of every bow as JSON Lines, one a line: with --all, or where no\n" +
			"bow is named. A book of any size takes no more memory than its largest bow.\n" +
			"BOW is a number, an id or the unambiguous start of a name.",
		Example: "  bendbook export ash -o ash.json\n" +
			"  bendbook export --all -o shop.jsonl",
		Args: func(cmd *cobra.Command, args []string) error {
			if all && len(args) > 0 {
				return misused(cmd, "--all is every bow, but %q was given too", args[0])
			}
			return oneBow(true)(cmd, args)
		},
		ValidArgsFunction: completeBow(world, o),
		RunE: func(_ *cobra.Command, args []string) error {
			return withShop(world, *o, true, func(_ context.Context, shop *session.Shop) error {
				named := "bows.jsonl"
				write := func(w io.Writer) error { return exportAll(world, shop, w) }
				if len(args) == 1 {
					bow, err := shop.Find(args[0])
					if err != nil {
						return err
					}
					rec, err := shop.Export(bow.ID)
					if err != nil {
						return err
					}
					named = report.Filename(session.NameOf(rec.Bow), "bow") + ".json"
					write = func(w io.Writer) error { return record.Write(w, rec) }
				}
				return out.write(world, o, named, func(w io.Writer) error {
					if world.OutTerminal {
						w = asciiJSON{w}
					}
					return write(w)
				})
			})
		},
	}
	cmd.Flags().BoolVar(&all, "all", false, "every bow, as without a BOW")
	out.add(cmd)
	return cmd
}

// exportAll writes every bow's record, one a line, each as soon as it is read.
func exportAll(world *World, shop *session.Shop, w io.Writer) error {
	total := 0
	if world.ErrTerminal {
		// What cannot be counted is told of when it is read.
		total, _ = shop.Count()
	}
	bar, bows := newProgress(world, fmt.Sprintf("of %d bows", total), int64(total)), 0
	defer bar.clear()
	return shop.ExportAll(func(rec record.Record) error {
		bows++
		bar.at(int64(bows), bows)
		return record.WriteLine(w, rec)
	})
}
