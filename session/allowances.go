package session

import (
	"strings"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/wood"
)

// Allowances are what finishing and first use take off a bow of this wood, learnt from the shop's own finished bows and
// begun from common practice.
func (s *Shop) Allowances(wood string) (finish.Allowances, error) {
	settings, err := s.Settings()
	if err != nil {
		return finish.Allowances{}, err
	}
	tags, err := s.tags()
	if len(tags) == 0 && err != nil {
		return finish.Allowances{}, err
	}
	return lossesOf(settings, tags).allowances(wood), nil
}

// losses are what finished bows lost, by the kind of their wood.
type losses struct {
	settings finish.Settings
	of       map[string]*loss
	learnt   map[string]finish.Allowances // by the wood as the maker writes it
}

type loss struct{ sanding, settling []measure.Force }

// KindOfWood is by what two woods are one: the name under which it is known, or the one that the maker uses.
func KindOfWood(name string) string {
	if known, ok := wood.Find(name); ok {
		return known.Name
	}
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// lossesOf finds what was weighed before and after. Damaged bows teach nothing.
func lossesOf(settings finish.Settings, tags []*hung) losses {
	all := losses{settings: settings, of: make(map[string]*loss), learnt: make(map[string]finish.Allowances)}
	keys := make(map[string]string) // looking a wood up takes longer than weighing it
	for _, t := range tags {
		if t.damage != nil || len(t.facts) == 0 {
			continue
		}
		first, _ := settings.Weighings(t.plainLog())
		sanding, sanded := first.Sanding().Get()
		settling, settled := first.Settling().Get()
		if !sanded && !settled {
			continue
		}
		key, known := keys[t.Bow.Wood]
		if !known {
			key = KindOfWood(t.Bow.Wood)
			keys[t.Bow.Wood] = key
		}
		l := all.of[key]
		if l == nil {
			l = new(loss)
			all.of[key] = l
		}
		if sanded {
			l.sanding = append(l.sanding, sanding)
		}
		if settled {
			l.settling = append(l.settling, settling)
		}
	}
	return all
}

// allowances are those of a wood.
func (l losses) allowances(wood string) finish.Allowances {
	if known, ok := l.learnt[wood]; ok {
		return known
	}
	var seen loss
	if found := l.of[KindOfWood(wood)]; found != nil && strings.TrimSpace(wood) != "" {
		seen = *found
	}
	of := func(n int) string { return strings.TrimSpace(wood + " " + plural(n, "bow", "bows")) }
	learnt := finish.Allowances{
		Sanding:  finish.Learn(l.settings.Sanding, seen.sanding, of(len(seen.sanding))),
		Settling: finish.Learn(l.settings.Settling, seen.settling, of(len(seen.settling))),
	}
	l.learnt[wood] = learnt
	return learnt
}
