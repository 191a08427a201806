package line

import (
	"fmt"
	"strconv"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/say"
	"bendbook/session"
)

// Readings and passes in figures, a station a line.

func lengthOf(l float64) measure.Length { return measure.Length(l) }

// passOf is the pass that is asked for, the newest one where none is.
func (b *bench) passOf(asked string) (session.Pass, error) {
	story := b.atWork.Story()
	if asked == "" {
		return story.Pass(), nil
	}
	n, err := strconv.Atoi(asked)
	if err != nil || n < 0 || n >= len(story.Passes) {
		return session.Pass{}, refuse(say.F("%q is no pass; expected a number from 0 to %d", asked, len(story.Passes)-1))
	}
	return story.Passes[n], nil
}

// figures says all that was read in a pass.
func (b *bench) figures(asked string) error {
	pass, err := b.passOf(asked)
	if err != nil {
		return err
	}
	bow := b.bow()
	b.sayf("Pass %d.", pass.Number)
	if peaks := sayPeaks(bow, pass); peaks != "" {
		b.say(peaks + ".")
	}
	poses := pass.Poses()
	if len(poses) == 0 {
		b.say(say.It("No station was read in it."))
	}
	for _, pose := range poses {
		b.say(session.Capital(pose.Label(bow.Ruler())) + ", " + pose.Datum() + ":")
		rows, _ := pass.Reading(pose)
		for _, at := range session.Stations(bow) {
			if text := sayStation(bow, at, rows); text != "" {
				b.say(text + ".")
			}
		}
	}
	if tiller, ok := b.atWork.Story().TillerOf(pass.Number); ok {
		if off, judged := tiller.OffAim(); judged {
			b.say(spoken(say.F("Tiller, braced, pass %d: at %s %s, aim %s, %s.", tiller.Pass, bow.Ruler().WithUnit(tiller.AimAt),
				bow.Ruler().PrintSigned(off+tiller.Aim.Or(0)), bow.Ruler().PrintSigned(tiller.Aim.Or(0)), session.SayOff(bow.Ruler(), off))))
		}
	}
	return nil
}

// sayPeaks are a pass's peaks by draw: peaks: 17.5 lb at 12 in, 25.0 lb at 16 in.
func sayPeaks(bow model.Bow, pass session.Pass) string {
	var peaks []string
	for _, pull := range pass.Peaks() {
		peaks = append(peaks, session.SayPeak(bow, pull))
	}
	if len(peaks) == 0 {
		return ""
	}
	return say.F("Peaks: %s", strings.Join(peaks, ", "))
}

// sayStation is what was read at a station: 8 in: upper 1/2, lower 5/8, difference minus 1/8; "" where nothing was.
func sayStation(bow model.Bow, at session.Station, rows model.Readings) string {
	var parts []string
	for _, side := range model.Sides {
		if reading, known := rows.At(side, at.Index[side]).Get(); known {
			parts = append(parts, side.String()+" "+bow.Ruler().Print(reading))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	if difference := session.SayDifference(bow, at, rows); difference != "" {
		parts = append(parts, say.F("difference %s", difference))
	}
	return spoken(bow.Ruler().WithUnit(at.At) + ": " + strings.Join(parts, ", "))
}

// story says what each pass took off and what it weighed; or sets one beside another.
func (b *bench) story(asked string) error {
	words := strings.Fields(asked)
	switch {
	case len(words) == 0:
		for _, pass := range b.atWork.Story().Passes {
			b.sayPass(pass)
		}
		return nil
	case len(words) > 2:
		return refuse(say.It("expected one pass or two"))
	}
	pass, err := b.passOf(words[0])
	if err != nil {
		return err
	}
	beside := b.atWork.Story().Passes[max(0, pass.Number-1)]
	if len(words) == 2 {
		if beside, err = b.passOf(words[1]); err != nil {
			return err
		}
	}
	b.sayPass(pass)
	b.compare(pass, beside)
	return nil
}

// sayPass tells a pass.
func (b *bench) sayPass(pass session.Pass) {
	bow := b.bow()
	var parts []string
	for _, scrape := range pass.Scrapes {
		parts = append(parts, session.Say(bow, scrape))
	}
	if len(parts) == 0 {
		parts = append(parts, say.It("nothing taken off"))
	}
	if pass.Exercised > 0 {
		parts = append(parts, say.F("exercised %s", say.N(pass.Exercised, "%d pull", "%d pulls", pass.Exercised)))
	}
	b.sayf("Pass %d: %s.", pass.Number, strings.Join(parts, "; "))
	if peaks := sayPeaks(bow, pass); peaks != "" {
		b.say(peaks + ".")
	}
	if tiller, ok := b.atWork.Story().TillerOf(pass.Number); ok && tiller.Pass == pass.Number {
		if gap, ok := tiller.AtAim(); ok {
			b.say(spoken(say.F("Upper less lower gap at %s, braced: %s.", bow.Ruler().WithUnit(gap.At), bow.Ruler().PrintSigned(gap.Difference))))
		}
	}
	for _, line := range b.atWork.Story().LinesOf(pass) {
		if note, isNote := line.Entry.What.(model.Note); isNote && line.Counts() {
			b.say(say.F("Note: %s", plain.Line(note.Text)))
		}
	}
}

// compare says what changed from one pass to another, in each pose in which both were read.
func (b *bench) compare(pass, beside session.Pass) {
	bow := b.bow()
	shared := false
	for _, pose := range pass.Poses() {
		was, ok := beside.Reading(pose)
		if !ok || pass.Number == beside.Number {
			continue
		}
		shared = true
		now, _ := pass.Reading(pose)
		b.sayf("%s, %s, pass %d beside pass %d:", session.Capital(pose.Label(bow.Ruler())), pose.Datum(), pass.Number, beside.Number)
		for _, at := range session.Stations(bow) {
			var parts []string
			for _, side := range model.Sides {
				reading, known := now.At(side, at.Index[side]).Get()
				before, knownBefore := was.At(side, at.Index[side]).Get()
				if known && knownBefore {
					parts = append(parts, fmt.Sprintf("%s %s, %s", side, bow.Ruler().Print(reading), more(bow.Ruler(), reading-before)))
				}
			}
			if len(parts) > 0 {
				b.say(spoken(bow.Ruler().WithUnit(at.At) + ": " + strings.Join(parts, "; ") + "."))
			}
		}
	}
	if !shared {
		b.sayf("Pass %d has no reading to set beside pass %d.", pass.Number, beside.Number)
	}
}
