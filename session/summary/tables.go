package summary

import (
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// bracedBlocks tell one braced reading: the gaps, the tiller that they show, and the block where one was laid on.
func bracedBlocks(bow model.Bow, braced model.Braced) []Block {
	var blocks []Block
	caption := "Braced"
	if height, known := braced.Height.Get(); known {
		caption = fmt.Sprintf("Braced at %s", bow.Ruler().WithUnit(height))
	}
	blockHead := "Gap"
	hasBlock := braced.Block != nil && braced.Block.Gaps.Any()
	switch {
	case !braced.Readings.Any() && hasBlock && !braced.Height.Known():
		blockHead = "Braced, gap"
	case !braced.Readings.Any():
		blocks = append(blocks, Paragraph(caption+"."))
	default:
		blocks = append(blocks, readingsTable(bow, fmt.Sprintf("%s, from the belly to the %s", caption, braced.From), braced.Readings, braced.From == model.FromString))
		if braced.From == model.FromString {
			blocks = append(blocks, tillerWords(bow, braced.Readings)...)
		}
	}
	if block := braced.Block; hasBlock {
		table := Table{
			Caption: fmt.Sprintf("%s under a block of %s (%s):", blockHead, bow.Ruler().WithUnit(block.Length), bow.Calliper().Unit),
			Head:    []string{"out", "upper", "lower"},
		}
		for i, at := range block.At {
			row := []string{bow.Ruler().WithUnit(at)}
			for _, side := range model.Sides {
				row = append(row, sayFine(bow, block.Gaps.At(side, i)))
			}
			table.Rows = append(table.Rows, row)
		}
		blocks = append(blocks, table)
	}
	return blocks
}

// tillerWords tell the difference between the limbs at the aim's station against the aim.
func tillerWords(bow model.Bow, rows model.Readings) []Block {
	rule := bow.Ruler()
	aim, known := bow.Aim.Tiller.Get()
	if !known {
		return nil
	}
	tiller := session.TillerIn(bow, rows)
	off, ok := tiller.OffAim()
	if !ok {
		return nil
	}
	at, measured, wanted := rule.WithUnit(tiller.AimAt), off+aim, signedWithUnit(bow, aim)
	said := fmt.Sprintf("Tiller at %s: upper gap less lower gap %s, as wanted.", at, signedWithUnit(bow, measured))
	switch {
	case rule.Round(off) == 0:
	case off > 0:
		said = fmt.Sprintf("Tiller at %s: upper gap less lower gap %s, wanted %s: the upper gap is %s too large.", at, rule.PrintSigned(measured), wanted, rule.WithUnit(off))
	default:
		said = fmt.Sprintf("Tiller at %s: upper gap less lower gap %s, wanted %s: the upper gap is %s too small.", at, rule.PrintSigned(measured), wanted, rule.WithUnit(-off))
	}
	return []Block{Paragraph(said)}
}

// readingsTable is one walk round the bow, a row a station.
func readingsTable(bow model.Bow, caption string, rows model.Readings, difference bool) Table {
	rule := bow.Ruler()
	table := Table{Caption: fmt.Sprintf("%s (%s):", caption, bow.Units.Length), Head: []string{"out", "upper", "lower"}}
	if difference {
		table.Head = append(table.Head, "upper - lower")
	}
	for _, place := range session.Stations(bow) {
		row := []string{rule.Print(place.At)}
		read := false
		for _, side := range model.Sides {
			reading := rows.At(side, place.Index[side])
			read = read || reading.Known()
			row = append(row, session.SayReading(bow, reading))
		}
		if difference {
			row = append(row, session.SayDifference(bow, place, rows))
		}
		if read {
			table.Rows = append(table.Rows, row)
		}
	}
	return table
}

// peaksTable sets the pass's peaks beside those at the same draws in the pass before.
func peaksTable(story session.Story, pass int, peaks []model.Pull) Table {
	bow := story.Bow()
	table := Table{Caption: fmt.Sprintf("Peaks (%s):", bow.Units.Force.Symbol()), Head: []string{"draw", "peak"}}
	if pass > 0 {
		table.Head = append(table.Head, fmt.Sprintf("pass %d", pass-1), "change")
	}
	held := slices.ContainsFunc(peaks, func(pull model.Pull) bool { return pull.Held.Known() })
	if held {
		table.Head = append(table.Head, "held")
	}
	for _, pull := range peaks {
		peak, _ := pull.Peak.Get()
		row := []string{bow.Ruler().WithUnit(pull.Draw), bow.Weigher().Print(peak)}
		if pass > 0 {
			before, known := story.Passes[pass-1].Peak(pull.Draw).Get()
			if known {
				row = append(row, bow.Weigher().Print(before), bow.Weigher().PrintSigned(peak-before))
			} else {
				row = append(row, "-", "")
			}
		}
		if held {
			row = append(row, sayHeld(pull.Held))
		}
		table.Rows = append(table.Rows, row)
	}
	return table
}

// sayHeld is how long a pull was held, by the clock.
func sayHeld(held measure.Optional[time.Duration]) string {
	if d, known := held.Get(); known {
		return session.SayHeld(d)
	}
	return "-"
}

// sayFine is what is too thin for the rule, as a calliper shows it.
func sayFine(bow model.Bow, gap measure.Optional[measure.Length]) string {
	if l, known := gap.Get(); known {
		return bow.Calliper().Print(l)
	}
	return "-"
}
