package summary

import (
	"fmt"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// Whole is the summary of a bow's whole story. Times are told in the given place's time.
func Whole(story session.Story, place *time.Location) Document {
	d := head(story)
	for _, sitting := range story.Sessions {
		writeSession(&d, story, sitting, place)
	}
	if len(story.Sessions) == 0 {
		d.add(Paragraph("Nothing has been entered yet."))
	}
	return d
}

// One is the summary of one session, by its number from 1.
func One(story session.Story, number int, place *time.Location) (Document, error) {
	if number < 1 || number > len(story.Sessions) {
		return Document{}, fmt.Errorf("there is no session %d; %s has %s", number, session.NameOf(story.Bow()), countSessions(story))
	}
	d := head(story)
	writeSession(&d, story, story.Sessions[number-1], place)
	return d, nil
}

func countSessions(story session.Story) string {
	switch n := len(story.Sessions); n {
	case 0:
		return "no session yet"
	case 1:
		return "one session"
	default:
		return fmt.Sprintf("sessions 1 to %d", n)
	}
}

// head tells which bow it is and what is wanted of it.
func head(story session.Story) Document {
	bow := story.Bow()
	d := Document{Title: plain.Line(session.NameOf(bow))}
	var facts List
	fact := func(name, value string) {
		if value != "" {
			facts = append(facts, name+": "+value)
		}
	}
	rule := bow.Ruler()
	fact("Number", plain.Line(bow.Number))
	fact("Order", session.SayOrder(bow))
	fact("Wood", plain.Line(bow.Wood))
	fact("Limbs", fmt.Sprintf("upper %s, lower %s, handle %s; %s nock to nock along the belly",
		rule.WithUnit(bow.Limbs[model.Upper].Length), rule.WithUnit(bow.Limbs[model.Lower].Length), rule.WithUnit(bow.Handle), rule.WithUnit(bow.Length())))
	if aim, known := bow.Aim.Tiller.Get(); known {
		fact("Aim", fmt.Sprintf("upper gap less lower gap %s at %s, braced", rule.WithUnit(aim), rule.WithUnit(bow.Aim.TillerAt.Or(8))))
	}
	fact("Stage", story.Stage())
	if pull, pass, ok := story.Weight(); ok {
		fact("Weight so far", fmt.Sprintf("%s (pass %d)", session.SayPeak(bow, pull), pass))
	}
	d.add(facts)
	return d
}

func writeSession(d *Document, story session.Story, sitting session.Session, place *time.Location) {
	d.add(Heading{2, fmt.Sprintf("Session %d%s", sitting.Number, sayTimes(sitting, place))})
	if sitting.Number > 1 {
		d.add(changes(story, sitting)...)
	}
	lines := story.LinesIn(sitting)
	for begin := 0; begin < len(lines); {
		end := begin
		for end < len(lines) && lines[end].Pass == lines[begin].Pass {
			end++
		}
		writePass(d, story, lines[begin].Pass, lines[begin:end])
		begin = end
	}
}

// sayTimes is the day and the hours of a session; "" where its entries say no time.
func sayTimes(sitting session.Session, place *time.Location) string {
	if sitting.From.IsZero() {
		return ""
	}
	from, to := sitting.From.In(place), sitting.To.In(place)
	said := ", " + from.Format("2006-01-02 15:04")
	switch {
	case from.Format(time.DateOnly) != to.Format(time.DateOnly):
		said += to.Format(" to 2006-01-02 15:04")
	case from.Format("15:04") != to.Format("15:04"):
		said += to.Format(" to 15:04")
	}
	return said
}

// writePass tells what was done and read in one pass, as far as it lies in one session.
func writePass(d *Document, story session.Story, number int, lines []session.Line) {
	bow := story.Bow()
	heading := fmt.Sprintf("Pass %d", number)
	if number == 0 {
		heading += ", the bow as it first came to the tree"
	}
	d.add(Heading{3, heading})
	var done, void List
	var peaks []model.Pull
	var tables []Block
	for _, line := range lines {
		said := sentence(session.Say(bow, line.Entry.What))
		if !line.Counts() {
			void = append(void, strings.TrimSuffix(said, ".")+" (void: "+orNoReason(line.Voided.Why)+").")
			continue
		}
		switch what := line.Entry.What.(type) {
		case model.Void, model.Edit, model.Unknown:
		case model.Relaxed:
			tables = append(tables, readingsTable(bow, "Relaxed, to the line", what.Readings, false))
		case model.Braced:
			tables = append(tables, bracedBlocks(bow, what)...)
		case model.Pull:
			if what.Peak.Known() {
				peaks = append(peaks, what)
			}
			if what.Readings.Any() {
				caption := fmt.Sprintf("Drawn %s, to the %s", bow.Ruler().WithUnit(what.Draw), what.From)
				tables = append(tables, readingsTable(bow, caption, what.Readings, false))
			}
			if !what.Peak.Known() && !what.Readings.Any() {
				done = append(done, said)
			}
		default:
			done = append(done, said)
		}
	}
	if len(done) > 0 {
		d.add(done)
	}
	d.add(tables...)
	if len(peaks) > 0 {
		d.add(peaksTable(story, number, peaks))
	}
	if len(void) > 0 {
		d.add(Paragraph("Struck out and not counted:"), void)
	}
}

func bracedBlocks(bow model.Bow, braced model.Braced) []Block {
	var blocks []Block
	caption := "Braced"
	if height, known := braced.Height.Get(); known {
		caption += " at " + bow.Ruler().WithUnit(height)
	}
	if !braced.Readings.Any() {
		blocks = append(blocks, Paragraph(caption+"."))
	} else {
		blocks = append(blocks, readingsTable(bow, fmt.Sprintf("%s, to the %s", caption, braced.From), braced.Readings, braced.From == model.FromString))
		if braced.From == model.FromString {
			blocks = append(blocks, tillerWords(bow, braced.Readings)...)
		}
	}
	if block := braced.Block; block != nil && block.Gaps.Any() {
		table := Table{Caption: "Gap under a block of " + bow.Ruler().WithUnit(block.Length), Head: []string{"at", "upper", "lower"}}
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
	tiller := session.Tiller{Gaps: session.Gaps(bow, rows), Aim: measure.Some(aim), AimAt: bow.Aim.TillerAt.Or(8)}
	off, ok := tiller.OffAim()
	if !ok {
		return nil
	}
	said := fmt.Sprintf("Tiller at %s: upper less lower %s, wanted %s", rule.WithUnit(tiller.AimAt),
		rule.PrintSigned(off+aim), rule.PrintSigned(aim))
	switch {
	case rule.Round(off) == 0:
		said += ": as wanted."
	case off > 0:
		said += fmt.Sprintf(": the lower limb is stiff by %s.", rule.WithUnit(off))
	default:
		said += fmt.Sprintf(": the upper limb is stiff by %s.", rule.WithUnit(-off))
	}
	return []Block{Paragraph(said)}
}

// readingsTable is one walk round the bow, a row a station.
func readingsTable(bow model.Bow, caption string, rows model.Readings, difference bool) Table {
	rule := bow.Ruler()
	table := Table{Caption: fmt.Sprintf("%s (%s):", caption, bow.Units.Length), Head: []string{"at", "upper", "lower"}}
	if difference {
		table.Head = append(table.Head, "upper - lower")
	}
	gaps := make(map[measure.Length]string)
	for _, gap := range session.Gaps(bow, rows) {
		gaps[gap.At] = rule.PrintSigned(gap.Difference)
	}
	for _, place := range session.Stations(bow) {
		row := []string{rule.Print(place.At)}
		read := false
		for _, side := range model.Sides {
			reading := measure.Optional[measure.Length]{}
			if i := place.Index[side]; i >= 0 {
				reading = rows.At(side, i)
			}
			read = read || reading.Known()
			row = append(row, session.SayReading(bow, reading))
		}
		if difference {
			row = append(row, gaps[place.At])
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
		table.Rows = append(table.Rows, row)
	}
	return table
}

func sayFine(bow model.Bow, gap measure.Optional[measure.Length]) string {
	if l, known := gap.Get(); known {
		return bow.Calliper().Print(l)
	}
	return "-"
}

func sentence(said string) string {
	if said == "" {
		return ""
	}
	return strings.ToUpper(said[:1]) + said[1:] + "."
}

func orNoReason(why string) string {
	if why = plain.Line(why); why != "" {
		return why
	}
	return "no reason given"
}
