package treetest

import (
	"math"
	"math/rand/v2"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/strung"
)

// A Plan says what is read in a pass and how well.
type Plan struct {
	// Stations are read on both limbs, as far as they have them; the last is at the nock.
	Stations []float64
	// Draws are the pulls, each with its peak; at LineDraws of them the line is read too.
	Draws, LineDraws []float64
	// Relaxed and Gap say that these are read: unstrung, and braced to the string.
	Relaxed, Gap bool
	// GapAt are the places of the gaps to the string where they are not the stations.
	GapAt []float64
	// Block is a block's length and BlockEvery the way between its places; 0 is none.
	Block, BlockEvery float64
	// Gauge is the error of the gauge under the block (in); 0 is 0.004.
	Gauge float64
	// BraceHeight and StringLength say that these are measured.
	BraceHeight, StringLength bool
	// Rule and Scale are the steps of rule and scale.
	Rule, Scale float64
	// Rocking says that the bow hangs in a cradle that lets the handle rock.
	Rocking bool
}

// Full is what mechanics asks of a pass: nine stations, pulls at 9, 13, 18 and 22 in with the line, peaks.
func Full(rule float64) Plan {
	return Plan{
		Stations: []float64{4, 8, 12, 16, 20, 24, 28, 32},
		Draws:    []float64{9, 13, 18, 22}, LineDraws: []float64{9, 13, 18, 22},
		BraceHeight: true, Rule: rule, Scale: 0.1,
	}
}

// Errors are those that readings by this plan are taken with.
func (p Plan) Errors() estimate.Errors {
	e := estimate.UsualErrors(p.Rule, p.Scale, p.Rocking)
	if p.Gauge > 0 {
		e.Block = p.Gauge
	}
	return e
}

// Read takes the readings of one pass. Without random numbers they have no error but that of the steps.
func (s *Stave) Read(r *rand.Rand, p Plan) estimate.Pass {
	t := taker{r: r, plan: p, stave: s}
	var pass estimate.Pass
	var hang estimate.Hang
	places := t.places()
	braced, read := s.solve(0, places)
	if p.Relaxed {
		pass.Relaxed = t.row(places, func(l *strung.LimbReadings) []float64 { return l.Relaxed }, &read, 0)
	}
	if p.BraceHeight {
		hang.Brace = t.ruled(s.Brace, 1.0/16)
	}
	if p.StringLength {
		hang.Length = t.ruled(braced.StringLength, 1.0/16)
	}
	if p.Gap {
		gaps := places
		if p.GapAt != nil {
			gaps = at(p.GapAt...)
		}
		_, read := s.solve(0, gaps)
		hang.Gap = t.row(gaps, func(l *strung.LimbReadings) []float64 { return l.Gap }, &read, 0)
	}
	if p.Block > 0 {
		hang.Blocks = []estimate.BlockRow{{Block: p.Block, Gaps: t.blocks(places, &read)}}
	}
	for _, draw := range p.Draws {
		sol, read := s.solve(draw, places)
		pull := estimate.Pull{Draw: draw, Peak: round(sol.Force+0.3*t.normal(), p.Scale)}
		if slices.Contains(p.LineDraws, draw) {
			tilt := 0.0
			if p.Rocking {
				tilt = 0.5 * math.Pi / 180 * t.normal()
			}
			pull.Line = t.row(places, func(l *strung.LimbReadings) []float64 { return l.Line }, &read, tilt)
		}
		hang.Pulls = append(hang.Pulls, pull)
	}
	pass.Hangs = []estimate.Hang{hang}
	return pass
}

// A taker takes readings; see [Stave.Read].
type taker struct {
	r     *rand.Rand
	plan  Plan
	stave *Stave
}

func (t taker) ruled(truth, sd float64) float64 {
	return round(truth+sd*t.normal(), t.plan.Rule)
}

// normal is a standard normal number.
func (t taker) normal() float64 {
	if t.r == nil {
		return 0
	}
	return t.r.NormFloat64()
}

func round(v, step float64) float64 {
	if step == 0 {
		return v
	}
	return math.Round(v/step) * step
}

// places are the stations of both limbs, their nocks, and the block's places.
func (t taker) places() strung.Places {
	var places strung.Places
	for _, side := range model.Sides {
		limb := t.stave.Limb(side)
		p := &places[side]
		for _, at := range t.plan.Stations {
			if at < limb.Length-1 {
				p.At = append(p.At, at)
			}
		}
		p.At = append(p.At, limb.Length)
		if t.plan.Block > 0 {
			p.Block = t.plan.Block
			for at := t.plan.BlockEvery; at+p.Block/2 <= limb.Length; at += t.plan.BlockEvery {
				p.BlockAt = append(p.BlockAt, at)
			}
		}
	}
	return places
}

// row reads both limbs at their stations, upper first.
func (t taker) row(p strung.Places, of func(*strung.LimbReadings) []float64, read *strung.Readings,
	tilt float64) []estimate.Reading {
	var all []estimate.Reading
	for side, places := range p {
		limb := &read[side]
		for i, at := range places.At {
			value := t.ruled(of(limb)[i]+tilt*limb.X[i], 1.0/32)
			all = append(all, estimate.Reading{Side: model.Side(side), At: at, Value: value})
		}
		tilt = -tilt
	}
	return all
}

// blocks reads the gaps under the block, by a wedge gauge.
func (t taker) blocks(p strung.Places, read *strung.Readings) []estimate.Reading {
	var all []estimate.Reading
	for side, places := range p {
		for i, at := range places.BlockAt {
			value := read[side].Block[i] + t.plan.Errors().Block*t.normal()
			all = append(all, estimate.Reading{Side: model.Side(side), At: at, Value: value})
		}
	}
	return all
}

// Estimated is what is known of the stave apart from its readings.
func (s *Stave) Estimated(p Plan) estimate.Bow {
	return estimate.Bow{
		Handle: s.Bow.Handle, Hook: s.Bow.Hook,
		Limbs: [2]estimate.Limb{{Length: s.Bow.Upper.Length}, {Length: s.Bow.Lower.Length}},
		Draw:  s.Draw, Weight: s.Weight, Errors: p.Errors(),
	}
}
