package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// readBlocks returns tables of what an event read. told is false where it takes a sentence to tell it.
func readBlocks(bow model.Bow, what model.Event) (blocks []block, told bool) {
	switch e := what.(type) {
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
		held := ""
		if !e.Peak.Known() { // else the peak's table says how long
			held = known(e.Held, func(d time.Duration) string { return ", held " + session.SayHeld(d) })
		}
		caption := fmt.Sprintf("Drawn to %s%s, from the belly to the %s",
			bow.Ruler().WithUnit(e.Draw), held, e.From)
		return []block{readingsTable(bow, caption, e.Readings, false)}, true
	}
	return nil, false
}

// bracedBlocks tells a braced reading: the gaps, the tiller they show, and the gaps under a block.
func bracedBlocks(bow model.Bow, e model.Braced) []block {
	rule, calliper := bow.Ruler(), bow.Calliper() // gaps under a block are too thin for the rule
	caption := "Braced" + known(e.Height, func(l measure.Length) string { return " at " + rule.WithUnit(l) })
	gap := "Gap"
	hasBlock := e.Block != nil && e.Block.Gaps.Any()
	var blocks []block
	switch {
	case e.Readings.Any():
		caption = fmt.Sprintf("%s, from the belly to the %s", caption, e.From)
		toString := e.From == model.FromString
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
	t := table{
		Caption: fmt.Sprintf("%s under a block of %s (%s):", gap, rule.WithUnit(e.Block.Length), calliper.Unit),
		Head:    []string{"out", "upper", "lower"},
	}
	for i, at := range e.Block.At {
		upper, lower := e.Block.Gaps.At(model.Upper, i), e.Block.Gaps.At(model.Lower, i)
		row := []string{rule.WithUnit(at), dashed(upper, calliper.Print), dashed(lower, calliper.Print)}
		t.Rows = append(t.Rows, row)
	}
	return append(blocks, block{Table: &t})
}

// sayTiller compares the difference between the limbs with the aim; "" where either is missing.
func sayTiller(bow model.Bow, rows model.Readings) string {
	rule := bow.Ruler()
	aim, known := bow.Aim.Tiller.Get()
	tiller := session.TillerIn(bow, rows)
	off, ok := tiller.OffAim()
	if !known || !ok {
		return ""
	}
	said := fmt.Sprintf("Tiller at %s (upper − lower): ", rule.WithUnit(tiller.AimAt))
	wrong := moreOrLess(rule, off, "%s too large", "%s too small")
	if wrong == "" {
		return said + signed(rule, off+aim) + ", as wanted."
	}
	return said + fmt.Sprintf("%s, wanted %s: the upper gap is %s.",
		rule.PrintSigned(off+aim), signed(rule, aim), wrong)
}

// moreOrLess says by how much something is longer or shorter; "" where the rule shows no difference.
func moreOrLess(rule measure.Rule, l measure.Length, longer, shorter string) string {
	switch l = rule.Round(l); {
	case l > 0:
		return fmt.Sprintf(longer, rule.WithUnit(l))
	case l < 0:
		return fmt.Sprintf(shorter, rule.WithUnit(-l))
	}
	return ""
}

// readingsTable is one walk round the bow, a row a station.
func readingsTable(bow model.Bow, caption string, rows model.Readings, difference bool) block {
	t := table{
		Caption: fmt.Sprintf("%s (%s):", caption, bow.Units.Length), Head: []string{"out", "upper", "lower"},
	}
	if difference {
		t.Head = append(t.Head, "upper − lower")
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
		t.Rows = append(t.Rows, row)
	}
	return block{Table: &t}
}

// peaksTable sets the pass's peaks beside those at the same draws in the pass before.
func peaksTable(story session.Story, pass int, lines []session.Line) block {
	bow := story.Bow()
	scale := bow.Weigher()
	t := table{Head: []string{"draw", "peak"},
		Caption: fmt.Sprintf("Peaks%s (%s):", bow.Rig.AtTheHook(), bow.Units.Force.Symbol())}
	if pass > 0 {
		t.Head = append(t.Head, fmt.Sprintf("pass %d", pass-1), "change")
	}
	pulls := counting[model.Pull](lines)
	held := slices.ContainsFunc(pulls, func(pull model.Pull) bool { return pull.Held.Known() })
	if held {
		t.Head = append(t.Head, "held")
	}
	long := slices.ContainsFunc(pulls, func(pull model.Pull) bool { return pull.String == model.LongString })
	if long {
		t.Head = append(t.Head, "string")
	}
	for i, pull := range pulls {
		peak := pull.Peak.Or(0)
		row := []string{bow.Ruler().WithUnit(pull.Draw), scale.Print(peak)}
		if pass > 0 {
			before := story.Passes[pass-1].Peak(pull.Draw, lines[i].On)
			change := func(was measure.Force) string { return scale.PrintSigned(peak - was) }
			row = append(row, dashed(before, scale.Print), known(before, change))
		}
		if held {
			row = append(row, dashed(pull.Held, session.SayHeld))
		}
		if long {
			row = append(row, cmp.Or(string(pull.String), string(model.BracedString)))
		}
		t.Rows = append(t.Rows, row)
	}
	return block{Table: &t}
}

func signed(rule measure.Rule, l measure.Length) string {
	return rule.PrintSigned(l) + " " + string(rule.Unit)
}
