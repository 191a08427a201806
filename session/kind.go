package session

import (
	"cmp"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
)

// Kind is what the shop's finished bows of one wood and design come to.
type Kind struct {
	Wood    string
	Section model.Section
	Count   int // of finished bows: handed over
	// The middle ones (medians) of those of which they are known.
	Passes  int
	Strokes int
	Set     measure.Optional[measure.Length]
	Takes   finish.Allowances // of the wood, whatever the design
	Units   measure.Units     // the shop's
}

// Kinds are the shop's finished bows by wood and design, those of the most bows first.
func (s *Shop) Kinds() ([]Kind, error) {
	settings, err := s.Settings()
	if err != nil {
		return nil, err
	}
	tags, err := s.tagsSoFar()
	learnt := s.losses(settings, tags)
	type key struct {
		wood    string
		section model.Section
	}
	found := make(map[key][]*Tag)
	for _, h := range inBookOrder(tags) {
		if h.handedOver && h.damage == nil {
			t := h.tag()
			k := key{learnt.kindOf(t.Bow.Wood), t.Bow.Section}
			found[k] = append(found[k], &t)
		}
	}
	var kinds []Kind
	for k, of := range found {
		kind := Kind{Wood: of[0].Bow.Wood, Section: k.section, Count: len(of), Takes: learnt.allowances(of[0].Bow.Wood), Units: settings.Units}
		var passes, strokes []int
		var sets []measure.Length
		for _, t := range of {
			passes = append(passes, t.Pass)
			if t.Strokes > 0 {
				strokes = append(strokes, t.Strokes)
			}
			if set, known := t.Set.Get(); known {
				sets = append(sets, set)
			}
		}
		kind.Passes, kind.Strokes = middle(passes), middle(strokes)
		if len(sets) > 0 {
			kind.Set = measure.Some(middle(sets))
		}
		kinds = append(kinds, kind)
	}
	slices.SortFunc(kinds, func(a, b Kind) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), strings.Compare(a.Wood, b.Wood), strings.Compare(string(a.Section), string(b.Section)))
	})
	return kinds, err
}

// middle is the lower median; 0 of none.
func middle[T cmp.Ordered](all []T) T {
	var none T
	if len(all) == 0 {
		return none
	}
	slices.Sort(all)
	return all[(len(all)-1)/2]
}
