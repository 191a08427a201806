package form

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

func pullKind() Kind {
	return asks(Kind{
		Key: "p", Name: "pull", Main: true, Reads: true, Long: "Enter a pull: draw, peak, then the stations.",
		Caution: PullCaution,
		About: "One pull at the tree: the draw, the peak on the scale, then the distances at the stations. " +
			"Start with the upper limb, and go out from the handle. " +
			"Type a value and press Enter; Enter alone leaves a reading out.",
	}, pullTable)
}

// Pull asks for one pull: the draw, the scale's peak, then the stations of the upper and of the lower limb,
// each out from the handle.
func Pull(story session.Story) *Sheet { return pullKind().Of(story) }

// Drawn asks for a pull from its draw on, and last for what that leaves open of the string.
func Drawn(story session.Story) *Sheet {
	s := Pull(story)
	s.beginAt(1)
	return s
}

func pullTable(story session.Story, was model.Pull) table[model.Pull] {
	// It is measured to what the last pull was; to the line where there is none.
	bow, from := story.Bow(), model.FromLine
	for _, pass := range story.Passes {
		for _, pull := range pass.Pulls {
			from = pull.From
		}
	}
	from = cmp.Or(was.From, from)
	hint := "from the belly to the hook, such as {8 1/2in}"
	longest := story.LongestDraw()
	if longest > 0 {
		hint += "; the longest so far was " + bow.Ruler().WithUnit(longest)
	}
	draw := Question{
		Name: "draw", must: true, atOnce: true, Hint: hint,
		was: func(*Sheet) string {
			if longest > 0 {
				return bow.Ruler().Print(longest)
			}
			return ""
		},
		doubt: func(s *Sheet, text string) string {
			if doubt := doubtDraw(story, s, text); doubt != "" {
				return doubt + "; everything after depends on it"
			}
			return ""
		},
	}
	isNew := model.Pull{From: from, Readings: unread()}
	on, _ := story.Strings().Now()
	if on.Kind == model.LongString {
		isNew.String = on.Kind
	}
	return table[model.Pull]{
		was: isNew, along: func(s *Sheet, p *model.Pull) { p.By = readBy(s, p.By) },
		opened: func(s *Sheet) {
			if was.Draw == 0 && wasHung(story) {
				s.answers[stringName], s.filled[stringName] = string(on.Kind), string(on.Kind)
			}
			if was.Draw != 0 || wasHung(story) {
				s.beginAt(1)
			}
		},
		strings: func(s *Sheet) session.Strings {
			pull := isNew
			_ = setString(bow, &pull, s.answer(stringName)) // as in made
			return story.Strings().With(bow, pull, story.Pass().Number)
		},
		asks: append([]Question{
			askString(bow, was.Draw == 0 && !wasHung(story)), draw, peakQuestion(story),
			{Name: heldName, Hint: "how long it stood drawn, such as 3.2; Enter alone if you didn't time it"},
		}, askStations(story, session.Pose{Kind: model.KindPull, From: from})...),
		visit: func(c *asker, p *model.Pull) {
			switch {
			case c.path != stringPath:
				p.Fields(c)
			case c.sets:
				c.err = setString(bow, p, c.text)
			default:
				c.text = strings.TrimSpace(string(p.String) + " " + exactLengths().say(bow, p.StringLength))
			}
		},
	}
}

// stringName is the question which string the bow hangs on. It is asked at the first pull of a bow that was
// never braced; later one reaches it only by going back.
const stringName, stringPath = "string", "on"

// wasHung says whether anything tells already on which string the bow hangs.
func wasHung(story session.Story) bool {
	on, _ := story.Strings().Now()
	_, pulled := story.LastPull()
	return pulled || on.Kind != ""
}

func askString(bow model.Bow, asked bool) Question {
	q := Question{
		Name: stringName, path: stringPath, measures: aLength, free: true,
		Choices: []string{string(model.LongString), string(model.BracedString)},
		Hint: fmt.Sprintf("which string: 1 long, 2 braced; or its length between the nocks, such as %s",
			bow.Ruler().Print(bow.Ruler().Round(bow.Length()+1.5))),
	}
	if asked {
		q.Preset = string(model.LongString)
	}
	return q
}

// setString reads the answer which string it is: long, braced, a length, or both. "" leaves that as it was.
func setString(of model.Bow, p *model.Pull, text string) error {
	if text == "" {
		return nil
	}
	kind, length, _ := strings.Cut(text, " ")
	if kind != string(model.LongString) && kind != string(model.BracedString) {
		kind, length = "", text
	}
	p.String, p.StringLength = model.OnString(kind), maybeLength{}
	if length == "" {
		return nil
	}
	l, err := of.ParseLength(length)
	if most := of.Length() / 4; err != nil || l < of.Length()-most || l > of.Length()+most {
		return fmt.Errorf("%q isn't a string of this bow; type 1 for long, 2 for braced, or its length", text)
	}
	p.String, p.StringLength = of.StringOf(l), measure.Some(l)
	return nil
}

func peakQuestion(story session.Story) Question {
	bow := story.Bow()
	q := Question{
		Name: "peak", Hint: peakHint(bow) + "; Enter alone if you didn't read it",
		was: func(s *Sheet) string {
			if draw, ok := s.lengthOf("draw").Get(); ok {
				_, on := s.on()
				if peak, _, ok := earlierPeak(story, draw, on); ok {
					return bow.Weigher().Print(bow.Rig.OnScale(peak))
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
		_, on := s.on()
		if doubt := doubtPeak(story, draw, bow.Rig.ToHook(peak), on); doubt != "" {
			return doubt
		}
		return s.unexpected(q, float64(peak))
	}
	return q
}

func peakHint(bow model.Bow) string {
	if !bow.Rig.Direct() {
		return examples(bow.Units, "the peak as the scale shows it, such as {21.4lb}")
	}
	return examples(bow.Units, "the peak that the scale kept, such as {21.4lb}")
}

// boldStep is how much farther than ever before a pull may go unasked.
const boldStep measure.Length = 2

// doubtDraw doubts a draw that is bolder than the bow has borne, or that none is drawn to. All readings after
// it are of that draw, and what the stop line allows next hangs on it.
func doubtDraw(story session.Story, s *Sheet, text string) string {
	bow := story.Bow()
	draw, _ := bow.ParseLength(text)
	rule := bow.Ruler()
	if ordered, known := bow.DrawToBelly().Get(); known && draw > ordered+1.0/16 {
		return fmt.Sprintf("%s is past the ordered draw, %s", rule.Print(draw), rule.WithUnit(ordered))
	}
	// A bow on its string is never drawn less than its brace height, as last read in this pass.
	on, _ := s.on()
	if height := lastHeight(story.Pass()).Or(0); draw < height && on.Kind != model.LongString {
		return fmt.Sprintf("%s is under the brace height, %s", rule.Print(draw), rule.WithUnit(height))
	}
	if longest := story.LongestDraw(); longest > 0 && draw > longest+boldStep+1.0/16 {
		return fmt.Sprintf("that's %s farther than ever before", rule.WithUnit(draw-longest))
	}
	return ""
}

// doubtPeak doubts a peak far from the last one at the same draw, out of order among this pass's peaks on the
// same string, by its number, or over the ordered weight.
func doubtPeak(story session.Story, draw measure.Length, peak measure.Force, on int) string {
	bow := story.Bow()
	rule := bow.Ruler()
	print := func(atHook measure.Force) string { return bow.Weigher().Print(bow.Rig.OnScale(atHook)) }
	if was, pass, ok := earlierPeak(story, draw, on); ok && model.FarFromEarlierPeak(peak, was) {
		return fmt.Sprintf("was %s at this draw in pass %d, now %s", print(was), pass, print(peak))
	}
	this := model.Pull{Draw: draw, Peak: measure.Some(peak)}
	for _, other := range story.Pass().PeaksOn(on) {
		if model.Sawtooth(other, this) || model.Sawtooth(this, other) {
			return fmt.Sprintf("this pass had %s at %s, now %s at %s", print(other.Peak.Or(0)),
				rule.Print(other.Draw), print(peak), rule.Print(draw))
		}
	}
	wanted, known := bow.Order.Weight.Get()
	// On the tree it may weigh what finishing and first use take again.
	most := max(wanted+bow.Order.Allow.Or(0), verdict.Usual().Takes.Wanted(bow.Order).Or(finish.Wanted{}).Weight)
	if known && peak > most {
		return fmt.Sprintf("that is over the ordered %s%s; never draw a bow past its weight",
			session.SayOrdered(bow, wanted), bow.Rig.AtTheHook())
	}
	return ""
}

// earlierPeak returns the last peak at the draw on a string in any pass, and which.
func earlierPeak(story session.Story, draw measure.Length, on int) (peak measure.Force, pass int, ok bool) {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		if peak, known := story.Passes[n].Peak(draw, on).Get(); known {
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
	s.Questions = s.Questions[1:3]
	s.beginAt(0)
	if draw, known := bow.DrawToBelly().Get(); known {
		s.Questions[0].Preset = exactLength(bow, draw)
		s.Questions[0].Hint = fmt.Sprintf("from the belly to the hook; Enter alone for the ordered draw, %s",
			bow.Ruler().WithUnit(draw))
	}
	s.Questions[1].must, s.Questions[1].Hint = true, peakHint(bow)
	return s
}
