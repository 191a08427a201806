package shop

import (
	"reflect"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/wood"
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

// losses are what the bows lost, learnt once as long as neither the rows nor the settings change.
func (s *Shop) losses(settings finish.Settings, rows []*Row) *losses {
	s.mu.Lock()
	defer s.mu.Unlock()
	if l := s.rack.learnt; l == nil || !reflect.DeepEqual(l.settings, settings) {
		s.rack.learnt = lossesOf(settings, rows)
	}
	return s.rack.learnt
}

// losses are what finished bows lost, by the kind of their wood. They never change.
type losses struct {
	settings          finish.Settings
	sanding, settling map[string][]measure.Force
	// By the wood as the maker writes it: looking up its kind takes longer.
	takes map[string]finish.Allowances
}

// lossesOf finds what was weighed before and after. Damaged bows teach nothing.
func lossesOf(settings finish.Settings, rows []*Row) *losses {
	all := &losses{
		settings: settings, takes: make(map[string]finish.Allowances),
		sanding: make(map[string][]measure.Force), settling: make(map[string][]measure.Force),
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

// allowances are those of a wood; where none is named, common practice.
func (l *losses) allowances(named string) finish.Allowances {
	if known, ok := l.takes[named]; ok {
		return known
	}
	var sanding, settling []measure.Force
	if strings.TrimSpace(named) != "" {
		kind := wood.Kind(named)
		sanding, settling = l.sanding[kind], l.settling[kind]
	}
	usual := l.settings.Allowances
	return finish.Allowances{
		Sanding:  finish.Learn(usual.Sanding, sanding),
		Settling: finish.Learn(usual.Settling, settling),
	}
}
