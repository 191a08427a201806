package verdict

import (
	"fmt"
	"math"
	"strings"

	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plan"
	"bendbook/session"
)

// CameOff is what one scraping of the last pass took off, against what was planned when the bow was read before it.
type CameOff struct {
	estimate.Removed
	// Planned is the fraction of the stiffness that the plan took there, in the mean of the stretch; unread where there was no plan.
	Planned measure.Optional[float64]
	// Came is what came off as a fraction of the stiffness, as the readings show it.
	Came estimate.Figure
	Says string
}

// cameOff fills in what the scrapings of the last pass took, once anything was read after them. The plan is that of the readings before them; what
// the maker changed of it, only the entries of his scrapings tell.
func (a *Advice) cameOff(story session.Story, before estimate.State) {
	removed := a.state.Removed()
	if len(removed) == 0 {
		return
	}
	then, planned := a.planThen(story, before)
	for _, r := range removed {
		s := r.Scrape
		c := CameOff{Removed: r, Came: estimate.Figure{Estimate: taken(r.Loss.Estimate), Low: taken(r.Loss.Low), High: taken(r.Loss.High)}}
		if planned && s.To > s.From {
			c.Planned = measure.Some(taken(meanLoss(then.Cuts, s.Side, s.From, s.To)))
		}
		c.Says = a.sayCameOff(c)
		a.CameOff = append(a.CameOff, c)
	}
}

// planThen is the plan that stood before the last scrapings; ok is false where none did.
func (a *Advice) planThen(story session.Story, before estimate.State) (p plan.Plan, ok bool) {
	wanted, why := a.wantedOfPlan()
	if why != "" || !before.Weighed() {
		return p, false
	}
	p, err := plan.Make(before, wanted, a.marks(story))
	return p, err == nil
}

// taken is the fraction of stiffness that a loss of its logarithm takes.
func taken(loss float64) float64 { return -math.Expm1(-loss) }

// sayCameOff: Upper limb, 8 to 12 in: planned 6 %, logged 5 %, came off 5 % (3 to 7 %).
func (a *Advice) sayCameOff(c CameOff) string {
	var parts []string
	if planned, known := c.Planned.Get(); known && planned >= leastTold {
		parts = append(parts, fmt.Sprintf("planned %s", percents(planned)))
	} else if known {
		parts = append(parts, "nothing planned")
	}
	if s := c.Scrape; s.Share > 0 || s.Depth > 0 || s.Strokes > 0 {
		parts = append(parts, fmt.Sprintf("logged %s", percents(taken(c.Expected.Estimate))))
	}
	came := percents(max(c.Came.Estimate, 0))
	low, high := 100*max(c.Came.Low, 0), 100*max(c.Came.High, 0)
	if c.OK {
		parts = append(parts, fmt.Sprintf("came off %s (%.0f to %.0f %%)", came, low, high))
	} else {
		parts = append(parts, fmt.Sprintf("came off %s (%.0f to %.0f %%), of which the readings say little", came, low, high))
	}
	return fmt.Sprintf("%s, %s: %s.", limbName(c.Scrape.Side), a.places(c.Scrape.From, c.Scrape.To), strings.Join(parts, ", "))
}

// leastTold is the least fraction of stiffness that is told in whole per cent.
const leastTold = 0.005

// percents is a fraction in whole per cent, or a tenth where it is small.
func percents(f float64) string {
	if math.Abs(f) < 0.0095 {
		return fmt.Sprintf("%.1f %%", 100*f)
	}
	return fmt.Sprintf("%.0f %%", 100*f)
}
