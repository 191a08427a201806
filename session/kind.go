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
	rows, err := s.rows()
	learnt := s.losses(settings, rows)
	type key struct {
		wood    string
		section model.Section
	}
	found := make(map[key][]*Row)
	for _, row := range rows {
		if row.HandedOver && row.Damage == nil {
			k := key{KindOfWood(row.Bow.Wood), row.Bow.Section}
			found[k] = append(found[k], row)
		}
	}
	var kinds []Kind
	for k, of := range found {
		kind := Kind{Wood: of[0].Bow.Wood, Section: k.section, Count: len(of), Takes: learnt.allowances(of[0].Bow.Wood), Units: settings.Units}
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
