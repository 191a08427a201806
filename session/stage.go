package session

import (
	"fmt"

	"bendbook/model"
)

// Stage says how far the bow is, in a word or two.
func (s Story) Stage() string {
	switch {
	case s.back:
		return "came back"
	case !s.InHand && !s.handedOver():
		return "set aside"
	case len(s.Finishes) > 0:
		step := s.Finishes[len(s.Finishes)-1]
		if coat, known := step.Coat.Get(); known {
			return fmt.Sprintf("%s, coat %d", step.Step, coat)
		}
		return step.Step
	}
	pass := s.Pass()
	switch {
	case pass.Number > 0:
		return fmt.Sprintf("tillering, pass %d", pass.Number)
	case len(pass.Pulls) > 0 && len(pass.Braced) == 0:
		return "long string"
	case len(pass.Pulls) > 0 || len(pass.Braced) > 0:
		return "braced"
	case !pass.Empty():
		return "on the tree"
	}
	return "new"
}

func (s Story) handedOver() bool {
	n := len(s.Finishes)
	return n > 0 && s.Finishes[n-1].Step == model.HandedOver
}

// Waits says what the bow waits for.
func (s Story) Waits() string {
	pass := s.Pass()
	unread := len(pass.readings) == 0 && len(pass.Pulls) == 0
	switch {
	case s.back:
		return "a look and a weighing"
	case s.handedOver():
		return ""
	case !s.InHand:
		return s.Aside
	case len(s.Finishes) > 0:
		return "the next step of finishing"
	case unread && len(pass.Scrapes) > 0 && pass.Exercised == 0:
		return "exercise, then a reading"
	case unread:
		return "a reading"
	case s.atWeight():
		return "finishing"
	}
	return "a longer pull, or the scraper"
}

// atWeight says whether the last pass reached the ordered draw at no more than the ordered weight and what is allowed.
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
