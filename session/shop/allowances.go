package shop

import (
	"reflect"
	"strings"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/wood"
)

// Allowances are what finishing and first use take off a bow of this wood, by the shop's own finished bows.
func (s *Shop) Allowances(wood string) (finish.Allowances, error) {
	settings, err := s.Settings()
	if err != nil {
		return finish.Allowances{}, err
	}
	rows, err := s.rows()
	if len(rows) == 0 && err != nil {
		return finish.Allowances{}, err
	}
	return s.losses(settings, rows).allowances(wood), nil
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

// KindOfWood is by what two woods are one: the name under which it is known, or the one that the maker uses.
func KindOfWood(name string) string {
	if known, ok := wood.Find(name); ok {
		return known.Name
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// lossesOf finds what was weighed before and after. Damaged bows teach nothing.
func lossesOf(settings finish.Settings, rows []*Row) *losses {
	all := &losses{settings: settings, takes: make(map[string]finish.Allowances)}
	all.sanding, all.settling = make(map[string][]measure.Force), make(map[string][]measure.Force)
	for _, row := range rows {
		if row.Damage != nil {
			continue
		}
		first, _ := settings.Weighings(logOf(row.Facts, row.Last.Location()))
		kind := KindOfWood(row.Bow.Wood)
		if lost, known := first.Sanding().Get(); known {
			all.sanding[kind] = append(all.sanding[kind], lost)
		}
		if lost, known := first.Settling().Get(); known {
			all.settling[kind] = append(all.settling[kind], lost)
		}
	}
	for _, row := range rows {
		if _, known := all.takes[row.Bow.Wood]; !known {
			all.takes[row.Bow.Wood] = all.learn(row.Bow.Wood)
		}
	}
	return all
}

// allowances are those of a wood.
func (l *losses) allowances(wood string) finish.Allowances {
	if known, ok := l.takes[wood]; ok {
		return known
	}
	return l.learn(wood)
}

func (l *losses) learn(wood string) finish.Allowances {
	from := func(start measure.Force, lost map[string][]measure.Force) finish.Allowance {
		if strings.TrimSpace(wood) == "" {
			return finish.Learn(start, nil)
		}
		return finish.Learn(start, lost[KindOfWood(wood)])
	}
	usual := l.settings.Allowances
	sanding, settling := from(usual.Sanding, l.sanding), from(usual.Settling, l.settling)
	return finish.Allowances{Sanding: sanding, Settling: settling}
}
