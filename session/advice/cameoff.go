package advice

import (
	"fmt"
	"math"

	"bendbook/model/estimate"
	"bendbook/model/plan"
)

// CameOff is what one scraping of the last pass took off, in figures and in a sentence.
type CameOff struct {
	estimate.Removed
	Says string // Upper limb, 8 to 12 in: 5 % of the stiffness came off (4 to 7 %), 6 % were meant to.
}

// cameOff fills in what the scrapings of the last pass took off, once anything was read after them.
func (a *Advice) cameOff() {
	for _, r := range a.state.Removed() {
		a.CameOff = append(a.CameOff, CameOff{Removed: r, Says: a.sayCameOff(r)})
	}
}

// sayCameOff compares what came off with what was meant: what was planned and logged, or strokes by what they usually take.
func (a *Advice) sayCameOff(r estimate.Removed) string {
	percent := func(loss float64) float64 { return math.Round(100 * plan.Cut{Loss: loss}.Stiffness()) }
	// Nobody puts wood back: what lies below nothing in the band is nothing.
	low := max(percent(r.Loss.Low), 0)
	return fmt.Sprintf("%s, %s: %.0f %% of the stiffness came off (%.0f to %.0f %%), %.0f %% were meant to.",
		limbName(r.Scrape.Side), a.places(r.Scrape.From, r.Scrape.To), max(percent(r.Loss.Estimate), 0), low, percent(r.Loss.High), percent(r.Expected.Estimate))
}
