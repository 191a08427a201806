package verdict

import (
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Settings are what a maker may set.
type Settings struct {
	// Bar is what a flat spot or a hinge must have to be told.
	Bar estimate.Bar
	// StiffTips is the last part of each limb that is left stiff, and out of the comparison, until the nocks are on, where a bow's
	// description says nothing else.
	StiffTips measure.Length
	// Set is the growth of string follow in one pass that is warned of.
	Set measure.Length
	// Settling and Sanding are the weight that first use and finishing take, so that the bow must have it over its
	// order on the tree.
	Settling, Sanding measure.Force
	// Takes are the allowances that Settling and Sanding come from, with bands and counts; zero where they are common practice.
	Takes finish.Allowances
	// Strokes are what the shop's tools take; nil stands for common practice.
	Strokes Strokes
}

// Taking are the settings with the allowances that a shop learnt from its own finished bows: session.Shop.Allowances has them, with
// their bands, counts and sources.
func (s Settings) Taking(takes finish.Allowances) Settings {
	s.Sanding, s.Settling, s.Takes = takes.Sanding.Mean, takes.Settling.Mean, takes
	return s
}

// Usual are the settings to begin with; those of weight and set are common practice.
func Usual() Settings {
	return Settings{Bar: estimate.UsualBar(), StiffTips: 12, Set: 0.25, Settling: 1, Sanding: 1}
}
