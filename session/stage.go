package session

import (
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/plain"
)

// doing is how far the bow is, by what was last done to it.
type doing int

const (
	tillering doing = iota
	finishing
	away     // handed over
	cameBack // in hand again after it was handed over, and not worked on since
)

// work notes what was done. It ignores work on a bow that is away, until that is in hand again.
func (s *Story) work(done doing) {
	if s.doing != away {
		s.doing = done
	}
}

func (s *Story) finish(step model.Finish) {
	s.finishes = append(s.finishes, step)
	s.work(finishing)
	if step.Step == model.HandedOver {
		s.doing, s.InHand, s.aside = away, false, ""
	}
}

func (s *Story) rack(move model.Rack) {
	s.InHand, s.aside = move.InHand, ""
	switch {
	case !move.InHand:
		s.aside = move.Why
	case s.doing == away:
		s.doing, s.weighed = cameBack, false
	}
}

// HandedOver says whether the bow has left the shop.
func (s Story) HandedOver() bool { return s.doing == away }

// Stage says how far the bow is, in a word or two, or by the shop's name for a step of finishing.
func (s Story) Stage() string {
	switch {
	case s.doing == away:
		return model.HandedOver
	case !s.InHand:
		return "set aside"
	case s.doing == cameBack:
		return "came back"
	case s.doing == finishing:
		return s.finishes[len(s.finishes)-1].SayStep()
	}
	pass := s.Pass()
	switch {
	case pass.Number > 0:
		return fmt.Sprintf("tillering, pass %d", pass.Number)
	case len(pass.Pulls) > 0 && len(pass.Braced) == 0:
		return "long string"
	case len(pass.Pulls) > 0 || len(pass.Braced) > 0:
		return "braced"
	case len(pass.lines) > 0:
		return "on the tree"
	}
	return "new"
}

// What a bow waits for, in general. The rack says more by the shop's own list of stages.
const (
	WaitsFinishing = "finishing"
	WaitsNextStep  = "the next step of finishing"
	WaitsLonger    = "a longer pull, or the scraper"
)

// Waits says what the bow waits for; of one that was set aside, in the maker's words. "" is for not known.
func (s Story) Waits() string {
	pass := s.Pass()
	unread := len(pass.readings) == 0 && len(pass.Pulls) == 0
	switch {
	case s.doing == away:
		return ""
	case !s.InHand:
		return plain.Line(s.aside)
	case s.doing == cameBack && !s.weighed:
		return "a look and a weighing"
	case s.doing == cameBack:
		return "handing over again, or the scraper"
	case s.doing == finishing:
		return WaitsNextStep
	case unread && len(pass.Scrapes) > 0 && pass.Exercised == 0:
		return "exercise, then a reading"
	case unread:
		return "a reading"
	case s.atWeight():
		return WaitsFinishing
	}
	return WaitsLonger
}

// Turn is what to do next at the tree, in a word.
type Turn string

// The turns.
const (
	TurnPull     Turn = "pull"
	TurnBraced   Turn = "braced"
	TurnExercise Turn = "exercise"
	TurnScrape   Turn = "scrape"
	TurnFinish   Turn = "finish"
)

// Turn is what to do next by the entries alone. Whether to pull farther or scrape follows from the readings.
func (s Story) Turn() Turn {
	pass := s.Pass()
	wasBraced := slices.ContainsFunc(s.Passes, func(p Pass) bool { return len(p.Braced) > 0 })
	switch {
	case s.doing == away || !s.InHand:
		return "-"
	case s.doing == cameBack && !s.weighed:
		return TurnPull
	case s.doing == cameBack, s.doing == finishing:
		return TurnFinish
	case len(pass.Scrapes) > 0 && pass.Exercised == 0 && len(pass.readings) == 0 && len(pass.Pulls) == 0:
		return TurnExercise
	case wasBraced && len(pass.Braced) == 0:
		return TurnBraced
	case s.atWeight():
		return TurnFinish
	}
	return TurnPull
}

// atWeight says whether the last pass reached the ordered draw at no more than the weight allowed.
func (s Story) atWeight() bool {
	bow := s.Bow()
	draw, drawKnown := bow.DrawToBelly().Get()
	weight, weightKnown := bow.Order.Weight.Get()
	if !drawKnown || !weightKnown {
		return false
	}
	peak, known := s.Pass().Peak(draw).Get()
	return known && peak <= weight+bow.Order.Allow.Or(0)
}
