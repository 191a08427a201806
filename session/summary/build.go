package summary

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/date"
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
	d := Document{Title: session.NameOf(bow)}
	var facts List
	fact := func(name, value string) {
		if value != "" {
			facts = append(facts, name+": "+value)
		}
	}
	rule := bow.Ruler()
	fact("Number", plain.Line(bow.Number))
	fact("Order", session.SayOrder(bow, date.ISO))
	fact("Wood", plain.Line(bow.Wood))
	fact("Limbs", fmt.Sprintf("upper %s, lower %s, handle %s; %s nock to nock along the belly",
		rule.WithUnit(bow.Limbs[model.Upper].Length), rule.WithUnit(bow.Limbs[model.Lower].Length), rule.WithUnit(bow.Handle), rule.WithUnit(bow.Length())))
	if aim, known := bow.Aim.Tiller.Get(); known {
		fact("Aim", fmt.Sprintf("braced, the upper limb's gap to the string %s at %s", sayAim(bow, aim), rule.WithUnit(session.TillerAt(bow))))
	}
	fact("Stage", story.Stage())
	if pull, pass, ok := story.Weight(); ok {
		peak, _ := pull.Peak.Get()
		fact("Weight so far", fmt.Sprintf("%s, drawn %s (pass %d)", bow.Weigher().WithUnit(peak), rule.WithUnit(pull.Draw), pass))
	}
	d.add(facts)
	if reads(story) {
		d.add(Paragraph(howToRead))
	}
	return d
}

// howToRead tells whoever never saw the bow at the tree what its figures are.
const howToRead = "How to read the figures: a place on a limb is named by how far out it is from the handle, along the limb. At such a place it is read how far " +
	"the belly, the side of the bow that faces the string, is from the straight line through the handle, or from the string; below nothing it stands " +
	"on the other side of the line. Pass 0 is the bow as it first came to the tree; each scraping after a reading begins the next. The peak is the " +
	"greatest weight that the scale showed in a pull."

// reads says whether any place of the limbs was read.
func reads(story session.Story) bool {
	return slices.ContainsFunc(story.Passes, func(p session.Pass) bool { return len(p.Poses()) > 0 })
}

// sayAim compares the upper limb's wanted gap with the lower's.
func sayAim(bow model.Bow, aim measure.Length) string {
	rule := bow.Ruler()
	switch {
	case rule.Round(aim) == 0:
		return "the same as the lower's"
	case aim > 0:
		return fmt.Sprintf("%s more than the lower's", rule.WithUnit(aim))
	}
	return fmt.Sprintf("%s less than the lower's", rule.WithUnit(-aim))
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
		said = fmt.Sprintf("%s to %s", said, to.Format("2006-01-02 15:04"))
	case from.Format("15:04") != to.Format("15:04"):
		said = fmt.Sprintf("%s to %s", said, to.Format("15:04"))
	}
	return said
}

// writePass tells what was done and read in one pass, as far as it lies in one session.
func writePass(d *Document, story session.Story, number int, lines []session.Line) {
	bow := story.Bow()
	heading := fmt.Sprintf("Pass %d", number)
	if number == 0 {
		heading = "Pass 0, the bow as it first came to the tree"
	}
	d.add(Heading{3, heading})
	var done, void List
	var peaks []model.Pull
	var tables []Block
	for _, line := range lines {
		said := sentence(session.Say(bow, line.Entry.What))
		if _, isVoid := line.Entry.What.(model.Void); isVoid {
			continue
		}
		if !line.Counts() {
			void = append(void, fmt.Sprintf("%s (void: %s).", strings.TrimSuffix(said, "."), session.SayReason(line.Voided.Why)))
			continue
		}
		switch what := line.Entry.What.(type) {
		case model.Edit, model.Unknown:
		case model.Relaxed:
			if !what.Readings.Any() {
				done = append(done, said)
				continue
			}
			tables = append(tables, readingsTable(bow, "Relaxed, from the belly to the line", what.Readings, false))
		case model.Braced:
			tables = append(tables, bracedBlocks(bow, what)...)
		case model.Pull:
			if what.Peak.Known() {
				peaks = append(peaks, what)
			}
			if what.Readings.Any() {
				caption := fmt.Sprintf("Drawn %s, from the belly to the %s", bow.Ruler().WithUnit(what.Draw), what.From)
				if held, known := what.Held.Get(); known && !what.Peak.Known() {
					caption = fmt.Sprintf("Drawn %s, held %s, from the belly to the %s", bow.Ruler().WithUnit(what.Draw), session.SayHeld(held), what.From)
				}
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

// sentence is what was said with a capital and a full stop.
func sentence(said string) string {
	first, size := utf8.DecodeRuneInString(said)
	if size == 0 {
		return ""
	}
	said = string(unicode.ToUpper(first)) + said[size:]
	if strings.HasSuffix(said, ".") || strings.HasSuffix(said, "!") || strings.HasSuffix(said, "?") {
		return said
	}
	return said + "."
}
