package command

import (
	"bytes"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bendbook/model/record"
	"bendbook/session"
)

func importCommand(world *World, o *options) *cobra.Command {
	return &cobra.Command{
		Use:   "import FILE... | -",
		Short: "Bring bow records into the book",
		Long: "Bring bow records (JSON, or JSON Lines with a record a line) into the book. A bow that the book has gets\n" +
			"the entries that it lacks; importing the same record again adds nothing. - is standard input.",
		Args: usageArgs(cobra.MinimumNArgs(1)),
		RunE: func(_ *cobra.Command, names []string) error {
			return withShop(world, *o, false, func(shop *session.Shop) error {
				for _, name := range names {
					if err := importFile(world, shop, name); err != nil {
						return err
					}
				}
				return nil
			})
		},
	}
}

func importFile(world *World, shop *session.Shop, name string) error {
	in, said := io.NopCloser(world.In), "standard input"
	if name != "-" {
		file, err := world.ReadFile(name)
		if err != nil {
			return err
		}
		in, said = file, name
	}
	// Nothing was written through it, so closing it cannot lose anything.
	defer func() { _ = in.Close() }()
	err := shop.Import(in, func(done session.Imported) { printMessage(world, done.String()) })
	if err != nil {
		return fmt.Errorf("%s: %w", said, err)
	}
	return nil
}

func exportCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	cmd := &cobra.Command{
		Use:   "export [BOW]",
		Short: "Write a bow's record, or every bow's as JSON Lines",
		Long: "Write the record of one bow as a JSON document, or of every bow as JSON Lines.\n" +
			"BOW is a number, an id or the unambiguous start of a name.",
		Args:              usageArgs(cobra.MaximumNArgs(1)),
		ValidArgsFunction: completeBow(world, o),
		RunE: func(_ *cobra.Command, args []string) error {
			return withShop(world, *o, true, func(shop *session.Shop) error {
				var b bytes.Buffer
				if len(args) == 0 {
					if out.file == "" {
						return shop.ExportAll(func(rec record.Record) error { return record.WriteLine(world.Out, rec) })
					}
					if err := shop.ExportAll(func(rec record.Record) error { return record.WriteLine(&b, rec) }); err != nil {
						return err
					}
					return out.write(world, b.Bytes())
				}
				bow, err := shop.Find(args[0])
				if err != nil {
					return err
				}
				rec, err := shop.Export(bow.ID)
				if err != nil {
					return err
				}
				if err := record.Write(&b, rec); err != nil {
					return err
				}
				return out.write(world, b.Bytes())
			})
		},
	}
	out.add(cmd)
	return cmd
}

// outFlags say where a command writes to.
type outFlags struct {
	file  string
	force bool
}

func (f *outFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVarP(&f.file, "output", "o", "", "write to this `file` instead of standard output")
	cmd.Flags().BoolVar(&f.force, "force", false, "replace the file if there is one")
}

func (f *outFlags) write(world *World, data []byte) error {
	if f.file == "" || f.file == "-" {
		_, err := world.Out.Write(data)
		return err
	}
	return world.WriteFile(f.file, data, f.force)
}
