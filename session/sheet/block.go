package sheet

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

// Block asks for the gaps under a straight block laid along the belly of the braced bow: its length once, then the gap at
// the middle of the block with that at each station. It shows a flat place better than any row of the rule.
func Block(story session.Story) *Sheet {
	bow := story.Bow()
	stations := session.Stations(bow)
	last := lastBlock(story)
	questions := []Question{{
		Name: "length", Label: "block length", Group: "block", Unit: string(bow.Units.Length), Must: true,
		Preset: bow.Ruler().Short(last.Length), Hint: "of the straight block, such as " + exampleLength(bow.Units.Length, 6),
		check: length(bow, func(l measure.Length) error {
			return pathless(bow.CheckEvent(model.Braced{From: model.FromString, Block: &model.Block{Length: l}}))
		}),
	}}
	for _, side := range model.Sides {
		for _, at := range stations {
			if at.Index[side] < 0 {
				continue
			}
			q := Question{
				Name: stationName(side, at.Index[side]), Label: bow.Ruler().WithUnit(at.At), Group: side.String() + " limb",
				Unit: string(bow.Units.Length),
				Hint: fmt.Sprintf("the gap under the middle of the block, by wedge or feeler gauge, such as %s", bow.Calliper().WithUnit(0.1)),
				was: func(*Sheet) string {
					for i, place := range last.At {
						if session.SameStation(place, at.At) {
							if gap, known := last.Gaps.At(side, i).Get(); known {
								return bow.Calliper().Print(gap)
							}
						}
					}
					return ""
				},
				check: length(bow, func(l measure.Length) error {
					if l < 0 {
						return errors.New("a gap is not below 0")
					}
					return nil
				}),
				where: func(s *Sheet) (estimate.Where, bool) {
					block, ok := s.lengthOf(bow, "length").Get()
					return estimate.Where{Kind: estimate.Block, Side: side, At: float64(at.At), Block: float64(block)}, ok
				},
				say: func(v float64) string { return bow.Calliper().Print(measure.Length(v)) },
			}
			q.doubt = func(s *Sheet, text string) string {
				gap, err := measure.ParseLength(text, bow.Units.Length)
				if err != nil {
					return ""
				}
				doubt, _ := s.unexpected(q, float64(gap))
				return doubt
			}
			questions = append(questions, q)
		}
	}
	return newSheet("block", "Braced: gaps under a block", questions, func(s *Sheet) (Outcome, error) {
		block := &model.Block{Length: s.lengthOf(bow, "length").Or(0)}
		for _, at := range stations {
			block.At = append(block.At, at.At)
			for _, side := range model.Sides {
				gap := measure.Optional[measure.Length]{}
				if i := at.Index[side]; i >= 0 {
					gap = s.lengthOf(bow, stationName(side, i))
				}
				block.Gaps[side] = append(block.Gaps[side], gap)
			}
		}
		if !block.Gaps.Any() {
			return Outcome{}, errors.New("nothing was read: type a gap")
		}
		return Outcome{Event: model.Braced{From: model.FromString, Block: block}}, nil
	})
}

// lastBlock is the last block that was laid on; one of 6 in, without gaps, before the first.
func lastBlock(story session.Story) model.Block {
	for n := len(story.Passes) - 1; n >= 0; n-- {
		for i := len(story.Passes[n].Braced) - 1; i >= 0; i-- {
			if block := story.Passes[n].Braced[i].Block; block != nil {
				return *block
			}
		}
	}
	length := measure.Length(6)
	if story.Bow().Units.Length != measure.Inch {
		length = measure.Centimetre.Length(15)
	}
	return model.Block{Length: length}
}
