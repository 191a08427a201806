package verdict

import (
	"fmt"
	"math"

	"bendbook/model/estimate"
)

// cause is a fit's likely cause as the document spells it, and the question that it puts to the bowyer.
func (a Advice) cause(fit estimate.Fit) (name, asks string) {
	size := a.length(math.Abs(fit.Size.Estimate))
	switch fit.Cause {
	case estimate.Support:
		return "support", fmt.Sprintf("Does the tree or cradle give? By about %s at 40 lb.", size)
	case estimate.Draw:
		return "draw", fmt.Sprintf("Is the draw measured from the right place? It looks about %s off.", size)
	case estimate.Settling:
		return "settling", "The bow lost weight from pull to pull: let it rest."
	case estimate.Direction:
		return "direction", "Come to each draw from the same side: pull on to it, don't ease back to it."
	case estimate.ByString:
		return "string", "Check the brace height and the string."
	case estimate.ByReading:
		return "reading", "Some readings are rougher than your rule or scale."
	}
	return "", ""
}

// sayFit says that the readings don't fit a bow as well as they should, and why; "" where they do.
func (a Advice) sayFit() string {
	fit := a.state.Fit()
	if fit.Good || !a.Read || a.contradiction {
		return ""
	}
	_, asks := a.cause(fit)
	said := "This pass's readings don't fit one bow well, so ranges are wider."
	if asks != "" {
		said += " " + asks
	}
	return said
}
