package command

import (
	"io"

	"github.com/charmbracelet/x/ansi"
	"github.com/spf13/cobra"

	"bendbook/session"
	"bendbook/session/report"
)

func tallyCommand(world *World, o *options) *cobra.Command {
	return writeOfBow(world, o, &cobra.Command{
		Use:     "tally BOW",
		Short:   "Write a tally sheet to print and fill in at the tree",
		Long:    ansi.Wordwrap(report.TallySheet+" "+"It is a page (HTML) for A4 or Letter.", 110, ""),
		Example: "  bendbook tally ash -o ash-tally.html",
	}, func(_ *session.Shop, story session.Story) (writing, error) {
		return writing{report.TallyPart, func(w io.Writer) error { return report.Tally(w, story) }}, nil
	})
}
