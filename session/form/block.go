package form

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

func blockKind() Kind {
	return Kind{
		Key: "k", Name: "block", Long: "Enter the gaps under a straight block laid along the belly of the " +
			"braced bow: it shows a flat spot best.",
		Form: "block", Word: "row of gaps under a block",
		About: "A straight block laid along the belly of the braced bow: its length and places once, then " +
			"the gap under its middle at each place. It shows a flat spot best.",
		Of: Block,
		correct: func(story session.Story, what model.Event) (*Sheet, bool) {
			braced, ok := what.(model.Braced)
			if !ok || !isBlock(braced) {
				return nil, false
			}
			s := Block(story)
			answers := blockRow{bow: story.Bow()}.answers(*braced.Block)
			for range 2 { // the places follow the length, and the gaps the places
				for _, q := range s.Questions {
					if text := answers[q.Name]; text != "" {
						s.answers[q.Name], s.filled[q.Name] = text, text
					}
				}
				s.retune()
			}
			finish := s.finish
			s.finish = func(s *Sheet) (Outcome, error) {
				o, err := finish(s)
				if made, ok := o.Event.(model.Braced); ok {
					made.From = braced.From
					o.Event = made
				}
				return o, err
			}
			return s, true
		},
	}
}

// isBlock says whether nothing but a block was laid on.
func isBlock(b model.Braced) bool { return b.Block != nil && !b.Readings.Any() && !b.Height.Known() }

// Block asks for the gaps under a straight block laid along the belly of the braced bow: its length and its
// places once, then the gap at the middle of the block at each place. It shows a flat spot better than any
// row of the rule.
func Block(story session.Story) *Sheet {
	row := blockRow{bow: story.Bow(), last: lastBlock(story)}
	s := newSheet("block", "Braced: gaps under a block", nil, row.finish)
	s.of = row.bow
	s.tune = func(s *Sheet) { s.Questions = row.questions(s) }
	s.tune(s)
	return s
}

// A blockRow makes a row of gaps under a block from the answers.
type blockRow struct {
	bow  model.Bow
	last model.Block // that was laid on before
}

// questions are the block's, and for each place of its middle on a limb that holds the whole block, the
// gap's.
func (r blockRow) questions(s *Sheet) []Question {
	bow := r.bow
	all := []Question{{
		Name: "length", Label: "block length", Group: "block", Unit: string(bow.Units.Length), Must: true,
		Preset: presetLength(bow, r.last.Length), Hint: fmt.Sprintf("of the straight block, such as "+
			"%s", exampleLength(bow.Units.Length, 6)),
		check: length(bow, func(l measure.Length) error {
			return pathless(bow.CheckEvent(model.Braced{From: model.FromString,
				Block: &model.Block{Length: l}}))
		}),
	}}
	length := r.last.Length
	if text := s.answers["length"]; text != "" {
		if l, err := bow.ParseLength(text); err == nil {
			length = l
		}
	}
	preset := r.texts(r.usual(length))
	places, _ := r.parse(s.answers["places"], length)
	if s.answers["places"] == "" {
		places = r.usual(length)
	}
	all = append(all, Question{
		Name: "places", Label: "places", Group: "block", Must: true, measures: aRow,
		Preset: strings.Join(preset, ", "),
		Hint: fmt.Sprintf("of its middle, from the handle out: any along the limb that hold the whole "+
			"block, such as %s", exampleStations(bow.Units.Length)),
		check: func(_ *Sheet, text string) error { _, err := r.parse(text, length); return err },
	})
	for _, side := range model.Sides {
		for _, at := range places {
			if r.fits(side, at, length) {
				all = append(all, r.gap(side, at))
			}
		}
	}
	return all
}

// gap asks for the gap at one place.
func (r blockRow) gap(side model.Side, at measure.Length) Question {
	bow := r.bow
	q := Question{
		Name: r.name(side, at), Label: bow.Ruler().WithUnit(at), Group: fmt.Sprintf("%s limb", side),
		Unit: string(bow.Units.Length), measures: thin,
		Hint: fmt.Sprintf("the gap under the middle of the block, by wedge or feeler gauge, such as %s",
			bow.Calliper().WithUnit(0.1)),
		was: func(*Sheet) string {
			for i, place := range r.last.At {
				if session.SameStation(place, at) {
					if gap, known := r.last.Gaps.At(side, i).Get(); known {
						return bow.Calliper().Print(gap)
					}
				}
			}
			return ""
		},
		check: func(s *Sheet, text string) error {
			return length(bow, func(l measure.Length) error {
				if l < 0 {
					return errors.New("a gap is not below 0")
				}
				if block, known := s.lengthOf("length").Get(); known && l >= block/2 {
					return errors.New("expected a gap under the block, less than half its length")
				}
				return nil
			})(s, text)
		},
		where: func(s *Sheet) (estimate.Where, bool) {
			block, ok := s.lengthOf("length").Get()
			return estimate.Where{Kind: estimate.Block, Side: side, At: float64(at),
				Block: float64(block)}, ok
		},
		say: func(v float64) string { return bow.Calliper().Print(measure.Length(v)) },
	}
	q.doubt = func(s *Sheet, text string) string {
		gap, err := bow.ParseLength(text)
		if err != nil {
			return ""
		}
		doubt, _ := s.unexpected(q, float64(gap))
		return doubt
	}
	return q
}

// name is the question of a place in drafts, whatever unit it is shown in.
func (r blockRow) name(side model.Side, at measure.Length) string {
	return side.String() + "@" + exactLength(r.bow.AsKept(), at)
}

// fits says whether a block with its middle at a place ends short of the nock, or at it.
func (r blockRow) fits(side model.Side, at, block measure.Length) bool {
	return at+block/2 <= r.bow.Limbs[side].Length+blockSlack
}

// blockSlack is what the conversion of units may add to a place.
const blockSlack measure.Length = 1e-6

// usual are the places that are offered: those of last time, else the stations, as far as the block fits
// there on either limb.
func (r blockRow) usual(block measure.Length) []measure.Length {
	at := slices.Clone(r.last.At)
	if len(at) == 0 {
		for _, station := range session.Stations(r.bow) {
			at = append(at, station.At)
		}
	}
	slices.Sort(at)
	return slices.DeleteFunc(slices.Compact(at), func(at measure.Length) bool {
		return !(at > 0) || !r.fits(model.Upper, at, block) && !r.fits(model.Lower, at, block)
	})
}

func (r blockRow) texts(at []measure.Length) []string {
	texts := make([]string, len(at))
	for i, l := range at {
		texts[i] = exactLength(r.bow, l)
	}
	return texts
}

// parse reads places at which the block lies whole on at least one limb.
func (r blockRow) parse(text string, block measure.Length) ([]measure.Length, error) {
	longest := max(r.bow.Limbs[model.Upper].Length, r.bow.Limbs[model.Lower].Length)
	last := longest - block/2
	places, err := parseStations(text, r.bow, last)
	if err != nil {
		return nil, err
	}
	if far := places[len(places)-1]; far > last+blockSlack {
		return nil, fmt.Errorf("at %s the block stands out past the nock; expected %s at most",
			r.bow.Ruler().Print(far), r.bow.Ruler().WithUnit(last))
	}
	return places, nil
}

func (r blockRow) finish(s *Sheet) (Outcome, error) {
	block := &model.Block{Length: s.lengthOf("length").Or(0)}
	places, err := r.parse(s.answer("places"), block.Length)
	if err != nil {
		return Outcome{}, err
	}
	for _, at := range places {
		block.At = append(block.At, at)
		for _, side := range model.Sides {
			gap := measure.Optional[measure.Length]{}
			if r.fits(side, at, block.Length) {
				gap = s.lengthOf(r.name(side, at))
			}
			block.Gaps[side] = append(block.Gaps[side], gap)
		}
	}
	if !block.Gaps.Any() {
		return Outcome{}, errors.New("nothing was read: type a gap")
	}
	return Outcome{Event: model.Braced{From: model.FromString, Block: block}}, nil
}

// answers are the answers to the questions that give a block.
func (r blockRow) answers(block model.Block) map[string]string {
	at := slices.Clone(block.At)
	slices.Sort(at)
	answers := map[string]string{"length": exactLength(r.bow, block.Length),
		"places": strings.Join(r.texts(slices.Compact(at)), ", ")}
	for i, place := range block.At {
		for _, side := range model.Sides {
			if gap, known := block.Gaps.At(side, i).Get(); known {
				answers[r.name(side, place)] = exactLength(r.bow, gap)
			}
		}
	}
	return answers
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
