package stave

import (
	"math"

	"bendbook/model/measure"
	"bendbook/model/strung"
)

// An Answer is a bendbook/strung document. Numbers are in the units of the stave and rounded to what they
// are good for: the string's length to seven significant digits, all others to six.
type Answer struct {
	Format  string        `json:"format"`
	Version int           `json:"version"`
	Units   measure.Units `json:"units"`
	String  String        `json:"string"`
	Draws   []Draw        `json:"draws"`
}

// String is the string, and the bow braced by it. A long string braces no bow, so its brace and tension are null.
type String struct {
	// Length is between the nocks (length).
	Length float64 `json:"length"`
	// Brace is the height of the braced string over the line, at the middle of the handle (length).
	Brace *float64 `json:"brace"`
	// TensionBraced is the tension of the braced string (force).
	TensionBraced *float64 `json:"tension_braced"`
}

// Draw is the bow at one draw.
type Draw struct {
	// Draw is from the line to the hook (length), as it was asked for.
	Draw float64 `json:"draw"`
	// Force is what the scale shows (force).
	Force float64 `json:"force"`
	// Energy is the work from brace to this draw; with a long string, from where its slack is taken up (force·length).
	Energy float64 `json:"energy"`
	Upper  Limb    `json:"upper"`
	Lower  Limb    `json:"lower"`
}

// Limb is one limb at a draw.
type Limb struct {
	// Nock is its place: outwards along the line from the middle of the handle, and across it (length).
	Nock [2]float64 `json:"nock"`
	// MomentRoot is the bending moment at the root (force·length).
	MomentRoot float64 `json:"moment_root"`
}

// answer writes the braced bow and its draws down.
func (doc document) answer(all []strung.Solution) Answer {
	braced := &all[0]
	a := Answer{
		Format: "bendbook/strung", Version: version, Units: doc.units,
		String: String{Length: significant(braced.StringLength, 7)},
		Draws:  make([]Draw, 0, len(doc.draws)),
	}
	if doc.given == "length" {
		a.String.Length = braced.StringLength
	}
	if braced.Braced {
		brace, tension := braced.Brace, significant(braced.Upper.Tension, 6)
		if doc.given != "brace" {
			brace = significant(brace, 6)
		}
		a.String.Brace, a.String.TensionBraced = &brace, &tension
	}
	for i := range doc.draws {
		sol := &all[i+1]
		a.Draws = append(a.Draws, Draw{
			Draw: doc.draws[i], Force: significant(sol.Force, 6), Energy: significant(sol.Work, 6),
			Upper: limb(&sol.Upper), Lower: limb(&sol.Lower),
		})
	}
	return a
}

func limb(l *strung.LimbState) Limb {
	// Both figures of a place are good to the same length, so the smaller has no more decimals than the larger.
	unit := math.Pow(10, math.Floor(math.Log10(math.Max(math.Hypot(l.NockX, l.NockY), 1e-300)))-5)
	round := func(v float64) float64 {
		if unit >= 1 {
			return math.Round(v/unit) * unit
		}
		return math.Round(v*math.Round(1/unit)) / math.Round(1/unit)
	}
	return Limb{Nock: [2]float64{round(l.NockX), round(l.NockY)}, MomentRoot: significant(l.RootMoment, 6)}
}

// significant rounds to a number of significant decimal digits.
func significant(v float64, digits int) float64 { return roundTo(v, digits, math.Round) }

// roundTo rounds by the given function of a whole number.
func roundTo(v float64, digits int, round func(float64) float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	places := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if places >= 0 {
		unit := math.Pow(10, float64(min(places, 300)))
		return round(v*unit) / unit
	}
	unit := math.Pow(10, float64(-places))
	return round(v/unit) * unit
}
