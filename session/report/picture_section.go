package report

import (
	"fmt"
	"math"

	"bendbook/model"
	"bendbook/session"
	"bendbook/session/verdict"
)

// sectionPicture is width and thickness at the stations where both were measured.
func sectionPicture(_ session.Story, a verdict.Advice) (p picture, ok bool) {
	bow, calliper := a.Bow, a.Bow.Calliper()
	c := chart{low: true, x: alongAxis(bow)}
	c.y.label = fmt.Sprintf("width and thickness (%s)", bow.Units.Length)
	wide := series{name: "width", look: solidLine.marked(disc)}
	thick := series{name: "thickness", look: dashedLine.marked(ring)}
	t := table{Head: []string{"limb", fmt.Sprintf("out from the handle (%s)", bow.Units.Length),
		fmt.Sprintf("width (%s)", calliper.Unit), "thickness"}}
	for _, side := range model.Sides {
		limb := bow.Limbs[side]
		for i, at := range limb.Stations[:min(len(limb.Widths), len(limb.Depths), len(limb.Stations))] {
			width, depth := limb.Widths[i], limb.Depths[i]
			if !width.Known() || !depth.Known() {
				continue
			}
			x := along(bow, side, at)
			wide.add(x, width.Or(0).In(bow.Units.Length))
			thick.add(x, depth.Or(0).In(bow.Units.Length))
			t.Rows = append(t.Rows, []string{side.String(), bow.Ruler().Print(at),
				known(width, calliper.Print), known(depth, calliper.Print)})
		}
		wide.add(0, math.NaN()) // the handle parts the limbs
		thick.add(0, math.NaN())
	}
	c.series = []series{wide, thick}
	c.fitY(true)
	says := "Width and thickness at the stations, as last measured."
	return picture{"section", "How wide and how thick is it?", says, t, c}, len(t.Rows) > 0
}
