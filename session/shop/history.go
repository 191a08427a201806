package shop

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/wood"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Allowances are what finishing and first use take off a bow of this wood, by the shop's own finished bows.
func (s *Shop) Allowances(named string) (finish.Allowances, error) {
	settings, err := s.Settings()
	if err != nil {
		return finish.Allowances{}, err
	}
	rows, err := s.rows()
	if len(rows) == 0 && err != nil {
		return finish.Allowances{}, err
	}
	return s.losses(settings, rows).allowances(named), nil
}

// Kind is what the shop's finished bows of one wood and design have in common.
type Kind struct {
	Wood    string
	Section model.Section
	Count   int // of finished bows: handed over
	// Medians of the bows of which they are known.
	Passes  int
	Strokes int
	Set     measure.Optional[measure.Length]
	Takes   finish.Allowances // of the wood, whatever the design
	Units   measure.Units     // the shop's
}

// Kinds are the shop's finished bows by wood and design, the most frequent first.
func (s *Shop) Kinds() ([]Kind, error) {
	settings, err := s.Settings()
	if err != nil {
		return nil, err
	}
	rows, err := s.rows()
	learnt := s.losses(settings, rows)
	type key struct {
		wood    string
		section model.Section
	}
	found := make(map[key][]*Row)
	for _, row := range rows {
		if row.HandedOver && row.Damage == nil {
			k := key{wood.Kind(row.Bow.Wood), row.Bow.Section}
			found[k] = append(found[k], row)
		}
	}
	var kinds []Kind
	for k, of := range found {
		kind := Kind{Wood: of[0].Bow.Wood, Section: k.section, Count: len(of), Units: settings.Units}
		kind.Takes = learnt.allowances(kind.Wood)
		var passes, strokes []int
		var sets []measure.Length
		for _, row := range of {
			passes = append(passes, row.Pass)
			if row.Strokes > 0 {
				strokes = append(strokes, row.Strokes)
			}
			if set, known := row.Set.Get(); known {
				sets = append(sets, set)
			}
		}
		kind.Passes, kind.Strokes, kind.Set = median(passes).Or(0), median(strokes).Or(0), median(sets)
		kinds = append(kinds, kind)
	}
	slices.SortFunc(kinds, func(a, b Kind) int {
		return cmp.Or(
			cmp.Compare(b.Count, a.Count), cmp.Compare(a.Wood, b.Wood), cmp.Compare(a.Section, b.Section))
	})
	return kinds, err
}

// median is the lower of the two in the middle where there are two; unread of none.
func median[T cmp.Ordered](all []T) measure.Optional[T] {
	if len(all) == 0 {
		return measure.Optional[T]{}
	}
	slices.Sort(all)
	return measure.Some(all[(len(all)-1)/2])
}

// Finished are the bows with a pull and a step of finishing, by name, as in their rows.
func (s *Shop) Finished() []model.Bow {
	var bows []model.Bow
	rows, _ := s.rows()
	for _, row := range rows {
		step := func(f finish.Fact) bool { return f.What == finish.Step }
		if row.Damage == nil && row.Drawn && slices.ContainsFunc(row.Facts, step) {
			bows = append(bows, row.Bow)
		}
	}
	slices.SortStableFunc(bows, func(a, b model.Bow) int {
		return cmp.Compare(session.NameOf(a), session.NameOf(b))
	})
	return bows
}

// Lesson is what another bow of a bow's wood taught last, in a sentence; "" where none did.
func (s *Shop) Lesson(bow model.Bow) string {
	if strings.TrimSpace(bow.Wood) == "" {
		return ""
	}
	kind, says, newest := wood.Kind(bow.Wood), "", time.Time{}
	rows, _ := s.rows()
	for _, row := range rows {
		lesson, at := row.Lesson()
		if lesson != "" && !at.Before(newest) && row.Bow.ID != bow.ID && wood.Kind(row.Bow.Wood) == kind {
			says, newest = session.SayLesson(row.Bow, lesson), at
		}
	}
	return says
}

// like is the story of the bow whose shape is a bow's aim; named is false where the aim isn't a bow's shape.
func (s *Shop) like(bow model.Bow) (story session.Story, named bool, err error) {
	called, named := aim.LikeBow(bow.Aim.Bend)
	if !named {
		return session.Story{}, false, nil
	}
	other, err := s.Find(called)
	switch {
	case err != nil:
	case other.ID == bow.ID:
		err = fmt.Errorf("%w but itself to be made like", ErrNoBow)
	default:
		story, err = s.Story(other.ID)
	}
	return story, true, err
}

// scraped are at most so many stories of bows of a wood whose strokes were counted, the last worked on first.
func (s *Shop) scraped(named string, most int) ([]session.Story, error) {
	rows, err := s.rows()
	if len(rows) == 0 && err != nil {
		return nil, err
	}
	kind := wood.Kind(named)
	rows = slices.DeleteFunc(rows, func(row *Row) bool {
		return row.Damage != nil || row.Strokes == 0 || row.Pass == 0 || wood.Kind(row.Bow.Wood) != kind
	})
	slices.SortStableFunc(rows, func(a, b *Row) int { return b.Last.Compare(a.Last) })
	var all []session.Story
	for _, row := range rows[:min(most, len(rows))] {
		if story, err := s.Story(row.Bow.ID); err == nil {
			all = append(all, story)
		}
	}
	return all, nil
}

// losses are what finished bows lost, by the kind of their wood. They never change.
type losses struct {
	settings          finish.Settings
	sanding, settling map[string][]float64
	takes             map[string]finish.Allowances // by the wood as the maker writes it, which is quicker
}

// lossesOf finds what was weighed before and after. Damaged bows teach nothing.
func lossesOf(settings finish.Settings, rows []*Row) *losses {
	all := &losses{
		settings: settings, takes: make(map[string]finish.Allowances),
		sanding: make(map[string][]float64), settling: make(map[string][]float64),
	}
	for _, row := range rows {
		if row.Damage != nil {
			continue
		}
		first, _ := settings.Weighings(verdict.LogOf(row.Facts, row.Last.Location()))
		kind := wood.Kind(row.Bow.Wood)
		if lost, known := first.Sanding().Get(); known {
			all.sanding[kind] = append(all.sanding[kind], lost)
		}
		if lost, known := first.Settling().Get(); known {
			all.settling[kind] = append(all.settling[kind], lost)
		}
	}
	for _, row := range rows {
		all.takes[row.Bow.Wood] = all.allowances(row.Bow.Wood)
	}
	return all
}

// allowances are what the shop has learnt for a wood, or common practice if no wood is named.
func (l *losses) allowances(named string) finish.Allowances {
	if known, ok := l.takes[named]; ok {
		return known
	}
	var sanding, settling []float64
	if strings.TrimSpace(named) != "" {
		kind := wood.Kind(named)
		sanding, settling = l.sanding[kind], l.settling[kind]
	}
	usual := l.settings.Allowances
	return finish.Allowances{
		Sanding:  finish.Learn(usual.Sanding.Share(), sanding),
		Settling: finish.Learn(usual.Settling.Share(), settling),
	}
}
