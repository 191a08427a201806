package session

import (
	"reflect"
	"strings"
	"sync"

	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/model/wood"
)

// Allowances are what finishing and first use take off a bow of this wood, learnt from the shop's own finished bows and
// begun from common practice.
func (s *Shop) Allowances(wood string) (finish.Allowances, error) {
	settings, err := s.Settings()
	if err != nil {
		return finish.Allowances{}, err
	}
	tags, err := s.tagsSoFar()
	if len(tags) == 0 && err != nil {
		return finish.Allowances{}, err
	}
	return s.losses(settings, tags).allowances(wood), nil
}

// losses are what the bows lost, learnt once as long as neither they nor the settings change.
func (s *Shop) losses(settings finish.Settings, tags []*hung) *losses {
	if learnt := s.learnt(settings); learnt != nil {
		return learnt
	}
	learnt := lossesOf(settings, tags)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rail.hangs(tags) {
		s.rail.learnt = learnt
	}
	return learnt
}

// learnt are the losses by these settings, where they are known already; nil where they are not.
func (s *Shop) learnt(settings finish.Settings) *losses {
	s.mu.Lock()
	defer s.mu.Unlock()
	if l := s.rail.learnt; l != nil && reflect.DeepEqual(l.settings, settings) {
		return l
	}
	return nil
}

// losses are what finished bows lost, by the kind of their wood. They may be asked by several at once.
type losses struct {
	settings finish.Settings
	of       map[string]*loss
	kinds    map[string]string // by the wood as the maker writes it: looking one up takes longer than weighing it

	mu    sync.Mutex
	takes map[string]finish.Allowances // by the wood as the maker writes it
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
func lossesOf(settings finish.Settings, tags []*hung) *losses {
	all := &losses{
		settings: settings, of: make(map[string]*loss), kinds: make(map[string]string), takes: make(map[string]finish.Allowances),
	}
	for _, h := range tags {
		one := all.one(h)
		if one == (bowLoss{}) {
			continue
		}
		key := all.kindOf(one.wood)
		l := all.of[key]
		if l == nil {
			l = new(loss)
			all.of[key] = l
		}
		if sanding, known := one.sanding.Get(); known {
			l.sanding = append(l.sanding, sanding)
		}
		if settling, known := one.settling.Get(); known {
			l.settling = append(l.settling, settling)
		}
	}
	return all
}

// bowLoss is what one bow lost; zero where nothing tells.
type bowLoss struct {
	wood              string
	sanding, settling measure.Optional[measure.Force]
}

func (l *losses) one(h *hung) bowLoss {
	if h == nil || h.damage != nil {
		return bowLoss{}
	}
	facts := factsIn(h.doc)
	if len(facts) == 0 {
		return bowLoss{}
	}
	first, _ := l.settings.Weighings(plainLog(facts))
	one := bowLoss{sanding: first.Sanding(), settling: first.Settling()}
	if !one.sanding.Known() && !one.settling.Known() {
		return bowLoss{}
	}
	t, _, _ := tagHead(h.doc)
	one.wood = t.Bow.Wood
	return one
}

// same says whether both tags tell the same losses, so that nothing has to be learnt anew.
func (l *losses) same(before, after *hung) bool { return l.one(before) == l.one(after) }

func (l *losses) kindOf(wood string) string {
	l.mu.Lock()
	defer l.mu.Unlock()
	kind, known := l.kinds[wood]
	if !known {
		kind = KindOfWood(wood)
		l.kinds[wood] = kind
	}
	return kind
}

// allowances are those of a wood.
func (l *losses) allowances(wood string) finish.Allowances {
	kind := l.kindOf(wood)
	l.mu.Lock()
	defer l.mu.Unlock()
	if known, ok := l.takes[wood]; ok {
		return known
	}
	var seen loss
	if found := l.of[kind]; found != nil && strings.TrimSpace(wood) != "" {
		seen = *found
	}
	of := func(n int) string { return strings.TrimSpace(plain.Plural(n, "%s bow", "%s bows", wood)) }
	learnt := finish.Allowances{
		Sanding:  finish.Learn(l.settings.Sanding, seen.sanding, of(len(seen.sanding))),
		Settling: finish.Learn(l.settings.Settling, seen.settling, of(len(seen.settling))),
	}
	l.takes[wood] = learnt
	return learnt
}
