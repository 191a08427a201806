package verdict

import (
	"sync"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/session"
	"bendbook/session/shop"
)

// Practice is what the readings of a bow are reckoned by in a shop.
type Practice struct {
	// Settings are the usual ones, with what finishing, first use and a stroke take in this shop.
	Settings Settings
	// Shape is that of the bow that this one is to bend like; nil for the bow's own aim.
	Shape *aim.Aim
	// Before is what was said of the bow before, from which Of goes on; the zero value begins anew.
	Before Advice
}

// Of is [Of] by this practice.
func (p Practice) Of(story session.Story) (Advice, error) {
	return p.Before.Again(story, p.Settings, p.Shape)
}

// PracticeFor is the practice of a shop for a bow. Where the book cannot tell, common practice stands.
func PracticeFor(s *shop.Shop, bow model.Bow) Practice {
	var e Experience
	return e.PracticeFor(s, bow)
}

// teaching is how many bows of a wood teach what a stroke takes: the last ones, for edges and hands change.
const teaching = 8

// Experience keeps what the shop's strokes take, which takes long to learn, for as long as one bow is at work: it is learnt once for each wood.
// The zero value knows nothing yet. Several may ask at once; one waits for the other.
type Experience struct {
	mu      sync.Mutex
	strokes map[string]Strokes // by wood
}

// PracticeFor is PracticeFor with the strokes that were learnt before, if they were.
func (e *Experience) PracticeFor(s *shop.Shop, bow model.Bow) Practice {
	settings := Usual()
	if takes, err := s.Allowances(bow.Wood); err == nil {
		settings = settings.Taking(takes)
	}
	settings.Strokes = e.strokesOn(s, bow.Wood)
	return Practice{Settings: settings, Shape: ShapeFor(s, bow)}
}

func (e *Experience) strokesOn(s *shop.Shop, wood string) Strokes {
	e.mu.Lock()
	defer e.mu.Unlock()
	kind := shop.KindOfWood(wood)
	learnt, known := e.strokes[kind]
	if !known {
		// A book that can't tell teaches nothing.
		stories, _ := s.Scraped(wood, teaching)
		learnt = LearnStrokes(stories)
		if e.strokes == nil {
			e.strokes = make(map[string]Strokes)
		}
		e.strokes[kind] = learnt
	}
	return learnt
}
