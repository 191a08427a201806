package command

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/card"
	"bendbook/session/filename"
	"bendbook/session/paper"
)

func cardCommand(world *World, o *options) *cobra.Command {
	var out outFlags
	as := cardForm("text")
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
				what, _ := paper.FindCard(string(as))
				named := filename.Of(session.NameOf(bow), "bow") + "-card" + what.Ending
				return out.write(world, o, named, func(w io.Writer) error { return what.Write(w, card.Of(story, f)) })
			})
		},
	}
	cmd.Flags().Var(&as, "as", "the `form` to write: "+paper.CardNames())
	out.add(cmd)
	offer(cmd, "as", cobra.FixedCompletions(names(paper.Cards()), cobra.ShellCompDirectiveNoFileComp))
	return cmd
}

// cardForm is the flag --as of the card, the name of a form.
type cardForm string

// String implements pflag.Value.
func (f *cardForm) String() string { return string(*f) }

// Type implements pflag.Value.
func (f *cardForm) Type() string { return "form" }

// Set implements pflag.Value.
func (f *cardForm) Set(name string) error {
	if _, ok := paper.FindCard(name); !ok {
		return errors.New("expected " + paper.CardNames())
	}
	*f = cardForm(name)
	return nil
}
