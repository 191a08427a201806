package command

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/filename"
	"bendbook/session/page"
)

func tallyCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	cmd := &cobra.Command{
		Use:   "tally BOW",
		Short: "Write a tally sheet to print and fill in at the tree",
		Long: "Write a sheet to print and fill in at the tree with a pencil: this bow's stations, in the order in which the forms\n" +
			"ask for them, so that it is typed from top to bottom afterwards. It is a page (HTML) for A4 or Letter.\n" +
			"BOW is a number, an id or the unambiguous start of a name.",
		Example:           "  bendbook tally ash -o ash-tally.html",
		Args:              oneBow(false),
		ValidArgsFunction: completeBow(world, o),
		RunE: func(_ *cobra.Command, args []string) error {
			return withShop(world, *o, true, func(_ context.Context, shop *session.Shop) error {
				bow, err := shop.Find(args[0])
				if err != nil {
					return err
				}
				story, err := shop.Story(bow.ID)
				if err != nil {
					return err
				}
				named := filename.Of(session.NameOf(story.Bow()), "bow") + "-tally.html"
				return out.write(world, o, named, func(w io.Writer) error { return page.Tally(w, story) })
			})
		},
	}
	out.add(cmd)
	return cmd
}
