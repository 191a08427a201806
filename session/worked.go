package session

import (
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
)

// Strokes are all strokes that were counted, with any tool.
func (s Story) Strokes() int {
	n := 0
	for _, pass := range s.Passes {
		for _, scrape := range pass.Scrapes {
			n += scrape.Strokes.Or(0)
		}
	}
	return n
}

// SetTaken is the set from the first relaxed reading to the last: the mean of both limbs at the outermost
// station that was read both times.
func (s Story) SetTaken() measure.Optional[measure.Length] {
	pose := Pose{Kind: model.KindRelaxed, From: model.FromLine}
	var read []model.Readings
	for _, pass := range s.Passes {
		if rows, ok := pass.Reading(pose); ok {
			read = append(read, rows)
		}
	}
	if len(read) < 2 {
		return measure.Optional[measure.Length]{}
	}
	first, last := read[0], read[len(read)-1]
	sum, limbs := measure.Length(0), 0
	for _, side := range model.Sides {
		for i := min(len(first[side]), len(last[side])) - 1; i >= 0; i-- {
			before, known := first.At(side, i).Get()
			after, also := last.At(side, i).Get()
			if known && also {
				sum += after - before
				limbs++
				break
			}
		}
	}
	if limbs == 0 {
		return measure.Optional[measure.Length]{}
	}
	return measure.Some(sum / measure.Length(limbs))
}

// NocksOn says whether the horn nocks are on: a step names them, or the bow was handed over.
func (s Story) NocksOn() bool {
	return slices.ContainsFunc(s.finishes, func(done model.Finish) bool {
		return done.Step == model.HandedOver || strings.Contains(strings.ToLower(done.Step), "nock")
	})
}

// Stamped is the text that the bow was marked with last.
func (s Story) Stamped() string {
	for _, line := range slices.Backward(s.Lines) {
		if step, isStep := line.Entry.What.(model.Finish); isStep && line.Counts() && step.Text != "" {
			return step.Text
		}
	}
	return ""
}
