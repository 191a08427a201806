package command

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/advice"
)

func adviseCommand(world *World, o *options) *cobra.Command {
	return &cobra.Command{
		Use:   "advise RECORD | -",
		Short: "Say what a bow's record says: weight to come, next pull, bend, tiller, plan",
		Long: "Read one bow's record and write what it says now as a JSON document of the format bendbook/advice: the weight at\n" +
			"the ordered draw, the force-draw curve, how far the next pull may go, how the limbs bend against the aim, flat\n" +
			"spots and hinges, the tiller, each with its 90 % band, and what the readings do not show; what to take off which\n" +
			"stretch of which limb, and whether the bow is done. RECORD is a file as export writes it; - is standard input.\n" +
			"The book is not touched; it is read where the aim is the shape of another bow. What finishing, first use and a stroke\n" +
			"take is common practice here, for a record alone names no shop: summary tells a bow of the book by the shop's own.",
		Example: "  bendbook export ash | bendbook advise -",
		Args:    oneInput("advise needs one bow record, or - for standard input"),
		RunE: func(_ *cobra.Command, args []string) error {
			var rec record.Record
			if err := withInput(world, args[0], func(in io.Reader) (err error) {
				records := record.NewReader(in)
				if rec, err = records.Next(); err != nil {
					return err
				}
				if _, err := records.Next(); !errors.Is(err, io.EOF) {
					return errors.New("it holds more than one record; expected that of one bow")
				}
				return nil
			}); err != nil {
				return err
			}
			if err := advice.Write(world.Out, rec, shapeFor(world, *o, rec.Bow)); err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			return nil
		},
	}
}

// shapeFor is the shape of the bow in the book that the record's is to bend like; nil where it is to be like none. A book
// that cannot be had is no failure: the advice says that the bow is not there.
func shapeFor(world *World, o options, bow model.Bow) (shape *aim.Aim) {
	if _, like := aim.LikeBow(bow.Aim.Bend); like {
		_ = withShop(world, o, true, func(_ context.Context, shop *session.Shop) error {
			shape = advice.ShapeFor(shop, bow)
			return nil
		})
	}
	return shape
}
