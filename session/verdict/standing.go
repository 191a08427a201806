package verdict

import (
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/plain"
	"bendbook/session"
)

// Standing is what of a story says where a bow is: all that the rules need of one that is not at the tree.
type Standing struct {
	Away      bool         `json:"away,omitempty"` // handed over, on the day of HandedOver
	Handover  time.Time    `json:"handover,omitzero"`
	Stamped   string       `json:"stamped,omitempty"`
	Aside     bool         `json:"aside,omitempty"` // set aside; why, or why it came back
	AsideWhy  string       `json:"aside_why,omitempty"`
	Danger    string       `json:"danger,omitempty"`    // the note of a crack, or of what may become one
	Crack     *model.Crack `json:"crack,omitempty"`     // that wasn't mended; nil for none
	Back      bool         `json:"back,omitempty"`      // it came back and was not worked on since
	Weighed   bool         `json:"weighed,omitempty"`   // since then
	Finishing bool         `json:"finishing,omitempty"` // beyond the nocks, by the last work on it
}

// StandingOf is where the bow of a story is.
func StandingOf(story session.Story) Standing {
	s := Standing{Away: story.HandedOver(), Stamped: plain.Line(story.Stamped())}
	s.Finishing = story.InFinishing() && sanded(story)
	s.Aside, s.AsideWhy = !story.InHand && !s.Away, plain.Line(story.Aside())
	s.Back, s.Weighed = story.CameBack()
	if crack, cracked := story.Crack(); cracked {
		s.Crack = &crack
	}
	for line := range session.Counting(story.Lines) {
		switch what := line.Entry.What.(type) {
		case model.Finish:
			if what.Step == model.HandedOver {
				s.Handover = what.Time(line.Entry.At)
			}
		case model.Mended:
			s.Danger = ""
		case model.Note:
			switch text := strings.ToLower(strings.TrimSpace(what.Text)); {
			case beginsWith(text, "crack", "splinter", "lifted", "chrysal", "creak",
				"glue noise", "glue line", "delam"):
				s.Danger = strings.TrimRight(plain.Line(what.Text), ".")
			case beginsWith(text, "sound", "mended", "repaired"):
				s.Danger = ""
			}
		}
	}
	return s
}
