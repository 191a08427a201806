package verdict

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/session"
)

const (
	dampWood   = 0.12 // moisture above which wood isn't bent
	mostFollow = 1.5  // string follow at which a bow rests (in)
)

// cracked stops before all else at a crack that wasn't mended.
func (m *moment) cracked() (Verdict, bool) {
	if m.s.Crack == nil {
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: unstring,
		Say: fmt.Sprintf("Stop. Don't draw it: %s.", m.s.Crack.Say(m.f.Bow)),
		Why: `Ease it down and unstring it. To go on, enter "mended" and how. ` +
			"In doubt, ask a bowyer who knows such damage.",
	}, true
}

// danger stops at a crack, a lifted splinter, a chrysal or a noise in the glue, until a note calls it sound.
func (m *moment) danger() (Verdict, bool) {
	return Verdict{Do: Stop, Word: unstring, Say: "Ease it down, unstring it, and don't draw it.",
		Why: fmt.Sprintf(`You noted "%s". Look at it in good light. To go on, note "sound" or "mended".`,
			m.s.Danger),
	}, m.s.Danger != ""
}

// overWeight stops pulling where the last peak passed the most that is wanted, unless that peak is in doubt.
func (m *moment) overWeight() (Verdict, bool) {
	pull, ok := m.story.LastPull()
	peak, weighed := pull.Peak.Get()
	if !ok || !weighed || len(m.pass.Pulls) == 0 || m.wanted.Weight == 0 || m.unread || m.doubtful(pull) {
		return Verdict{}, false
	}
	over := float64(peak) - m.wanted.Most()
	if over <= 0 || over <= peakSlack && m.forecastAt(float64(pull.Draw)).Force.Estimate <= m.wanted.Most() {
		return Verdict{}, false
	}
	v := Verdict{Do: Stop, Word: "STOP", Most: m.brace()}
	v.Say = fmt.Sprintf("Stop pulling: it already weighs %s%s at %s.",
		m.force(float64(peak)), m.Bow.Rig.AtTheHook(), m.length(float64(pull.Draw)))
	v.Why = fmt.Sprintf("%s is the most you want at %s. %s", m.force(m.wanted.Most()), m.short(m.wanted.Draw),
		"Before you draw it again, "+m.thin())
	return v, true
}

// strained stops where the surface would be strained beyond what a sure source says that the wood stands.
func (m *moment) strained() (Verdict, bool) {
	next, ok := m.Next.Get()
	if !ok || next.Stop.Because != estimate.ByStrain || next.Draw > m.longest+lineSlack {
		return Verdict{}, false
	}
	return Verdict{Do: Stop, Word: "STOP", Most: next.Draw,
		Say: fmt.Sprintf("Stop at %s.", m.length(max(next.Draw, m.longest))),
		Why: fmt.Sprintf("Farther out, the surface stretches more than this wood should stand (%.1f%%). "+
			"A thinner, wider limb stands more.", 100*m.strainLimit()),
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
	for line := range session.Counting(m.story.LinesOf(m.pass)) {
		switch line.What.(type) {
		case model.Heat:
			last = line
		case model.Relaxed:
			last = session.Line{}
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
		Why: `It was heated, shortened or scraped on one side since you last looked. Enter "track".`,
	}, looked && again
}

// offTrack draws no farther while the string runs outside the handle's middle third, or a tip is twisted.
func (m *moment) offTrack() (Verdict, bool) {
	track, again, looked := m.story.Track()
	return Verdict{Do: Stop, Word: "TRACK", Most: m.longest, Say: "Stop: bring the string to the middle first.",
		Why: session.Capital(track.Say(m.Bow)) + ". It belongs in the handle's middle third, tips within 5° " +
			"(common practice). Heat or one-sided scraping moves it; ask who knows.",
	}, looked && !again && track.Off(m.Bow)
}

// tookSet rests a bow that took much set, for as long as the sitting lasts in which that was read.
func (m *moment) tookSet() (Verdict, bool) {
	follow := m.Follow.Or(estimate.Figure{}).Estimate
	if !m.relaxedNow() || m.added <= mostSet && follow <= mostFollow {
		return Verdict{}, false
	}
	why := fmt.Sprintf("It follows the string by %s.", m.length(follow))
	if m.added > mostSet {
		why = fmt.Sprintf("It took %s of set in this pass.", m.length(m.added))
	}
	return Verdict{Do: Stop, Word: "REST", Say: "Stop, unstring it and let it rest overnight.",
		Why: why + " Find where it bent before you draw it again."}, true
}

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
