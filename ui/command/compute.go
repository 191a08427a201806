package command

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/record"
	"bendbook/model/stave"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

func adviseCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "advise RECORD | -",
		Short: "Say what a bow's record shows: weight, next pull, bend, tiller, plan",
		Long: `Read one bow's record, as export writes it. Write what it says as JSON of the format bendbook/advice.
It has the weight at the ordered draw, the force-draw curve, the next pull. It has the bend against
the aim, stiff and weak places, tiller, and where to take wood. Each figure comes with its 90% range.
It reads the book only if the aim is the shape of another bow. For what finishing, first use and a
stroke take, it uses common practice; summary uses the shop's own figures.`,
		Example: "  bendbook export ash | bendbook advise -",
		Args:    takes(1, 1, oneFile),
		RunE: func(_ *cobra.Command, args []string) error {
			var rec record.Record
			if err := withInput(world, args[0], func(in io.Reader) (err error) {
				records := record.NewReader(in)
				if rec, err = records.Next(); err != nil {
					return err
				}
				if _, err := records.Next(); !errors.Is(err, io.EOF) {
					return errors.New("it holds more than one record: give the record of one bow")
				}
				return nil
			}); err != nil {
				return err
			}
			if err := verdict.Write(world.Out, rec, shapeFor(world, rec.Bow)); err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			return nil
		},
	}
}

// shapeFor is the shape of the bow in the book that the record's is to bend like; nil where it is to be like
// none. A book that can't be opened is no failure: the advice says that the bow is not there.
func shapeFor(world *World, bow model.Bow) (shape *aim.Aim) {
	if _, like := aim.LikeBow(bow.Aim.Bend); like {
		_ = withShop(world, true, func(s *shop.Shop) error {
			shape = s.Shape(bow)
			return nil
		})
	}
	return shape
}

func strungCommand(world *World) *cobra.Command {
	return &cobra.Command{
		Use:   "strung FILE | -",
		Short: "Compute the strung bow from a stave's stiffness",
		Long: `Compute the strung bow from a stave whose stiffness is known: string, brace height and tension. At
each draw it gives force, work, nocks and the moment at the limbs' roots. FILE is a JSON document of
the format bendbook/stave. The answer has the format bendbook/strung, in the same units.`,
		Example: "  bendbook strung stave.json",
		Args:    takes(1, 1, oneFile),
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
