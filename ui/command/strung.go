package command

import (
	"io"

	"github.com/spf13/cobra"

	"bendbook/model/stave"
)

func strungCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "strung FILE | -",
		Short: "Compute the strung bow from a stave's stiffness",
		Long: "Compute the strung bow from a stave whose stiffness is known: string, brace height and tension, and at each\n" +
			"draw the force, the work from brace, where the nocks are and the moment at the limbs' roots. FILE is one JSON\n" +
			"document of the format bendbook/stave, in in, cm or mm and lbf, kgf or N; - is standard input. The answer is\n" +
			"one of the format bendbook/strung, in the same units. The book is not touched.",
		Example: "  bendbook strung stave.json",
		Args:    oneInput("strung needs one file that describes a stave, or - for standard input"),
		RunE: func(_ *cobra.Command, args []string) error {
			var answer stave.Answer
			if err := withInput(world, args[0], func(in io.Reader) (err error) {
				answer, err = stave.Compute(in)
				return err
			}); err != nil {
				return err
			}
			return writeJSON(world.Out, answer)
		},
	}
}
