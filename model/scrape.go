package model

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Scrape is wood taken off the belly of one limb between two places.
type Scrape struct {
	Limb       Side
	From, To   measure.Length // from the root
	Tool       string
	Strokes    measure.Optional[int]
	Depth      measure.Optional[measure.Length] // how much came off
	DepthShare measure.Optional[float64]        // the same as a fraction of the depth there
}

func (Scrape) Kind() Kind { return "scrape" }

func (e *Scrape) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.Length("from", &e.From)
	c.Length("to", &e.To)
	c.Text("tool", &e.Tool)
	c.MaybeCount("strokes", &e.Strokes)
	c.MaybeLength("depth", &e.Depth)
	c.MaybeNumber("depth_share", &e.DepthShare)
}

func (e Scrape) Say(of Bow) string {
	rule := of.Ruler()
	parts := []string{fmt.Sprintf("scraped %s limb, %s to %s", e.Limb, rule.Print(e.From), rule.WithUnit(e.To))}
	if e.Tool != "" {
		parts = append(parts, plain.Line(e.Tool))
	}
	if strokes, known := e.Strokes.Get(); known {
		parts = append(parts, plain.Plural(strokes, "%d stroke", "%d strokes", strokes))
	}
	if depth, known := e.Depth.Get(); known {
		parts = append(parts, fmt.Sprintf("%s deep", of.Calliper().WithUnit(depth)))
	}
	if share, known := e.DepthShare.Get(); known {
		parts = append(parts, fmt.Sprintf("%.1f%% of the thickness", 100*share))
	}
	return strings.Join(parts, ", ")
}

func (e Scrape) check(of Bow) error {
	if err := of.checkStretch(e.Limb, e.From, e.To); err != nil {
		return err
	}
	switch share := e.DepthShare.Or(0); {
	case e.Strokes.Or(0) < 0:
		return Fault("strokes", "type how many strokes")
	case !(share >= 0 && share < 1):
		return Fault("depth_share", "write a fraction of the depth, from 0 to under 1")
	}
	return cmp.Or(of.checkLength("depth", e.Depth.Or(0), 0, thickestLimb),
		checkText("tool", e.Tool, LongestName))
}

// UsualTool is what is taken for the tool before any was named, as a record has it.
const UsualTool = "scraper"
