package verdict

import (
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
)

const (
	peaksApart  = 0.03 // two peaks at one draw that agree no more, unless they are within peakSlack
	leastPoses  = 2    // that were read in a pass before a bow is called even
	measureFrom = 0.6  // of the ordered draw: nearer in, a longer pull shows more than a block
)

// noOrder asks for the order, without which there is neither a stop line nor a plan.
func (m *moment) noOrder() (Verdict, bool) {
	v := Verdict{Do: Tell, Word: "ORDER?", Most: m.longest, Say: "Type the order: what weight, at what draw?",
		Why: "Without it I can't say how far to draw or where to scrape."}
	order := m.Bow.Order
	switch {
	case !order.Draw.Known() && order.Weight.Known():
		v.Say = "Type the draw that was ordered."
	case order.Draw.Known() && !order.Weight.Known():
		v.Say = "Type the weight that was ordered."
	case order.Draw.Known() && !m.Bow.DrawToBelly().Known():
		v.Say = "Type how deep the handle is: the draw was ordered to the back."
	}
	return v, m.noPlan != ""
}

func (m *moment) nothingRead() (Verdict, bool) {
	first := m.Next.Or(nextPull{}).Draw
	return Verdict{Do: Tell, Word: "READ IT", Most: first,
		Say: "Hang it on the long string, draw it a little, and read it.",
		Why: "No readings yet. A hand's breadth or two is plenty for the first pull.",
	}, !m.Read
}

// noLimbs asks for stations: a scale alone says nothing about where a limb bends.
func (m *moment) noLimbs() (Verdict, bool) {
	read := func(p session.Pass) bool { return len(p.Poses()) > 0 }
	return Verdict{Do: Tell, Word: "READ LIMBS", Most: m.longest, Say: "Read both limbs at their stations.",
		Why: "I've seen your scale, not your limbs. A right weight doesn't make an even bow.",
	}, len(lastBlocks(m.story)) == 0 && !slices.ContainsFunc(m.story.Passes, read)
}

// noString asks what the bow hung on, where neither the string's length nor a brace height says it.
func (m *moment) noString() (Verdict, bool) {
	braced := func(p session.Pass) bool {
		return slices.ContainsFunc(p.Braced, func(b model.Braced) bool { return b.Height.Known() })
	}
	on, _ := m.story.Strings().Now()
	passes, v := m.story.Passes, Verdict{Do: Tell, Word: "STRING?", Most: m.longest,
		Say: "Type how long the string is, loop to loop.",
		Why: "Without it, or a brace height, I can't tell what the limbs carry."}
	for n, pass := range passes {
		if pass.Shortened {
			passes = m.story.Passes[n:]
		}
	}
	if m.pass.Shortened && m.unread {
		v.Say = "Make it a shorter string, and type that."
		if length, ok := m.StringFor(m.story.BraceHeight()).Get(); ok {
			v.Say = fmt.Sprintf("Make it a string of about %s, and type what it is.", m.length(float64(length)))
		}
	}
	known := on.Kind == model.LongString || on.Length.Known() || slices.ContainsFunc(passes, braced)
	return v, !known && m.longest > 0
}

func (m *moment) misfit() (Verdict, bool) {
	return Verdict{Do: Check, Word: "READ AGAIN", Most: m.longest,
		Say: "Read it again: these readings don't fit one bow.",
		Why: "Most likely: how long is the string, or where was the draw measured from?",
	}, m.contradiction
}

// wildReading asks for the reading farthest off, unless that place was read twice in this pass.
func (m *moment) wildReading() (Verdict, bool) {
	open := slices.DeleteFunc(slices.Clone(m.Wild), m.readTwice)
	if len(open) == 0 {
		return Verdict{}, false
	}
	v := Verdict{Do: Check, Word: "READ AGAIN", Most: m.longest}
	v.Say, v.Why = m.sayCheck(open[0]), "One wild reading can spoil a plan."
	if more := len(open) - 1; more > 0 {
		v.Why = plain.Plural(more, "%d more of this pass looks wrong too.",
			"%d more of this pass look wrong too.", more) + " Is the bow described right?"
	}
	if w := open[0].Where; w.Kind == estimate.Peak {
		return m.again(w.Draw, v.Say, v.Why, m.SayWild(open[0]))
	}
	return v, true
}

// again draws to a draw once more to read its peak, but not past the stop line; about says what is doubtful
// there.
func (m *moment) again(draw float64, say, why, about string) (Verdict, bool) {
	to := draw
	if next, ok := m.Next.Get(); ok && next.Draw < draw-lineSlack {
		to = next.Draw
	}
	switch {
	case to <= 0:
		return Verdict{Do: Check, Word: "CHECK PEAK", Say: fmt.Sprintf("Check the peak at %s.", m.length(draw)),
			Why: about + " Strike it out if it was misread; even a short pull may be too far.", Most: m.brace()}, true
	case to < draw:
		say = fmt.Sprintf("Draw to %s, no farther, and read the scale.", m.length(to))
		why = fmt.Sprintf("%s That's past the stop line.", about)
	}
	return m.pull(DrawAgain, to, say, why)
}

// readTwice says whether what a wild reading is of was read more than once in this pass: a second look
// settles it.
func (m *moment) readTwice(w estimate.Wild) bool {
	n := 0
	if next, ok := m.Next.Get(); ok && len(m.pass.Pulls) > 0 && w.Where.Draw > next.Draw+lineSlack {
		last := m.pass.Pulls[len(m.pass.Pulls)-1]
		return !session.SameDraw(last.Draw, measure.Length(w.Where.Draw)) // it isn't drawn so far again
	}
	for _, pull := range m.pass.Pulls {
		if session.SameDraw(pull.Draw, measure.Length(w.Where.Draw)) {
			n++
		}
	}
	if w.Where.Draw == 0 {
		n = len(m.pass.Braced)
	}
	return n > 1
}

// peaksDisputed asks for a draw again whose peak doesn't go with that at another draw, while nothing says
// which of the two is wrong.
func (m *moment) peaksDisputed() (Verdict, bool) {
	pair := m.state.Disputed()
	if len(pair) < 2 || m.unread || m.readTwice(pair[0]) || m.readTwice(pair[1]) {
		return Verdict{}, false
	}
	near, far := pair[0], pair[1]
	if near.Where.Draw > far.Where.Draw {
		near, far = far, near
	}
	read := fmt.Sprintf("%s at %s and %s at %s", m.force(near.Value), m.length(near.Where.Draw),
		m.force(far.Value), m.length(far.Where.Draw))
	draw := far.Where.Draw
	return m.again(draw, fmt.Sprintf("Draw to %s again.", m.length(draw)),
		fmt.Sprintf("You read %s: one of them is wrong.", read),
		fmt.Sprintf("%s can't both be right.", session.Capital(read)))
}

// peaksDiffer asks for a draw again whose peak agrees with none of those before it at that draw.
func (m *moment) peaksDiffer() (Verdict, bool) {
	var peaks []model.Pull
	for line := range session.Counting(m.story.LinesOf(m.pass)) {
		switch what := line.What.(type) {
		case model.Exercise:
			peaks = nil
		case model.Pull:
			if what.Peak.Known() {
				peaks = append(peaks, what)
			}
		}
	}
	if len(peaks) < 2 {
		return Verdict{}, false
	}
	last := peaks[len(peaks)-1]
	peak := float64(last.Peak.Or(0))
	other, agrees := 0.0, false
	for _, pull := range peaks[:len(peaks)-1] {
		if session.SameDraw(pull.Draw, last.Draw) {
			other = float64(pull.Peak.Or(0))
			agrees = agrees || math.Abs(peak-other) <= max(peakSlack, peaksApart*min(peak, other))
		}
	}
	if other == 0 || agrees {
		return Verdict{}, false
	}
	draw := float64(last.Draw)
	read := fmt.Sprintf("%s, then %s: one of them is wrong.", m.shown(other), m.shown(peak))
	return m.again(draw, fmt.Sprintf("Draw to %s again.", m.length(draw)), "You read "+read,
		fmt.Sprintf("At %s you read %s", m.length(draw), read))
}

func (m *moment) exercise() (Verdict, bool) {
	took := slices.ContainsFunc(m.pass.Scrapes, func(s model.Scrape) bool { return !s.TookNothing() })
	v := Verdict{Do: Exercise, Word: "EXERCISE", Most: m.longest,
		Say: fmt.Sprintf("Exercise it: twenty easy pulls, no farther than %s.", m.length(m.longest)),
		Why: "Wood came off since. Until it settles the readings still move."}
	return v, took && m.pass.Exercised == 0 && m.longest > 0
}

// lookAgain asks for readings after a scrape, before it says where the next one goes.
func (m *moment) lookAgain() (Verdict, bool) {
	if !m.unread {
		return Verdict{}, false
	}
	why := sayUnread(m.story) + " See what it did first."
	next, ok := m.Next.Get()
	to := min(m.longest, next.Draw)
	if workSince(m.story).Gently {
		step := pullStep(m.Bow) / 2
		to = step * math.Floor((m.brace()+to)/2/step)
		why = sayUnread(m.story) + " Draw it little by little."
	}
	if ok && to > 0 {
		return m.pull(DrawAgain, to, fmt.Sprintf("Draw to %s again and read both limbs.", m.length(to)), why)
	}
	return Verdict{Do: Measure, Word: "READ IT", Say: "Brace it and read both limbs.", Why: why}, true
}

// unsure asks for a braced reading before a bow is called even on one row of figures.
func (m *moment) unsure() (Verdict, bool) {
	braced := slices.ContainsFunc(m.story.Passes, func(p session.Pass) bool { return len(p.Braced) > 0 })
	if len(m.Unsure) == 0 || !braced || m.longest < measureFrom*m.wanted.Draw ||
		len(m.pass.Poses())+blocksIn(m.pass) >= leastPoses {
		return Verdict{}, false
	}
	u := m.Unsure[0]
	return Verdict{Do: Measure, Word: "READ LIMBS", Most: m.longest, Say: m.SayMeasure(u),
		Why: fmt.Sprintf("%s on the %s limb %s.",
			session.Capital(m.sayHidden(u)), u.Side, m.fromTo(u.From, u.To)),
		Stretch: measure.Some(Stretch{Side: u.Side, From: u.From, To: u.To})}, true
}
