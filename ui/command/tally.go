package command

import (
	"io"

	"github.com/charmbracelet/x/ansi"
	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/page"
	"bendbook/session/paper"
)

func tallyCommand(world *World, o *options) *cobra.Command {
	return writeOfBow(world, o, &cobra.Command{
		Use:     "tally BOW",
		Short:   "Write a tally sheet to print and fill in at the tree",
		Long:    ansi.Wordwrap(page.TallySheet+" "+"It is a page (HTML) for A4 or Letter.", 110, ""),
		Example: "  bendbook tally ash -o ash-tally.html",
	}, func(_ *session.Shop, story session.Story) (writing, error) {
		return writing{paper.TallyPart, func(w io.Writer) error { return page.Tally(w, story) }}, nil
	})
}
