package command

import (
	"fmt"

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
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) != 1 {
				return misused(cmd, "strung needs one file that describes a stave, or - for standard input")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			in, said, err := openInput(world, args[0])
			if err != nil {
				return err
			}
			// Nothing was written through it, so closing it cannot lose anything.
			defer func() { _ = in.Close() }()
			answer, err := stave.Compute(decoded(in))
			if err != nil {
				return fmt.Errorf("%s: %w", said, err)
			}
			return writeJSON(world.Out, answer)
		},
	}
}
