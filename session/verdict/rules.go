package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/plan"
	"bendbook/session"
)

// Judge is the one verdict on the bow that the advice is of.
func (a Advice) Judge(f Finishing) Verdict {
	m := moment{a: a, f: f, s: StandingOf(a.story), story: a.story, pass: a.story.Pass(),
		longest: float64(a.story.LongestDraw()), unread: unread(a.story)}
	m.wanted, m.noPlan = a.wantedOfPlan()
	if p, ok := a.Plan.Get(); ok {
		m.plan = &p
	}
	for _, r := range a.Removal {
		m.cuts = append(m.cuts, r.Cut)
	}
	if v, ok := first(rules(), &m); ok {
		if said := a.sayFit(); said != "" && (v.Do == Draw || v.Do == Scrape || v.Do == Measure) {
			v.Why += " " + said
		}
		return v
	}
	return Verdict{Do: None, Word: "-", Say: "Nothing to do at the tree.", Why: a.NoPlan, Most: m.longest}
}

// rules is the checklist at the tree: the first that holds decides. Thresholds are common practice.
func rules() []rule {
	return append(early(), []rule{
		{"over weight", (*moment).overWeight},
		{"strain", (*moment).strained},
		{"damp", (*moment).damp},
		{"heated", (*moment).heated},
		{"track again", (*moment).trackAgain},
		{"no order", (*moment).noOrder},
		{"nothing read", (*moment).nothingRead},
		{"no limbs", (*moment).noLimbs},
		{"no string", (*moment).noString},
		{"misfit", (*moment).misfit},
		{"wild", (*moment).wildReading},
		{"peaks differ", (*moment).peaksDiffer},
		{"set", (*moment).tookSet},
		{"exercise", (*moment).exercise},
		{"look again", (*moment).lookAgain},
		{"weak", (*moment).weakPlace},
		{"track", (*moment).offTrack},
		{"peaks disputed", (*moment).peaksDisputed},
		{"under weight", (*moment).underWeight},
		{"left over", (*moment).leftOver},
		{"stiff", (*moment).stiffPlace},
		{"unsure", (*moment).unsure},
		{"tiller", (*moment).tillerOff},
		{"draw", (*moment).drawFarther},
		{"heavy", (*moment).heavy},
		{"done", (*moment).done},
		{"settle", (*moment).drawAgain},
		{"light", (*moment).lightStrokes},
	}...)
}

const (
	peakSlack   = 0.5  // by which one peak may be read too high (lb)
	peaksApart  = 0.03 // two peaks at one draw that agree no more, unless they are within peakSlack
	dampWood    = 0.12 // moisture above which wood isn't bent
	mostFollow  = 1.5  // string follow at which a bow rests (in)
	mostAgain   = 3    // pulls to one draw in a pass that settle what one more wouldn't
	leastPoses  = 2    // that were read in a pass before a bow is called even
	measureFrom = 0.6  // of the ordered draw: nearer in, a longer pull shows more than a block

	mostOver      = 0.15    // chance of too much weight with which a bow is finished
	mostTillerOff = 1.0 / 8 // by which a bow may be finished on its weight (in)
)

// overWeight stops pulling where the last peak passed the most that is wanted, unless that peak is in doubt.
func (m *moment) overWeight() (Verdict, bool) {
	pull, ok := m.story.LastPull()
	peak, weighed := pull.Peak.Get()
	if !ok || !weighed || len(m.pass.Pulls) == 0 || m.wanted.Weight == 0 || m.unread || m.doubtful(pull) {
		return Verdict{}, false
	}
	over := float64(peak) - m.wanted.Most()
	if over <= 0 || over <= peakSlack && m.at(pull.Draw) <= m.wanted.Most() {
		return Verdict{}, false
	}
	v := Verdict{Do: Stop, Word: "STOP", Most: m.brace()}
	v.Say = fmt.Sprintf("Stop pulling: it already weighs %s%s at %s.",
		m.force(float64(peak)), m.a.Bow.Rig.AtTheHook(), m.length(float64(pull.Draw)))
	v.Why = fmt.Sprintf("%s is the most you want at %s. %s", m.force(m.wanted.Most()), m.short(m.wanted.Draw),
		m.thin("Before you draw it again, "))
	return v, true
}

// strained stops where the surface would be strained beyond what a sure source says that the wood stands.
func (m *moment) strained() (Verdict, bool) {
	next, ok := m.a.Next.Get()
	if !ok || !next.Strained || next.Draw > m.longest+lineSlack {
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: "STOP", Most: next.Draw,
		Say: fmt.Sprintf("Stop at %s.", m.length(max(next.Draw, m.longest))),
		Why: fmt.Sprintf("Farther out, the surface stretches more than this wood should stand (%.1f%%). "+
			"A thinner, wider limb stands more.", 100*m.a.strainLimit()),
	}, true
}

// damp keeps damp wood from being bent.
func (m *moment) damp() (Verdict, bool) {
	weather := m.story.Weather()
	content, known := weather.Shop.Get()
	return Verdict{Do: Stop, Word: "DRY IT", Say: "Don't bend it yet: let it dry.",
		Why: fmt.Sprintf("It's at %.0f%% moisture; 8–10%% is right.", 100*content),
	}, known && weather.ByMeter && content > dampWood
}

// heated asks for a reading of the unstrung bow once it has rested from heat; the limbs hang by no older one.
func (m *moment) heated() (Verdict, bool) {
	var last session.Line
	for _, line := range m.story.LinesOf(m.pass) {
		switch line.What.(type) {
		case model.Heat:
			if line.Counts() {
				last = line
			}
		case model.Relaxed:
			if line.Counts() {
				last = session.Line{}
			}
		}
	}
	v := Verdict{Do: Stop, Word: "RELAXED", Say: "Let it rest, then read it relaxed.",
		Why: "Heat bent it anew, and warm or damp wood takes a set."}
	if at := last.Entry.At; !at.IsZero() {
		rested := at.Add(m.f.Settings.HeatRest()).In(m.f.Now.Location())
		v.Say = fmt.Sprintf("Read it relaxed once it has rested, from %s on.", m.f.Dates.PrintTime(rested))
	}
	return v, last.What != nil
}

// trackAgain asks how the string runs since heat or another nock may have moved it.
func (m *moment) trackAgain() (Verdict, bool) {
	_, again, looked := m.story.Track()
	return Verdict{Do: Tell, Word: "TRACK?", Most: m.longest,
		Say: "Brace it and look: does the string run down the middle?",
		Why: `It was heated or shortened since you last looked. Enter "track".`,
	}, looked && again
}

// offTrack draws no farther while the string runs outside the handle's middle third, or a tip is twisted.
func (m *moment) offTrack() (Verdict, bool) {
	track, again, looked := m.story.Track()
	return Verdict{Do: Stop, Word: "TRACK", Most: m.longest, Say: "Stop: bring the string to the middle first.",
		Why: session.Capital(track.Say(m.a.Bow)) + ". It belongs in the handle's middle third, tips within 5° " +
			"(common practice). Heat or one-sided scraping moves it; ask who knows.",
	}, looked && !again && track.Off(m.a.Bow)
}

// noOrder asks for the order, without which there is neither a stop line nor a plan.
func (m *moment) noOrder() (Verdict, bool) {
	v := Verdict{Do: Tell, Word: "ORDER?", Most: m.longest, Say: "Type the order: what weight, at what draw?",
		Why: "Without it I can't say how far to draw or where to scrape."}
	order := m.a.Bow.Order
	switch {
	case !order.Draw.Known() && order.Weight.Known():
		v.Say = "Type the draw that was ordered."
	case order.Draw.Known() && !order.Weight.Known():
		v.Say = "Type the weight that was ordered."
	case order.Draw.Known() && !m.a.Bow.DrawToBelly().Known():
		v.Say = "Type how deep the handle is: the draw was ordered to the back."
	}
	return v, m.noPlan != ""
}

func (m *moment) nothingRead() (Verdict, bool) {
	first := m.a.Next.Or(NextPull{}).Draw
	return Verdict{Do: Tell, Word: "READ IT", Most: first,
		Say: "Hang it on the long string, draw it a little, and read it.",
		Why: "No readings yet. A hand's breadth or two is plenty for the first pull.",
	}, !m.a.Read
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
		if length, ok := m.a.StringFor(m.story.BraceHeight()).Get(); ok {
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
	}, m.a.contradiction
}

// wildReading asks for the reading farthest off, unless that place was read twice in this pass.
func (m *moment) wildReading() (Verdict, bool) {
	open := slices.DeleteFunc(slices.Clone(m.a.Wild), m.readTwice)
	if len(open) == 0 {
		return Verdict{}, false
	}
	v := Verdict{Do: Check, Word: "READ AGAIN", Most: m.longest}
	v.Say, v.Why = m.a.sayCheck(open[0].Wild), "One wild reading can spoil a plan."
	if more := len(open) - 1; more > 0 {
		v.Why = plain.Plural(more, "%d more of this pass looks wrong too.",
			"%d more of this pass look wrong too.", more) + " Is the bow described right?"
	}
	if w := open[0].Where; w.Kind == estimate.Peak {
		return m.again(w.Draw, v.Say, v.Why, open[0].Says), true
	}
	return v, true
}

// again draws to a draw once more to read its peak, but not past the stop line; about says what is doubtful
// there.
func (m *moment) again(draw float64, say, why, about string) Verdict {
	to := draw
	if next, ok := m.a.Next.Get(); ok && next.Draw < draw-lineSlack {
		to = next.Draw
	}
	switch {
	case to <= 0:
		return Verdict{Do: Check, Word: "CHECK PEAK", Say: fmt.Sprintf("Check the peak at %s.", m.length(draw)),
			Why: about + " Strike it out if it was misread; even a short pull may be too far.", Most: m.brace()}
	case to < draw:
		say = fmt.Sprintf("Draw to %s, no farther, and read the scale.", m.length(to))
		why = fmt.Sprintf("%s That's past the stop line.", about)
	}
	return Verdict{Do: DrawAgain, Word: "PULL " + m.bare(to), Say: say, Why: why}.drawn(to)
}

// readTwice says whether what a wild reading is of was read more than once in this pass: a second look
// settles it.
func (m *moment) readTwice(w Wild) bool {
	n := 0
	if next, ok := m.a.Next.Get(); ok && len(m.pass.Pulls) > 0 && w.Where.Draw > next.Draw+lineSlack {
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
	pair := m.a.state.Disputed()
	if len(pair) < 2 || m.unread || m.readTwice(Wild{Wild: pair[0]}) || m.readTwice(Wild{Wild: pair[1]}) {
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
		fmt.Sprintf("%s can't both be right.", session.Capital(read))), true
}

// peaksDiffer asks for a draw again whose peak agrees with none of those before it at that draw.
func (m *moment) peaksDiffer() (Verdict, bool) {
	var peaks []model.Pull
	for _, line := range m.story.LinesOf(m.pass) {
		switch what := line.What.(type) {
		case model.Exercise, model.Scrape, model.Shorten:
			peaks = nil
		case model.Pull:
			if line.Counts() && what.Peak.Known() {
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
	read := fmt.Sprintf("%s, then %s: one of them is wrong.", m.a.shown(other), m.a.shown(peak))
	return m.again(draw, fmt.Sprintf("Draw to %s again.", m.length(draw)), "You read "+read,
		fmt.Sprintf("At %s you read %s", m.length(draw), read)), true
}

// tookSet rests a bow that took much set, for as long as the sitting lasts in which that was read.
func (m *moment) tookSet() (Verdict, bool) {
	follow := m.a.Follow.Or(estimate.Figure{}).Estimate
	if !m.relaxedNow() || m.a.added <= mostSet && follow <= mostFollow {
		return Verdict{}, false
	}
	v := Verdict{Do: Stop, Word: "REST", Say: "Stop, unstring it and let it rest overnight.",
		Why: fmt.Sprintf("It follows the string by %s. %s", m.length(follow), findWhere)}
	if m.a.added > mostSet {
		v.Why = fmt.Sprintf("It took %s of set in this pass. %s", m.length(m.a.added), findWhere)
	}
	return v, true
}

const findWhere = "Find where it bent before you draw it again."

// relaxedNow says whether the newest reading of the unstrung bow is of this pass and of the newest sitting.
func (m *moment) relaxedNow() bool {
	if len(m.story.Sessions) == 0 {
		return false
	}
	newest := m.story.Sessions[len(m.story.Sessions)-1]
	return slices.ContainsFunc(m.story.LinesIn(newest), func(line session.Line) bool {
		_, isRelaxed := line.Entry.What.(model.Relaxed)
		return isRelaxed && line.Counts() && line.Pass == m.pass.Number
	})
}

func (m *moment) exercise() (Verdict, bool) {
	took := slices.ContainsFunc(m.pass.Scrapes, func(s model.Scrape) bool { return !nothingOff(s) })
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
	why := unreadSince(m.story) + " See what it did first."
	next, ok := m.a.Next.Get()
	if to := min(m.longest, next.Draw); ok && to > 0 {
		return Verdict{Do: DrawAgain, Word: "PULL " + m.bare(to), Why: why,
			Say: fmt.Sprintf("Draw to %s again and read both limbs.", m.length(to))}.drawn(to), true
	}
	return Verdict{Do: Measure, Word: "READ IT", Say: "Brace it and read both limbs.", Why: why}, true
}

// weakPlace leaves a hinge alone and brings the rest down to it; the bow is drawn no farther meanwhile.
func (m *moment) weakPlace() (Verdict, bool) {
	weak := m.found(Finding.isSureHinge)
	if len(weak) == 0 {
		return Verdict{}, false
	}
	f := weak[0]
	if _, stiff := m.stiffPlace(); stiff && m.besideStiffer(f) {
		return Verdict{}, false
	}
	if f.Deviation.Estimate < stopSize && m.drawTellsMore() {
		return Verdict{}, false
	}
	place := fmt.Sprintf("the %s limb %s", f.Side, m.a.fromTo(f.From, f.To))
	why := fmt.Sprintf("%s limb, %s, is %s too weak (%s).", session.Capital(f.Side.String()),
		m.a.places(f.From, f.To), percent(f.Deviation.Estimate), sure(f.Chance))
	if m.longest > 0 {
		why += fmt.Sprintf(" Draw no farther than %s until it isn't.", m.length(m.longest))
	}
	v := Verdict{Most: m.longest}
	if cut, ok := m.restOf(f); ok {
		v.Do, v.Word = Scrape, "SCRAPE"
		v.Say = fmt.Sprintf("Leave %s alone; scrape the %s limb %s down to it.",
			place, cut.Side, m.a.fromTo(cut.From, cut.To))
		v.Why = fmt.Sprintf("%s The whole plan leaves about %s.", why, m.force(m.plan.After.Weight.Estimate))
		return v.at(cut.Side, cut.From, cut.To), true
	}
	v.Do, v.Word = Stop, "STOP"
	v.Say = fmt.Sprintf("Stop there: %s bends %s too much.", place, percent(f.Deviation.Estimate))
	v.Why = m.offer()
	if m.plan != nil {
		left := m.plan.Now.Weight.Estimate / (1 + f.Deviation.Estimate)
		v.Why = fmt.Sprintf("Bringing the rest down to it would leave about %s. %s", m.force(left), m.offerAs(left, ""))
	}
	if m.longest > 0 {
		v.Why += fmt.Sprintf(" Draw no farther than %s.", m.length(m.longest))
	}
	return v, true
}

// underWeight puts the scraper away where the bow has too little.
func (m *moment) underWeight() (Verdict, bool) {
	if m.plan == nil || m.plan.Halt != "" {
		return Verdict{}, false
	}
	if m.plan.Verdict != plan.Weak || m.plan.Now.ChanceUnder < sureChance && m.mayDraw() {
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: "STOP", Most: m.longest, Say: "You're under: put the scraper away.",
		Why: fmt.Sprintf("It should pull %s at %s, and %s is the least you want. %s",
			m.a.figure(m.plan.Now.Weight), m.short(m.wanted.Draw), m.force(m.wanted.Least()),
			m.offerAs(m.plan.Now.Weight.Estimate, m.sayShortening())),
	}, true
}

// leftOver puts the scraper away where the weight is right and what is uneven can't be scraped.
func (m *moment) leftOver() (Verdict, bool) {
	if m.plan == nil || m.plan.Halt != "" || m.plan.Verdict != plan.Left {
		return Verdict{}, false
	}
	left := ""
	switch tiller := m.plan.Now.Tiller.Estimate; {
	case len(m.uneven()) > 0:
		left = m.uneven()[0].Says
	case math.Abs(tiller-m.wanted.Tiller) > mostTillerOff:
		left = m.sayTillerOff()
	default:
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: "STOP", Most: m.longest,
		Say: fmt.Sprintf("Stop scraping: it's on its weight, %s.", m.force(m.plan.Now.Weight.Estimate)),
		Why: "Scraping won't fix what's left: " + left,
	}, true
}

// sayTillerOff says how far the tiller is from what is wanted.
func (m *moment) sayTillerOff() string {
	rule := m.a.fineRule()
	return fmt.Sprintf("upper − lower is %s at %s, and you want %s.",
		rule.PrintSigned(measure.Length(m.plan.Now.Tiller.Estimate)), m.short(m.wanted.TillerAt),
		rule.PrintSigned(measure.Length(m.wanted.Tiller)))
}

// stiffPlace scrapes the stiffest place, but not where nothing was read near the handle while another shows.
func (m *moment) stiffPlace() (Verdict, bool) {
	if m.drawTellsMore() {
		return Verdict{}, false
	}
	flats := m.found(func(f Finding) bool { return !f.Hinge })
	read := func(f Finding) bool { return f.From >= m.firstStation(f.Side) }
	slices.SortStableFunc(flats, func(a, b Finding) int { return cmp.Compare(truth(read(b)), truth(read(a))) })
	for _, f := range flats {
		deepest, found := m.deepestIn(f)
		if !found {
			continue
		}
		r := m.a.RemovalOf(deepest)
		v := Verdict{Do: Scrape, Word: "SCRAPE", Most: m.longest}
		from := max(f.From, min(m.firstStation(f.Side), deepest.From))
		v.Say = fmt.Sprintf("Scrape the %s limb %s: %s.", f.Side, m.a.fromTo(from, f.To), m.a.amount(r))
		v.Why = fmt.Sprintf("It's %s too stiff there (%s). %s",
			percent(-f.Deviation.Estimate), sure(f.Chance), m.toGo())
		return v.at(f.Side, from, f.To), true
	}
	return Verdict{}, false
}

// unsure asks for a braced reading before a bow is called even on one row of figures.
func (m *moment) unsure() (Verdict, bool) {
	braced := slices.ContainsFunc(m.story.Passes, func(p session.Pass) bool { return len(p.Braced) > 0 })
	if len(m.a.Unsure) == 0 || !braced || m.longest < measureFrom*m.wanted.Draw ||
		len(m.pass.Poses())+blocksIn(m.pass) >= leastPoses {
		return Verdict{}, false
	}
	u := m.a.Unsure[0]
	v := Verdict{Do: Measure, Word: "READ LIMBS", Most: m.longest, Say: m.a.sayMeasure(u, moreReading),
		Why: fmt.Sprintf("%s on the %s limb %s.",
			session.Capital(m.a.sayHidden(u)), u.Side, m.a.fromTo(u.From, u.To))}
	return v.at(u.Side, u.From, u.To), true
}

// tillerOff brings down the limb that is stiff as a whole.
func (m *moment) tillerOff() (Verdict, bool) {
	if m.plan == nil || !m.plan.TillerOff() {
		return Verdict{}, false
	}
	off := m.plan.Now.Tiller.Estimate - m.plan.Wanted.Tiller
	if math.Abs(off) <= mostTillerOff && m.mayDraw() || m.drawTellsMore() {
		return Verdict{}, false // the next scraping for weight mends that along with it
	}
	stiff := model.Upper // its gap is too small
	if off > 0 {
		stiff = model.Lower
	}
	other := func(c plan.Cut) bool { return c.Side != stiff || c.Loss == 0 }
	cuts := slices.DeleteFunc(slices.Clone(m.cuts), other)
	if len(cuts) == 0 {
		return Verdict{}, false
	}
	v := Verdict{Do: Scrape, Word: "SCRAPE", Most: m.longest,
		Say: fmt.Sprintf("Take long light strokes down the whole %s limb: %s.", stiff,
			m.a.deep(m.a.RemovalOf(spread(cuts)))),
		Why: "It's stiff as a whole: " + m.sayTillerOff()}
	return v.at(stiff, cuts[0].From, cuts[len(cuts)-1].To), true
}

// drawFarther goes on where nothing shows: two inches at most, one near the order.
func (m *moment) drawFarther() (Verdict, bool) {
	if !m.mayDraw() {
		return Verdict{}, false
	}
	next, _ := m.a.Next.Get()
	v := Verdict{Do: Draw, Word: "PULL " + m.bare(next.Draw),
		Say: fmt.Sprintf("Draw to %s.", m.length(next.Draw))}
	even := "No stiff or weak place shows."
	if len(m.a.Unsure) > 0 {
		even = tooEarly
	}
	v.Why = m.sayEven(even) + " "
	if m.longest == 0 {
		v.Why = "You haven't drawn it yet. "
	}
	if next.Force.Estimate > 0 {
		v.Why += fmt.Sprintf("Expect %s there%s.", m.a.Expected(next), m.a.letDown(next))
	} else {
		v.Why += "Read the scale and both limbs there."
	}
	return v.drawn(next.Draw), true
}

// heavy thins both limbs where the stop line allows no longer pull and the bow weighs too much.
func (m *moment) heavy() (Verdict, bool) {
	cut, ok := m.largest()
	if !ok {
		return Verdict{}, false
	}
	v := Verdict{Do: Scrape, Word: "SCRAPE", Most: m.longest}
	v.Say = m.thin("")
	even := "It bends evenly."
	if !m.both(cut) {
		even = "It bends evenly except a little there."
	}
	v.Why = m.sayEven(even) + " " + m.sayOver()
	return v.at(cut.Side, cut.From, cut.To), true
}

// done sends a bow on to finishing that was at its draw twice, in weight and even.
func (m *moment) done() (Verdict, bool) {
	pulls := m.pulls(m.wanted.Draw)
	if m.longest >= m.wanted.Draw-lineSlack-alike {
		pulls = max(pulls, m.pulls(m.longest)) // by the rule it's there
	}
	if to := m.farthest(); to >= m.wanted.Draw-lastStep && m.pulls(to) > mostAgain {
		pulls = mostAgain // so near the order the stop line may allow no more
	}
	if m.plan == nil || pulls < 2 {
		return Verdict{}, false
	}
	weight := m.plan.Now.Weight.Estimate
	right := m.plan.Verdict == plan.Done || m.plan.Verdict == plan.Left
	// A weight at an edge of what is wanted stays unsure however often it's read.
	edge := pulls > 2 && weight >= m.wanted.Least() && m.plan.Now.ChanceOver <= mostOver
	if !right && !edge {
		return Verdict{}, false
	}
	word, say := "SHOOT IN", "Shoot it in. Then go on to finishing."
	p := m.f.Progress
	shot := slices.ContainsFunc(p.Stages, func(s finish.Standing) bool {
		return s.Seen == finish.SignShot && s.State == finish.Made
	})
	switch stage := p.Waits(); {
	case shot && stage != "":
		word, say = stageWord(stage), session.Capital(stageSays(stage))
	case p.At >= 0 && p.Stages[p.At].Seen == finish.SignShot:
		say = "Shoot it in. Then read it again."
	case stage != "":
		say = "Shoot it in. Next: " + stageSays(stage)
	}
	why := fmt.Sprintf("At %s it pulls %s. %s", m.short(m.wanted.Draw), m.a.figure(m.plan.Now.Weight),
		m.sayEven("It bends evenly."))
	if tips := m.a.Aim.StiffTips; tips > 0 {
		why += fmt.Sprintf(" Its last %s aren't judged until the nocks are on.", m.short(tips))
	}
	return Verdict{Do: Finish, Word: word, Most: m.wanted.Draw, Say: say, Why: why}, true
}

// drawAgain settles the weight by the longest draw allowed where nothing else is left to do.
func (m *moment) drawAgain() (Verdict, bool) {
	to := m.farthest()
	if to <= 0 || m.pulls(to) > mostAgain {
		return Verdict{}, false
	}
	return Verdict{Do: DrawAgain, Word: "PULL " + m.bare(to),
		Say: fmt.Sprintf("Draw to %s again.", m.length(to)),
		Why: "One peak isn't enough to call the weight. " + m.a.SayForecast(Verdict{}),
	}.drawn(to), true
}

// farthest is the longest draw so far, or the stop line where that allows no more (in).
func (m *moment) farthest() float64 {
	if next, ok := m.a.Next.Get(); ok && next.Draw > 0 {
		return min(m.longest, next.Draw)
	}
	return m.longest
}

// lightStrokes takes the little that is, or may be, too heavy for the order and too little to plan.
func (m *moment) lightStrokes() (Verdict, bool) {
	if m.plan == nil || m.plan.Halt != "" || m.plan.Now.ChanceOver <= mostOver {
		return Verdict{}, false
	}
	return Verdict{Do: Scrape, Word: "SCRAPE", Most: m.longest, Say: "Take a few light strokes down both limbs.",
		Why: m.sayEven("It bends evenly.") + " " + m.sayOver()}, true
}

// sayOver says how much too heavy the bow is, or that it may be.
func (m *moment) sayOver() string {
	if m.plan.Now.Weight.Estimate <= m.wanted.Most() {
		return fmt.Sprintf("It may still pass %s at %s.", m.force(m.wanted.Most()), m.short(m.wanted.Draw))
	}
	return m.toGo()
}
