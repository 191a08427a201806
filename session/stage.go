package session

import (
	"fmt"

	"bendbook/model"
)

// Stage says how far the bow is, in a word or two.
func (s Story) Stage() string {
	if !s.InHand && !s.handedOver() {
		return "set aside"
	}
	if n := len(s.Finishes); n > 0 {
		step := s.Finishes[n-1]
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
	switch {
	case s.handedOver():
		return ""
	case !s.InHand:
		return s.Aside
	case len(s.Finishes) > 0:
		return "the next step of finishing"
	case len(pass.readings) == 0 && len(pass.Pulls) == 0 && len(pass.Scrapes) > 0 && pass.Exercised == 0:
		return "exercise, then a reading"
	case len(pass.readings) == 0 && len(pass.Pulls) == 0:
		return "a reading"
	case s.atWeight():
		return "finishing"
	}
	return "a longer pull, or the scraper"
}

// atWeight says whether the last pass reached the ordered draw at no more than the ordered weight and what is allowed.
func (s Story) atWeight() bool {
	order := s.Bow().Order
	draw, drawKnown := order.Draw.Get()
	weight, weightKnown := order.Weight.Get()
	if !drawKnown || !weightKnown {
		return false
	}
	peak, known := s.Pass().Peak(draw).Get()
	return known && peak <= weight+order.Allow.Or(0)
}
