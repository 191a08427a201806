package session

import (
	"fmt"
	"slices"

	"bendbook/model"
)

// doing is how far the bow is, by what was last done to it.
type doing int

const (
	tillering doing = iota
	finishing
	away     // handed over
	cameBack // in hand again after it was handed over, and not worked on since
)

// at notes what was done. It ignores work on a bow that is away, until that is in hand again.
func (s *Story) at(done doing) {
	if s.doing != away {
		s.doing = done
	}
}

func (s *Story) finish(step model.Finish) {
	s.finishes = append(s.finishes, step)
	s.at(finishing)
	if step.Step == model.HandedOver {
		s.doing, s.InHand, s.aside = away, false, ""
	}
}

func (s *Story) rack(move model.Rack) {
	s.InHand, s.aside = move.InHand, move.Why
	if move.InHand && s.doing == away {
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
	case slices.ContainsFunc(s.LinesOf(pass), tells):
		return "on the tree"
	}
	return "new"
}

func tells(line Line) bool {
	_, isVoid := line.Entry.What.(model.Void)
	return line.Counts() && !isVoid
}

// InFinishing says whether a step of finishing was the last work on the bow.
func (s Story) InFinishing() bool { return s.doing == finishing }

// CameBack says whether the bow is in hand again after it was handed over, and was not worked on since;
// weighed, whether it was pulled with the scale since.
func (s Story) CameBack() (back, weighed bool) { return s.doing == cameBack, s.weighed }

// Aside is why the bow was set aside or came back, where the maker said so.
func (s Story) Aside() string { return s.aside }
