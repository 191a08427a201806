// Package stave computes the strung bow from a document: a stave with its stiffness in, the bow braced and
// drawn out. The documents are the project's own, bendbook/stave and bendbook/strung, both JSON:
//
//	{"format": "bendbook/stave", "version": 1, "units": {"length": "in", "force": "lbf"}, "handle": 4,
//	 "limbs": {"upper": {"length": 34, "at": [0, 17, 34], "stiffness": [60000, 33000, 6000],
//	   "rest_bend": null}, "lower": {}},
//	 "string": {"brace": 6}, "draws": [8, 12, 28]}
//
// Places are distances from the root along the limb, the first 0 and the last the limb's length; stiffness
// (force·length²) and rest bend (1/length) are linear between them. A lower limb that is left out or empty is
// the upper one over again. The string is given by its length or by the brace height at the middle of the
// handle. Draws are from the belly line to the hook. The answer is in the units of the document.
package stave

import (
	"io"
	"math"

	"bendbook/model/measure"
	"bendbook/model/strung"
)

// An Answer is a bendbook/strung document in the stave's units, rounded to what it is good for.
type Answer struct {
	Format  string        `json:"format"`
	Version int           `json:"version"`
	Units   measure.Units `json:"units"`
	// String is the string, and the bow that it braces; a long one braces none: both are null.
	String struct {
		Length        float64  `json:"length"` // between the nocks
		Brace         *float64 `json:"brace"`  // over the line, at the middle of the handle
		TensionBraced *float64 `json:"tension_braced"`
	} `json:"string"`
	Draws []drawn `json:"draws"`
}

// drawn is the bow at one draw.
type drawn struct {
	Draw   float64 `json:"draw"`   // from the line to the hook, as it was asked for
	Force  float64 `json:"force"`  // what the scale shows
	Energy float64 `json:"energy"` // the work from brace; with a long string, from where its slack is taken up
	Upper  bent    `json:"upper"`
	Lower  bent    `json:"lower"`
}

// bent is one limb at a draw: the place of its nock, outwards from the middle of the handle and across the
// line, and the bending moment at its root.
type bent struct {
	Nock       [2]float64 `json:"nock"`
	MomentRoot float64    `json:"moment_root"`
}

// Compute reads one stave document and solves its bow. The error is a *[model.FieldError] whatever is wrong
// with the document; only a failure to read is passed on as it comes.
func Compute(r io.Reader) (Answer, error) {
	doc, err := read(r)
	if err != nil {
		return Answer{}, err
	}
	all, err := doc.solve()
	if err != nil {
		return Answer{}, err
	}
	return doc.answer(all), nil
}

// answer writes the braced bow and its draws down.
func (doc document) answer(all []strung.Solution) Answer {
	braced := &all[0]
	a := Answer{Format: "bendbook/strung", Version: version, Units: doc.units, Draws: []drawn{}}
	a.String.Length = significant(braced.StringLength, 7)
	if doc.given == "length" {
		a.String.Length = braced.StringLength
	}
	if braced.Braced {
		a.String.Brace = new(significant(braced.Brace, 6))
		a.String.TensionBraced = new(significant(braced.Upper.Tension, 6))
		if doc.given == "brace" {
			*a.String.Brace = braced.Brace
		}
	}
	for i, draw := range doc.draws {
		sol := &all[i+1]
		a.Draws = append(a.Draws, drawn{
			Draw: draw, Force: significant(sol.Force, 6), Energy: significant(sol.Work, 6),
			Upper: bentLimb(&sol.Upper), Lower: bentLimb(&sol.Lower),
		})
	}
	return a
}

func bentLimb(l *strung.LimbState) bent {
	// Both figures of a place are good to the same length: they have the same decimals.
	decimals := 5 - magnitude(math.Hypot(l.NockX, l.NockY))
	nock := [2]float64{rounded(l.NockX, decimals, math.Round), rounded(l.NockY, decimals, math.Round)}
	return bent{Nock: nock, MomentRoot: significant(l.RootMoment, 6)}
}
