package shop

import (
	"slices"
	"sync"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/measure"
	"bendbook/model/wood"
	"bendbook/session/verdict"
)

// PracticeFor is the practice of a shop for a bow. If the book can't be read, it is common practice.
func (s *Shop) PracticeFor(bow model.Bow) verdict.Practice {
	return new(Experience).PracticeFor(s, bow)
}

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

// Shape is the shape that a bow should bend like, from the shop's book; nil where its aim is no
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

// Taught are, in sentences, what the shop's last bows teach, as far as it was worked out.
func (s *Shop) Taught() []string {
	rows, _ := s.rows()
	settings, _ := s.Settings()
	l := learnerOf(rows)
	var kept verdict.Kept
	if len(l.last) > 0 {
		kept, _ = l.kept(l.last[0])
	}
	return verdict.Taught(kept, l.repeats, settings.Units, 0, 0)
}

// promises fills in what the shop's other bows teach of ranges and errors, and keeps new ledgers.
func (e *Experience) promises(s *Shop, id string, settings *verdict.Settings) {
	rows, _ := s.rows()
	l := learnerOf(rows)
	settings.Repeats = l.repeats
	for _, row := range l.others(id) {
		ledger, known := l.ledger(row)
		if !known {
			story, err := s.Story(row.Bow.ID)
			if err != nil {
				continue
			}
			other := *settings
			other.Strokes = e.strokesOn(s, row.Bow.Wood)
			ledger = verdict.LedgerOf(story, other)
			s.amend(story, func(row *Row) { row.Ledger = measure.Some(ledger) })
		}
		settings.Off = append(settings.Off, ledger.Off...)
		settings.Stretch = append(settings.Stretch, ledger.Stretch...)
	}
}

// learner gathers from the rows what the shop's bows teach of ranges and errors.
type learner struct {
	repeats verdict.Repeats
	by      verdict.Errors
	last    []*Row // that were drawn, the last worked on first
}

func learnerOf(rows []*Row) (l learner) {
	for _, row := range rows {
		if row.Damage == nil && row.Drawn {
			l.repeats, l.last = l.repeats.With(row.Repeats), append(l.last, row)
		}
	}
	l.by = l.repeats.Errors()
	slices.SortStableFunc(l.last, func(a, b *Row) int { return b.Last.Compare(a.Last) })
	return l
}

// others are the last bows beside one.
func (l learner) others(id string) (rows []*Row) {
	for _, row := range l.last {
		if len(rows) < teaching && row.Bow.ID != id {
			rows = append(rows, row)
		}
	}
	return rows
}

// ledger is that of a row; ok is false where it isn't worked out by the errors learnt since.
func (l learner) ledger(row *Row) (ledger verdict.Ledger, ok bool) {
	ledger, ok = row.Ledger.Get()
	return ledger, ok && ledger.By == l.by
}

// kept is how many ranges held on a bow and the last others; ok is false where some isn't worked out.
func (l learner) kept(row *Row) (k verdict.Kept, ok bool) {
	var all []float64
	ok = true
	for _, one := range append(l.others(row.Bow.ID), row) {
		ledger, known := l.ledger(one)
		all, ok = append(all, ledger.Off...), ok && known
	}
	return verdict.KeptOf(all), ok
}

// teaching is how many bows of a wood teach what a stroke takes off, and how many of any wood how far to
// trust the ranges: only the last ones, since edges and hands change.
const teaching = 8
