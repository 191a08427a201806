package form

import (
	"fmt"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// ScrapeCut asks what came off where a plan takes wood, filled in with what was planned: Enter alone takes it. Where neither strokes nor depth
// are answered, the planned share of the depth is taken for what came off, as long as limb and place are those of the plan.
func ScrapeCut(story session.Story, cut model.Scrape) *Sheet {
	bow := story.Bow()
	s := Scrape(story)
	s.Title = "Scrape by the plan"
	from, to := sayPlace(bow, cut.From, 0), sayPlace(bow, cut.To, bow.Limbs[cut.Limb].Length)
	s.preset("limb", cut.Limb.String())
	s.preset("from", from)
	s.preset("to", to)
	if cut.Tool != "" {
		s.preset("tool", cut.Tool)
	}
	if n, known := cut.Strokes.Get(); known {
		s.preset("strokes", fmt.Sprint(n))
	}
	depth, measured := cut.Depth.Get()
	if measured {
		s.preset("depth", bow.Calliper().WithUnit(depth))
	}
	share, known := cut.DepthShare.Get()
	if !known || measured {
		return s
	}
	for i := range s.Questions {
		if s.Questions[i].Name == "depth" {
			s.Questions[i].Hint = fmt.Sprintf("how much came off; Enter alone: as planned, %.1f %% of the depth", 100*share)
		}
	}
	finish := s.finish
	s.finish = func(s *Sheet) (Outcome, error) {
		out, err := finish(s)
		scrape, isScrape := out.Event.(model.Scrape)
		asPlanned := scrape.Limb == cut.Limb && s.answer("from") == from && s.answer("to") == to
		if err == nil && isScrape && asPlanned && !scrape.Depth.Known() && !scrape.Strokes.Known() {
			scrape.DepthShare = cut.DepthShare
			out.Event = scrape
		}
		return out, err
	}
	return s
}

// sayPlace is a place of a limb as it is typed; one that its rule rounds past the nock is given as it is. most 0 is no bound.
func sayPlace(bow model.Bow, at, most measure.Length) string {
	text := bow.Ruler().Short(at)
	if l, err := bow.ParseLength(text); most > 0 && (err != nil || l > most) {
		return fmt.Sprint(at.In(bow.Units.Length))
	}
	return text
}

// preset lets Enter alone answer a question.
func (s *Sheet) preset(name, text string) {
	for i := range s.Questions {
		if s.Questions[i].Name == name {
			s.Questions[i].Preset = text
		}
	}
}
