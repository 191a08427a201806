package shop

import (
	"fmt"
	"sync"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/verdict"
)

// PracticeFor is the practice of a shop for a bow. If the book can't be read, it is common practice.
func (s *Shop) PracticeFor(bow model.Bow) verdict.Practice {
	return new(Experience).PracticeFor(s, bow)
}

// teaching is how many bows of a wood teach what a stroke takes off, and how many of any wood how far to
// trust the ranges: only the last ones, since edges and hands change.
const teaching = 8

// Experience caches what the shop's strokes take off each wood, which is slow to work out. The zero value is
// empty and ready. It is safe for several goroutines.
type Experience struct {
	mu      sync.Mutex
	strokes map[string]verdict.Strokes // by wood
}

// PracticeFor is [Shop.PracticeFor] with the strokes from the cache.
func (e *Experience) PracticeFor(s *Shop, bow model.Bow) verdict.Practice {
	settings := verdict.Usual()
	if takes, err := s.Allowances(bow.Wood); err == nil {
		settings.Takes = takes
	}
	settings.Strokes = e.strokesOn(s, bow.Wood)
	e.promises(s, bow.ID, &settings)
	return verdict.Practice{Settings: settings, Shape: s.Shape(bow)}
}

func (e *Experience) strokesOn(s *Shop, of string) verdict.Strokes {
	e.mu.Lock()
	defer e.mu.Unlock()
	kind := wood.Kind(of)
	if learnt, known := e.strokes[kind]; known {
		return learnt
	}
	if e.strokes == nil {
		e.strokes = make(map[string]verdict.Strokes)
	}
	// A book that can't tell teaches nothing.
	stories, _ := s.scraped(of, teaching)
	e.strokes[kind] = verdict.LearnStrokes(stories)
	return e.strokes[kind]
}

// Shape is the shape that a bow is to bend like, from the book of the shop; nil where its aim is no
// other bow's shape, or that is not to be had, of which [verdict.Of] cautions.
func (s *Shop) Shape(bow model.Bow) *aim.Aim {
	story, named, err := s.like(bow)
	if err != nil || !named {
		return nil
	}
	shape, err := verdict.ShapeOf(story)
	if err != nil {
		return nil
	}
	return &shape
}

// rerig describes the bows in hand that were read on the shop's tree by what is now known of it.
func (s *Shop) rerig(was, now finish.Tree) error {
	if was.Rig().Same(now.Rig()) && was.Rocking() == now.Rocking() {
		return nil
	}
	rows, _ := s.rows()
	for _, row := range rows {
		if row.Damage != nil || !row.InHand || row.HandedOver {
			continue
		}
		bench, err := s.Bench(row.Bow.ID)
		if err != nil {
			return err
		}
		bow := bench.Story().Bow()
		if !bow.Rig.Same(was.Rig()) {
			continue
		}
		if bow.Rig = now.Rig(); was.Rocking() != now.Rocking() {
			bow.Cradle = now.Rocking()
		}
		if err := bench.Redescribe(bow, ""); err != nil {
			return fmt.Errorf("describing %s by the new settings: %w", session.NameOf(bow), err)
		}
	}
	return nil
}
