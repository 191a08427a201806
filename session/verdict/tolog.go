package verdict

import (
	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plan"
)

// ScrapeOf is the entry that a cut makes when it is done. Where strokes are told they are what is counted at the bench, and the depth is left to
// the readings: so the shop learns on what a stroke takes.
func (a Advice) ScrapeOf(c plan.Cut) model.Scrape {
	r := a.RemovalOf(c)
	e := model.Scrape{Limb: c.Side, From: measure.Length(c.From), To: measure.Length(c.To), Tool: a.Tool(), Strokes: r.Strokes}
	if r.Strokes.Known() {
		return e
	}
	e.DepthShare = measure.Some(r.DepthShare)
	if depth, known := r.Depth.Get(); known {
		e.Depth = measure.Some(measure.Length(depth))
	}
	return e
}
