package form

import (
	"cmp"
	"fmt"
	"time"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

func pullKind() Kind {
	return asks(Kind{
		Key: "p", Name: "pull", Main: true, Reads: true, Long: "Enter a pull: draw, peak, then the stations.",
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
	draw := Question{
		Unit: string(bow.Units.Length), must: true,
		Hint: fmt.Sprintf("from the belly to the hook, such as %s; was is the longest draw so far",
			exampleLength(bow.Units.Length, 18.5)),
		was: func(*Sheet) string {
			if longest := story.LongestDraw(); longest > 0 {
				return bow.Ruler().Print(longest)
			}
			return ""
		},
		doubt: func(_ *Sheet, text string) string { return doubtDraw(story, text) },
	}
	held := Question{
		Unit: "s", Hint: "how long it stood drawn, such as 3.2; empty where it was not timed",
	}
	return table[model.Pull]{
		was: model.Pull{From: from, Readings: unread()},
		fields: append([]field[model.Pull]{
			valueField("draw", draw, exactLengths(), func(p *model.Pull) *measure.Length { return &p.Draw }),
			optionalField("peak", peakQuestion(story), exactForces(),
				func(p *model.Pull) *maybeForce { return &p.Peak }),
			optionalField(heldName, held, simple(noQuantity, measure.ParseSeconds, measure.PrintSeconds),
				func(p *model.Pull) *measure.Optional[time.Duration] { return &p.Held }),
		}, stationFields(story, session.Pose{Kind: model.KindPull, From: from},
			func(p *model.Pull) *model.Readings { return &p.Readings })...),
	}
}

func peakQuestion(story session.Story) Question {
	bow := story.Bow()
	q := Question{
		Unit: bow.Units.Force.Symbol(), Hint: fmt.Sprintf("%s; Enter alone where it was not read", peakHint(bow)),
		was: func(s *Sheet) string {
			if draw, ok := s.lengthOf("draw").Get(); ok {
				if peak, _, ok := earlierPeak(story, draw); ok {
					return bow.Weigher().Print(peak)
				}
			}
			return ""
		},
		where: func(s *Sheet) (estimate.Where, bool) {
			draw, ok := s.lengthOf("draw").Get()
			return estimate.Where{Kind: estimate.Peak, Draw: float64(draw)}, ok
		},
		say: func(v float64) string { return bow.Weigher().Print(measure.Force(v)) },
	}
	q.doubt = func(s *Sheet, text string) string {
		draw, ok := s.lengthOf("draw").Get()
		if !ok {
			return ""
		}
		peak, _ := bow.ParseForce(text)
		if doubt := doubtPeak(story, draw, peak); doubt != "" {
			return doubt
		}
		doubt, _ := s.unexpected(q, float64(peak))
		return doubt
	}
	return q
}

// peakHint says what the scale's peak is, with an example in the bow's unit.
func peakHint(bow model.Bow) string {
	return fmt.Sprintf("what the scale kept, such as %s", exampleForce(bow.Units.Force, 21.4))
}

// boldStep is how much farther than ever before a pull may go unasked.
const boldStep measure.Length = 2

func doubtDraw(story session.Story, text string) string {
	bow := story.Bow()
	draw, _ := bow.ParseLength(text)
	rule := bow.Ruler()
	if ordered, known := bow.DrawToBelly().Get(); known && draw > ordered+1.0/16 {
		return fmt.Sprintf("%s is past the ordered draw, %s", rule.Print(draw), rule.WithUnit(ordered))
	}
	// A bow on its string is never drawn less than its brace height, as last read in this pass.
	if height := lastHeight(story.Pass()).Or(0); draw < height {
		return fmt.Sprintf("%s is under the brace height, %s", rule.Print(draw), rule.WithUnit(height))
	}
	if longest := story.LongestDraw(); longest > 0 && draw > longest+boldStep+1.0/16 {
		return fmt.Sprintf("that is %s farther than ever before", rule.WithUnit(draw-longest))
	}
	return ""
}

// doubtPeak doubts a peak far from the last one at the same draw, out of order among this pass's peaks, or
// over the ordered weight.
func doubtPeak(story session.Story, draw measure.Length, peak measure.Force) string {
	bow := story.Bow()
	scale, rule := bow.Weigher(), bow.Ruler()
	if was, pass, ok := earlierPeak(story, draw); ok && model.FarFromEarlierPeak(peak, was) {
		return fmt.Sprintf("was %s at this draw in pass %d, now %s", scale.Print(was), pass, scale.Print(peak))
	}
	this := model.Pull{Draw: draw, Peak: measure.Some(peak)}
	for _, other := range story.Pass().Peaks() {
		if model.Sawtooth(other, this) || model.Sawtooth(this, other) {
			return fmt.Sprintf("this pass had %s at %s, now %s at %s", scale.Print(other.Peak.Or(0)),
				rule.Print(other.Draw), scale.Print(peak), rule.Print(draw))
		}
	}
	if wanted, known := bow.Order.Weight.Get(); known && peak > wanted+bow.Order.Allow.Or(0) {
		return fmt.Sprintf("that is over the ordered %s; never draw a bow past its weight",
			session.SayOrdered(bow, wanted))
	}
	return ""
}

// earlierPeak returns the last peak at the draw in any pass, and which.
func earlierPeak(story session.Story, draw measure.Length) (peak measure.Force, pass int, ok bool) {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		if peak, known := story.Passes[n].Peak(draw).Get(); known {
			return peak, n, true
		}
	}
	return 0, 0, false
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
		s.Questions[0].Hint = fmt.Sprintf("from the belly to the hook; Enter alone for the ordered draw, %s",
			bow.Ruler().WithUnit(draw))
	}
	s.Questions[1].must, s.Questions[1].Hint = true, peakHint(bow)
	return s
}
