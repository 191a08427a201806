package report

import (
	"cmp"
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// readBlocks are the tables of what an event read; told is false for one that a sentence has to tell.
func readBlocks(bow model.Bow, what model.Event) (blocks []block, told bool) {
	rule := bow.Ruler()
	switch e := what.(type) {
	case model.Edit, model.Unknown:
		return nil, true
	case model.Relaxed:
		if e.Readings.Any() {
			return []block{readingsTable(bow, "Relaxed, from the belly to the line", e.Readings, false)}, true
		}
	case model.Braced:
		return bracedBlocks(bow, e), true
	case model.Pull:
		if !e.Readings.Any() {
			return nil, e.Peak.Known()
		}
		caption := fmt.Sprintf("Drawn %s, from the belly to the %s", rule.WithUnit(e.Draw), e.From)
		if held, known := e.Held.Get(); known && !e.Peak.Known() {
			caption = fmt.Sprintf("Drawn %s, held %s, from the belly to the %s",
				rule.WithUnit(e.Draw), session.SayHeld(held), e.From)
		}
		return []block{readingsTable(bow, caption, e.Readings, false)}, true
	}
	return nil, false
}

// bracedBlocks tell one braced reading: the gaps, the tiller that they show, and the block if there is one.
func bracedBlocks(bow model.Bow, e model.Braced) []block {
	rule := bow.Ruler()
	caption, gap := "Braced", "Gap"
	if height, known := e.Height.Get(); known {
		caption = "Braced at " + rule.WithUnit(height)
	}
	var blocks []block
	hasBlock := e.Block != nil && e.Block.Gaps.Any()
	toString := e.From == model.FromString
	switch {
	case e.Readings.Any():
		caption = fmt.Sprintf("%s, from the belly to the %s", caption, e.From)
		blocks = append(blocks, readingsTable(bow, caption, e.Readings, toString))
		if tiller := sayTiller(bow, e.Readings); toString && tiller != "" {
			blocks = append(blocks, block{Text: tiller})
		}
	case hasBlock && !e.Height.Known():
		gap = "Braced, gap"
	default:
		blocks = append(blocks, block{Text: caption + "."})
	}
	if !hasBlock {
		return blocks
	}
	table := Table{Head: []string{"out", "upper", "lower"}}
	table.Caption = fmt.Sprintf("%s under a block of %s (%s):",
		gap, rule.WithUnit(e.Block.Length), bow.Calliper().Unit)
	for i, at := range e.Block.At {
		row := []string{rule.WithUnit(at)}
		for _, side := range model.Sides {
			row = append(row, or(e.Block.Gaps.At(side, i), bow.Calliper().Print)) // too thin for the rule
		}
		table.Rows = append(table.Rows, row)
	}
	return append(blocks, block{Table: &table})
}

// sayTiller holds the difference between the limbs against the aim; "" where either is missing.
func sayTiller(bow model.Bow, rows model.Readings) string {
	rule := bow.Ruler()
	aim, known := bow.Aim.Tiller.Get()
	tiller := session.TillerIn(bow, rows)
	off, ok := tiller.OffAim()
	if !known || !ok {
		return ""
	}
	said := fmt.Sprintf("Tiller at %s: upper gap less lower gap ", rule.WithUnit(tiller.AimAt))
	wanted := fmt.Sprintf("%s, wanted %s: the upper gap is ", rule.PrintSigned(off+aim), signed(rule, aim))
	switch {
	case rule.Round(off) == 0:
		return said + signed(rule, off+aim) + ", as wanted."
	case off > 0:
		return said + wanted + rule.WithUnit(off) + " too large."
	}
	return said + wanted + rule.WithUnit(-off) + " too small."
}

// readingsTable is one walk round the bow, a row a station.
func readingsTable(bow model.Bow, caption string, rows model.Readings, difference bool) block {
	caption = fmt.Sprintf("%s (%s):", caption, bow.Units.Length)
	table := Table{Caption: caption, Head: []string{"out", "upper", "lower"}}
	if difference {
		table.Head = append(table.Head, "upper - lower")
	}
	for _, at := range session.Stations(bow) {
		upper, lower := rows.At(model.Upper, at.Index[model.Upper]), rows.At(model.Lower, at.Index[model.Lower])
		if !upper.Known() && !lower.Known() {
			continue
		}
		row := []string{bow.Ruler().Print(at.At), session.SayReading(bow, upper), session.SayReading(bow, lower)}
		if difference {
			row = append(row, session.SayDifference(bow, at, rows))
		}
		table.Rows = append(table.Rows, row)
	}
	return block{Table: &table}
}

// peaksTable sets the pass's peaks beside those at the same draws in the pass before.
func peaksTable(story session.Story, pass int, peaks []model.Pull) block {
	bow := story.Bow()
	scale := bow.Weigher()
	table := Table{Caption: fmt.Sprintf("Peaks (%s):", bow.Units.Force.Symbol()), Head: []string{"draw", "peak"}}
	if pass > 0 {
		table.Head = append(table.Head, fmt.Sprintf("pass %d", pass-1), "change")
	}
	held := slices.ContainsFunc(peaks, func(pull model.Pull) bool { return pull.Held.Known() })
	if held {
		table.Head = append(table.Head, "held")
	}
	for _, pull := range peaks {
		peak := pull.Peak.Or(0)
		row := []string{bow.Ruler().WithUnit(pull.Draw), scale.Print(peak)}
		if pass > 0 {
			before, known := story.Passes[pass-1].Peak(pull.Draw).Get()
			if known {
				row = append(row, scale.Print(before), scale.PrintSigned(peak-before))
			} else {
				row = append(row, "-", "")
			}
		}
		if held {
			row = append(row, or(pull.Held, session.SayHeld))
		}
		table.Rows = append(table.Rows, row)
	}
	return block{Table: &table}
}

// or says a value, or "-" where it isn't known.
func or[T any](v measure.Optional[T], say func(T) string) string {
	return cmp.Or(known(v, say), "-")
}

// signed is a length with its sign and its unit.
func signed(rule measure.Rule, l measure.Length) string {
	return rule.PrintSigned(l) + " " + string(rule.Unit)
}
