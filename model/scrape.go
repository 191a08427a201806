package model

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/model/plain"
)

// Scrape is wood taken off one limb between two places.
type Scrape struct {
	Limb       Side
	From, To   measure.Length // from the root
	Tool       string
	Strokes    measure.Optional[int]
	Depth      measure.Optional[measure.Length] // how much came off
	DepthShare measure.Optional[float64]        // the same as a fraction of the depth there
	Face       string                           // one of Faces; "" is the belly
}

// Faces are what a record may name beside the belly; left and right are seen from there.
func Faces() []string { return []string{"left", "right", "sides", "facets"} }

func (Scrape) Kind() Kind { return "scrape" }

func (e Scrape) Work(Bow) Work {
	w := Work{Begins: true, Tiller: true, Moves: e.Face == "left" || e.Face == "right"}
	if !e.TookNothing() {
		w.Since = "wood came off"
	}
	return w
}

// TookNothing says whether no wood came off, by the surest figure given for it.
func (e Scrape) TookNothing() bool {
	if share, known := e.DepthShare.Get(); known {
		return share == 0
	}
	if depth, known := e.Depth.Get(); known {
		return depth == 0
	}
	return e.Strokes == measure.Some(0)
}

func (e *Scrape) Fields(c Codec) {
	c.Side("limb", &e.Limb)
	c.Length("from", &e.From)
	c.Length("to", &e.To)
	c.Text("tool", &e.Tool)
	c.MaybeCount("strokes", &e.Strokes)
	c.MaybeLength("depth", &e.Depth)
	c.MaybeNumber("depth_share", &e.DepthShare)
	c.Text("face", &e.Face)
}

func (e Scrape) Say(of Bow) string {
	rule := of.Ruler()
	parts := []string{fmt.Sprintf("scraped %s limb, %s to %s", e.Limb, rule.Print(e.From), rule.WithUnit(e.To))}
	if e.Face != "" {
		parts[0] += ", " + e.Face
	}
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
		checkText("tool", e.Tool, LongestName), oneOf("face", e.Face, Faces()...))
}

// UsualTool is what is taken for the tool before any was named, as a record has it.
const UsualTool = "scraper"
