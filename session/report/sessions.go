package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

// howToRead explains the figures to somebody who never saw the bow at the tree.
const howToRead = "How to read the tables: a place is its distance from the handle, along the limb. The " +
	"belly is the side towards the string. A reading is its distance from the line through the handle, or the " +
	"string. With a minus it stands beyond the line. Pass 0 is the bow as it first came to the tree. Each " +
	"scraping after a reading begins the next. The peak is the most that the scale showed in a pull."

// facts say which bow it is and what is wanted of it.
func facts(story session.Story, dates date.Order) []fact {
	bow := story.Bow()
	rule := bow.Ruler()
	limbs := fmt.Sprintf("upper %s, lower %s, handle %s; %s nock to nock along the belly",
		rule.WithUnit(bow.Limbs[model.Upper].Length), rule.WithUnit(bow.Limbs[model.Lower].Length),
		rule.WithUnit(bow.Handle), rule.WithUnit(bow.Length()))
	aim := known(bow.Aim.Tiller, func(tiller measure.Length) string {
		gap := moreOrLess(rule, tiller, "%s more than the lower's", "%s less than the lower's")
		return fmt.Sprintf("braced, the upper limb's gap to the string %s at %s",
			cmp.Or(gap, "the same as the lower's"), rule.WithUnit(session.TillerAt(bow)))
	})
	all := []fact{
		{Name: "Number", Value: plain.Line(bow.Number), Told: true},
		{Name: "Order", Value: session.SayOrder(bow, dates), Told: true},
		{Name: "Wood", Value: plain.Line(bow.Wood), Told: true}, {Name: "Limbs", Value: limbs},
		{Name: "Aim", Value: aim}, {Name: "Stage", Value: story.Stage(), Told: true},
		{Name: "Lesson", Value: story.Lesson()},
	}
	return slices.DeleteFunc(all, func(f fact) bool { return f.Value == "" })
}

// session adds a part with what was done and read in one session, pass by pass.
func (d *Document) session(of Subject, sitting session.Session) {
	story := of.Story
	heading := fmt.Sprintf("Session %d%s", sitting.Number, of.sayTimes(sitting))
	d.Parts = append(d.Parts, part{Heading: heading})
	for rest := story.LinesIn(sitting); len(rest) > 0; {
		end := 1
		for end < len(rest) && rest[end].Pass == rest[0].Pass {
			end++
		}
		d.add(passBlocks(story, rest[:end], of.Readings)...)
		rest = rest[end:]
	}
}

// sayTimes is the day and the hours of a session; "" where its entries have no time.
func (s Subject) sayTimes(sitting session.Session) string {
	if sitting.From.IsZero() {
		return ""
	}
	dates, at, end := s.Finishing.Dates, sitting.From.In(s.Place), sitting.To.In(s.Place)
	said, to := ", "+dates.PrintTime(at), dates.PrintTime(end)
	switch {
	case said == ", "+to:
		return said
	case dates.Print(at) == dates.Print(end):
		to = end.Format("15:04")
	}
	return said + " to " + to
}

// passBlocks tells the lines of one pass within a session: what was done and read, the readings in tables or
// in a few words.
func passBlocks(story session.Story, lines []session.Line, readings bool) []block {
	bow, pass := story.Bow(), lines[0].Pass
	heading := fmt.Sprintf("Pass %d", pass)
	if pass == 0 {
		heading += ", the bow as it first came to the tree"
	}
	var done, void []string
	var peaks []session.Line
	var tables []block
	for _, line := range lines {
		if _, isVoid := line.Entry.What.(model.Void); isVoid {
			continue
		}
		said := sentence(session.Say(bow, line.Entry.What))
		if !line.Counts() {
			why := model.SayReason(line.Voided.Why)
			void = append(void, fmt.Sprintf("%s (void: %s).", strings.TrimSuffix(said, "."), why))
			continue
		}
		switch line.What.(type) {
		case model.Edit, model.Unknown:
			continue
		}
		if !readings {
			done = append(done, said)
			continue
		}
		if pull, isPull := line.What.(model.Pull); isPull && pull.Peak.Known() {
			peaks = append(peaks, line)
		}
		blocks, told := readBlocks(bow, line.Entry.What)
		tables = append(tables, blocks...)
		if !told {
			done = append(done, said)
		}
	}
	blocks := []block{{Heading: heading}}
	if len(done) > 0 {
		blocks = append(blocks, block{List: done})
	}
	blocks = append(blocks, tables...)
	if len(peaks) > 0 {
		blocks = append(blocks, peaksTable(story, pass, peaks))
	}
	if len(void) > 0 {
		blocks = append(blocks, block{Text: "Struck out and not counted:"}, block{List: void})
	}
	return blocks
}

// sentence gives what was said a capital and a full stop.
func sentence(said string) string {
	if said = session.Capital(said); said == "" || strings.ContainsAny(said[len(said)-1:], ".!?") {
		return said
	}
	return said + "."
}

func counting[E model.Event](lines []session.Line) []E {
	var all []E
	for line := range session.Counting(lines) {
		if e, is := line.What.(E); is {
			all = append(all, e)
		}
	}
	return all
}
