package verdict

import (
	"errors"
	"fmt"
	"math"

	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
)

// cameOff fills in what the scrapings of the last pass took, once anything was read after them. The plan is
// that of the readings before them.
func (a *Advice) cameOff(before estimate.State) {
	removed := a.state.Removed()
	if len(removed) == 0 {
		return
	}
	wanted, why := a.wantedOfPlan()
	then, err := plan.Plan{}, errors.New(why)
	if why == "" && before.Weighed() {
		then, err = a.planOf(before, wanted, nil)
	}
	for _, r := range removed {
		s, loss := r.Scrape, r.Loss
		c := cameOff{Removed: r}
		c.Came = estimate.Figure{Estimate: taken(loss.Estimate), Low: taken(loss.Low), High: taken(loss.High)}
		if err == nil && s.To > s.From {
			c.Planned = measure.Some(taken(meanLoss(then.Cuts, s.Side, s.From, s.To)))
		}
		c.Says = a.sayCameOff(c)
		a.CameOff = append(a.CameOff, c)
	}
}

// taken is the fraction of stiffness that a loss of its logarithm takes.
func taken(loss float64) float64 { return -math.Expm1(-loss) }

// leastTold is the least planned fraction of stiffness worth a figure.
const leastTold = 0.005

// sayCameOff: Upper limb, 8–12 in: planned 6%, logged 5%, came off 5% of the thickness (3–7%).
func (a *Advice) sayCameOff(c cameOff) string {
	s := c.Scrape
	share := func(stiffness float64) float64 {
		return 100 * a.state.Bow().DepthShare(-math.Log1p(-max(stiffness, 0)))
	}
	said := fmt.Sprintf("%s limb, %s: ", session.Capital(s.Side.String()), a.places(s.From, s.To))
	if planned, known := c.Planned.Get(); known && planned >= leastTold {
		said += fmt.Sprintf("planned %.1f%%, ", share(planned))
	} else if known {
		said += "nothing planned, "
	}
	if s.Share > 0 || s.Depth > 0 || s.Strokes > 0 {
		said += fmt.Sprintf("logged %.1f%%, ", share(taken(c.Expected.Estimate)))
	}
	said += fmt.Sprintf("came off %.1f%% of the thickness (%.1f–%.1f%%)",
		share(c.Came.Estimate), share(c.Came.Low), share(c.Came.High))
	if !c.OK {
		said += ", but the readings say little of it"
	}
	return said + "."
}
