package command

import (
	"io"

	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/report"
)

func cardCommand(world *World, o *options) *cobra.Command {
	as := formOf(report.CardFormats())
	cmd := writeOfBow(world, o, &cobra.Command{
		Use:   "card BOW",
		Short: "Write the card that goes with a bow",
		Long: "Write what the customer should know of a bow: what it is, its number and mark, how it is kept and shot. The words\n" +
			"are the shop's own: see bendbook help settings.",
		Example: "  bendbook card ash --as markdown -o card.md",
	}, func(shop *session.Shop, story session.Story) (writing, error) {
		f, err := shop.Finishing(story)
		if err != nil {
			return writing{}, err
		}
		what, _ := report.Find(as.name)
		return writing{what.CardPart(), func(w io.Writer) error { return what.WriteCard(w, report.Card(story, f)) }}, nil
	})
	as.add(cmd)
	return cmd
}
