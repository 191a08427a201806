package command

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/card"
	"bendbook/session/filename"
	"bendbook/session/paper"
)

func cardCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	as := formOf(paper.Cards(), paper.CardNames())
	cmd := &cobra.Command{
		Use:   "card BOW",
		Short: "Write the card that goes with a bow",
		Long: "Write what the customer should know of a bow: what it is, its number and mark, how it is kept and shot. The words\n" +
			"are the shop's own: see bendbook help settings. BOW is a number, an id or the unambiguous start of a name.",
		Example:           "  bendbook card ash --as markdown -o card.md",
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
				f, err := shop.Finishing(story)
				if err != nil {
					return err
				}
				what, _ := paper.FindCard(as.name)
				named := filename.Of(session.NameOf(bow), "bow") + "-card" + what.Ending
				return out.write(world, o, named, func(w io.Writer) error { return what.Write(w, card.Of(story, f)) })
			})
		},
	}
	cmd.Flags().Var(&as, "as", "the `form` to write: "+paper.CardNames())
	out.add(cmd)
	offer(cmd, "as", cobra.FixedCompletions(as.names, cobra.ShellCompDirectiveNoFileComp))
	return cmd
}
