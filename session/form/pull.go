package form

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// PullCaution is what the shop's safety comes to at the moment of the draw; local rules and qualified
// teaching come first.
const PullCaution = "Stand clear of the bow's line; never past its weight; ease down at a crack."

// heldName is the question of how long the bow stood drawn. The hold clock answers it and nobody is asked: it
// stands on a pull's sheet only where the clock ran.
const heldName = "held"

func pullKind() Kind {
	return asks(Kind{
		Key: "p", Name: "pull", Main: true, Long: "Enter a pull: draw, peak, then the stations.",
		Caution: PullCaution,
		About: "One pull at the tree: how far the bow was drawn, the peak that the scale kept, then the " +
			"distances at the stations, upper limb first, each out from the handle. " +
			"Type a value and press Enter; Enter alone leaves a reading out.",
	}, pullTable)
}

// Pull asks for one pull: the draw, the scale's peak, then the stations of the upper and of the lower limb,
// each out from the handle.
func Pull(story session.Story) *Sheet { return pullKind().Of(story) }

func pullTable(story session.Story, was model.Pull) table[model.Pull] {
	// It is measured to what the last pull was; to the line where there is none.
	bow, from := story.Bow(), model.FromLine
	for _, pass := range story.Passes {
		for _, pull := range pass.Pulls {
			from = pull.From
		}
	}
	from = cmp.Or(was.From, from)
	pose := func(s *Sheet) (session.Pose, bool) {
		draw, ok := s.lengthOf("draw").Get()
		return session.Pose{Kind: model.KindPull, From: from, Draw: draw}, ok
	}
	held := optionalField(heldName, Question{
		Unit: "s", Beside: true, Hint: "how long it stood drawn, such as 3.2; empty where it was not timed",
	}, simple(noQuantity, measure.ParseSeconds, measure.PrintSeconds),
		func(p *model.Pull) *measure.Optional[time.Duration] { return &p.Held })
	held.hidden = true
	t := table[model.Pull]{was: model.Pull{From: from, Readings: unread()}, fields: []field[model.Pull]{
		valueField("draw", Question{
			Unit: string(bow.Units.Length), Must: true, doubt: doubtDraw(story),
			Hint: fmt.Sprintf("from the belly to the hook, such as %s; was is the longest draw so far",
				exampleLength(bow.Units.Length, 18.5)),
			was: func(*Sheet) string {
				if longest := story.LongestDraw(); longest > 0 {
					return bow.Ruler().Print(longest)
				}
				return ""
			},
		}, exactLengths(), func(p *model.Pull) *measure.Length { return &p.Draw }),
		optionalField("peak", Question{
			Unit: bow.Units.Force.Symbol(), doubt: doubtPeak(story),
			Hint: fmt.Sprintf("%s; Enter alone where it was not read", peakHint(bow)),
			was: func(s *Sheet) string {
				if p, ok := pose(s); ok {
					if peak, _, ok := earlierPeak(story, p.Draw); ok {
						return bow.Weigher().Print(peak)
					}
				}
				return ""
			},
			where: func(s *Sheet) (estimate.Where, bool) {
				p, ok := pose(s)
				return estimate.Where{Kind: estimate.Peak, Draw: float64(p.Draw)}, ok
			},
			say: func(v float64) string { return bow.Weigher().Print(measure.Force(v)) },
		}, notation[measure.Force]{model.Bow.ParseForce, exactForce, aForce},
			func(p *model.Pull) *maybeForce { return &p.Peak }),
		held,
	}}
	t.fields = append(t.fields, stationFields(story, from, pose, false,
		func(p *model.Pull) *model.Readings { return &p.Readings })...)
	return t
}

// peakHint says what the scale's peak is, with an example in the bow's unit.
func peakHint(bow model.Bow) string {
	return fmt.Sprintf("what the scale kept, such as %s", exampleForce(bow.Units.Force, 21.4))
}

// Hold fills in how long the bow stood drawn, by the clock. On a sheet that asks for no pull it does nothing.
func (s *Sheet) Hold(held time.Duration) { s.fillHeld(measure.PrintSeconds(held)) }

func (s *Sheet) fillHeld(text string) {
	if s.held == nil {
		return
	}
	s.answers[heldName] = text
	if s.index(heldName) >= 0 {
		return
	}
	at := s.index("peak") + 1
	s.Questions = slices.Insert(s.Questions, at, *s.held)
	if s.at >= at {
		s.at++
	}
}

// Hold fills in how long the bow stood drawn; see [Sheet.Hold]. It is on disk when it returns.
func (f *Form) Hold(held time.Duration) error {
	f.Sheet.Hold(held)
	return f.saveDraft()
}

func weighKind() Kind {
	return Kind{
		Name: "weigh", Form: "weigh", Word: "weighing", Of: Weigh,
		About: "The bow's weight at the ordered draw: how far it was drawn, and the peak that the scale kept.",
	}
}

// Weigh asks for the bow's weight at the ordered draw: a pull without a walk round the stations.
func Weigh(story session.Story) *Sheet {
	bow := story.Bow()
	s := Pull(story)
	s.Form, s.Title = "weigh", "Weigh at the ordered draw"
	s.Questions = s.Questions[:2]
	if draw, known := bow.DrawToBelly().Get(); known {
		s.Questions[0].Preset = exactLength(bow, draw)
		s.Questions[0].Hint = fmt.Sprintf("from the belly to the hook; Enter alone for the ordered draw, "+
			"%s", bow.Ruler().WithUnit(draw))
	}
	s.Questions[1].Must = true
	s.Questions[1].Hint = peakHint(bow)
	return s
}
