package verdict

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/plan"
	"bendbook/session"
)

const mostTillerOff = 1.0 / 8 // by which a bow may be finished on its weight (in)

// weakPlace leaves a hinge alone and brings the rest down to it; the bow is drawn no farther meanwhile.
func (m *moment) weakPlace() (Verdict, bool) {
	weak := m.found(func(f finding) bool {
		return f.Hinge && f.Deviation.Estimate >= weakSize && f.Chance >= sureChance
	})
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
	place := fmt.Sprintf("the %s limb %s", f.Side, m.fromTo(f.From, f.To))
	why := fmt.Sprintf("%s limb, %s, is %s too weak (%s).", session.Capital(f.Side.String()),
		m.places(f.From, f.To), percent(f.Deviation.Estimate), sure(f.Chance))
	if m.longest > 0 {
		why += fmt.Sprintf(" Draw no farther than %s until it isn't.", m.length(m.longest))
	}
	if cut, ok := m.restOf(f); ok {
		return m.scrape(cut.Stretch,
			fmt.Sprintf("Leave %s alone; scrape the %s limb %s down to it.",
				place, cut.Side, m.fromTo(cut.From, cut.To)),
			fmt.Sprintf("%s The whole plan leaves about %s.", why, m.force(m.plan.After.Weight.Estimate)))
	}
	v := Verdict{Do: Stop, Word: "STOP", Most: m.longest,
		Say: fmt.Sprintf("Stop there: %s bends %s too much.", place, percent(f.Deviation.Estimate))}
	if m.plan != nil {
		left := m.plan.Now.Weight.Estimate / (1 + f.Deviation.Estimate)
		v.Why = fmt.Sprintf("Bringing the rest down to it would leave about %s. %s",
			m.force(left), m.offer(left, ""))
	}
	if m.longest > 0 {
		v.Why += fmt.Sprintf(" Draw no farther than %s.", m.length(m.longest))
	}
	return v, true
}

// stiffPlace scrapes the stiffest place, but not where nothing was read near the handle while another shows.
func (m *moment) stiffPlace() (Verdict, bool) {
	if m.drawTellsMore() {
		return Verdict{}, false
	}
	flats := m.found(func(f finding) bool { return !f.Hinge })
	read := func(f finding) bool { return f.From >= m.firstStation(f.Side) }
	slices.SortStableFunc(flats, func(a, b finding) int { return cmp.Compare(truth(read(b)), truth(read(a))) })
	for _, f := range flats {
		deepest, found := m.deepestIn(f)
		if !found {
			continue
		}
		from := max(f.From, min(m.firstStation(f.Side), deepest.From))
		return m.scrape(Stretch{Side: f.Side, From: from, To: f.To},
			fmt.Sprintf("Scrape the %s limb %s: %s, most at %s.", f.Side, m.fromTo(from, f.To),
				m.deep(m.RemovalOf(deepest)), m.short(math.Round((deepest.From+deepest.To)/2))),
			fmt.Sprintf("It's %s too stiff there (%s). %s",
				percent(-f.Deviation.Estimate), sure(f.Chance), m.toGo()))
	}
	return Verdict{}, false
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
	return m.scrape(Stretch{Side: stiff, From: cuts[0].From, To: cuts[len(cuts)-1].To},
		fmt.Sprintf("Take long light strokes down the whole %s limb: %s.", stiff,
			m.deep(m.RemovalOf(spread(cuts)))),
		"It's stiff as a whole: "+m.sayTillerOff())
}

// heavy thins both limbs where the stop line allows no longer pull and the bow weighs too much.
func (m *moment) heavy() (Verdict, bool) {
	cut, ok := largest(m.cuts)
	if !ok {
		return Verdict{}, false
	}
	even := "It bends evenly."
	if !m.both(cut) {
		even = "It bends evenly except a little there."
	}
	return m.scrape(cut.Stretch, session.Capital(m.thin()), m.sayEven(even)+" "+m.sayOver())
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

// underWeight puts the scraper away where the bow has too little. Until that is sure, a farther pull or
// another one to the same draw comes first.
func (m *moment) underWeight() (Verdict, bool) {
	if m.plan == nil || m.plan.Halt != "" || m.plan.Verdict != plan.Weak {
		return Verdict{}, false
	}
	if m.plan.Now.ChanceUnder < sureChance && (m.mayDraw() || m.pulls(m.farthest()) < 2) {
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: "STOP", Most: m.longest, Say: "You're under: put the scraper away.",
		Why: fmt.Sprintf("It should pull %s at %s, and %s is the least you want. %s",
			m.figure(m.plan.Now.Weight), m.short(m.wanted.Draw), m.force(m.wanted.Least()),
			m.offer(m.plan.Now.Weight.Estimate, m.sayShortening())),
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

func (m *moment) sayTillerOff() string {
	return fmt.Sprintf("upper − lower is %s at %s, and you want %s.", m.signed(m.plan.Now.Tiller.Estimate),
		m.short(m.wanted.TillerAt), m.signed(m.wanted.Tiller))
}
