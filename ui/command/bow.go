package command

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/report"
)

// writing is what a command writes of one bow: what the file is called after the bow's name, and the writing.
type writing struct {
	named string // such as "-card.md"
	write func(io.Writer) error
}

// writeOfBow makes cmd one that takes a BOW and writes of its story what of makes ready, to where -o says.
func writeOfBow(world *World, o *options, cmd *cobra.Command, of func(*session.Shop, session.Story) (writing, error)) *cobra.Command {
	var out outFlags
	cmd.Args = oneBow(false)
	cmd.ValidArgsFunction = completeBow(world, o)
	cmd.Long += "\nBOW is a number, an id or the unambiguous start of a name."
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		return withShop(world, *o, true, func(_ context.Context, shop *session.Shop) error {
			bow, err := shop.Find(args[0])
			if err != nil {
				return err
			}
			story, err := shop.Story(bow.ID)
			if err != nil {
				return err
			}
			s, err := of(shop, story)
			if err != nil {
				return err
			}
			return out.write(world, o, report.Filename(session.NameOf(story.Bow()), "bow")+s.named, s.write)
		})
	}
	out.add(cmd)
	return cmd
}
