package session

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/aim"
	"bendbook/model/finish"
)

// Finished are the bows of the book that another may be made like: those with a pull that were handed over or are being
// finished, by name, described as in their rows. A bow that cannot be read is not among them, and keeps no other from being described.
func (s *Shop) Finished() []model.Bow {
	var bows []model.Bow
	rows, _ := s.rows()
	for _, row := range rows {
		step := func(f Fact) bool { return f.What == finish.Step }
		if row.Damage == nil && row.Drawn && slices.ContainsFunc(row.Facts, step) {
			bows = append(bows, row.Bow)
		}
	}
	slices.SortStableFunc(bows, func(a, b model.Bow) int { return strings.Compare(NameOf(a), NameOf(b)) })
	return bows
}

// Like is the story of the bow whose shape is a bow's aim; named is false where its aim is no other bow's shape. The
// error says why that bow's story cannot be told.
func (s *Shop) Like(bow model.Bow) (story Story, named bool, err error) {
	called, named := aim.LikeBow(bow.Aim.Bend)
	if !named {
		return Story{}, false, nil
	}
	other, err := s.Find(called)
	if err == nil && other.ID == bow.ID {
		err = fmt.Errorf("%w but itself to be made like", ErrNoBow)
	}
	if err != nil {
		return Story{}, true, err
	}
	story, err = s.Story(other.ID)
	return story, true, err
}
