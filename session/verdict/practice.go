package verdict

import (
	"sync"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/session"
	"bendbook/session/shop"
)

// Settings are what a shop's own bows teach; see [Usual].
type Settings struct {
	Takes   finish.Allowances // what first use and finishing take
	Strokes Strokes           // what the shop's tools take; nil stands for common practice
}

// Usual are the settings by common practice: a pound for first use and one for finishing.
func Usual() Settings {
	pound := finish.Allowance{Mean: 1}
	return Settings{Takes: finish.Allowances{Settling: pound, Sanding: pound}}
}

// Practice is what a bow's readings are judged by in a shop.
type Practice struct {
	Settings Settings
	Shape    *aim.Aim // of the bow that this one is to bend like; nil for its own aim
	Before   Advice   // what was said of the bow before, from which Of goes on; zero begins anew
}

// Of is [Of] by this practice.
func (p Practice) Of(story session.Story) (Advice, error) {
	return p.Before.Again(story, p.Settings, p.Shape)
}

// PracticeFor is the practice of a shop for a bow. Where the book cannot tell, common practice stands.
func PracticeFor(s *shop.Shop, bow model.Bow) Practice {
	return new(Experience).PracticeFor(s, bow)
}

// teaching is how many bows of a wood teach what a stroke takes: the last ones, for edges and hands change.
const teaching = 8

// Experience keeps what the shop's strokes take on each wood, which takes long to learn, while one bow is at
// work. The zero value knows nothing yet. Several may ask at once; one waits for the other.
type Experience struct {
	mu      sync.Mutex
	strokes map[string]Strokes // by wood
}

// PracticeFor is PracticeFor with the strokes that were learnt before, if they were.
func (e *Experience) PracticeFor(s *shop.Shop, bow model.Bow) Practice {
	settings := Usual()
	if takes, err := s.Allowances(bow.Wood); err == nil {
		settings.Takes = takes
	}
	settings.Strokes = e.strokesOn(s, bow.Wood)
	return Practice{Settings: settings, Shape: ShapeFor(s, bow)}
}

func (e *Experience) strokesOn(s *shop.Shop, wood string) Strokes {
	e.mu.Lock()
	defer e.mu.Unlock()
	kind := shop.KindOfWood(wood)
	if learnt, known := e.strokes[kind]; known {
		return learnt
	}
	if e.strokes == nil {
		e.strokes = make(map[string]Strokes)
	}
	// A book that can't tell teaches nothing.
	stories, _ := s.Scraped(wood, teaching)
	e.strokes[kind] = LearnStrokes(stories)
	return e.strokes[kind]
}
