package verdict

import "bendbook/model/plan"

// Judge is the one verdict on the bow that the advice is of.
func (a Advice) Judge(f Finishing) Verdict {
	m := moment{Advice: a, f: f, s: StandingOf(a.story), pass: a.story.Pass(),
		longest: float64(a.story.LongestDraw()), unread: unread(a.story),
		cuts: each(a.Removal, func(r Removal) plan.Cut { return r.Cut })}
	m.wanted, m.noPlan = a.wantedOfPlan()
	if p, ok := a.Plan.Get(); ok {
		m.plan = &p
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
