package form

import (
	"errors"
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

func blockKind() Kind {
	return Kind{
		Key: "k", Name: "block", Reads: true,
		Long: "Enter the gaps under a straight block on the belly of the braced bow. Nothing shows a flat spot " +
			"better.",
		Form: "block", Word: "row of gaps under a block",
		About: "A straight block laid along the belly of the braced bow. Type its length and places once, then " +
			"the gap under its middle at each. Nothing shows a flat spot better.",
		Of: Block,
		correct: func(story session.Story, what model.Event) (*Sheet, bool) {
			braced, ok := what.(model.Braced)
			if !ok || braced.Block == nil || braced.Readings.Any() || braced.Height.Known() {
				return nil, false
			}
			row := rowOf(story, braced.From, inOrder(*braced.Block))
			s := row.sheet()
			for range 2 { // the places follow the length, and the gaps the places
				row.table(s).fill(s)
				s.retune()
			}
			return s, true
		},
	}
}

// Block asks for the gaps under a straight block laid along the belly of the braced bow: its length and its
// places once, then the gap at the middle of the block at each place.
func Block(story session.Story) *Sheet { return rowOf(story, model.FromString, model.Block{}).sheet() }

// A blockRow makes a row of gaps under a block from the answers.
type blockRow struct {
	bow     model.Bow
	last    model.Block // that was laid on before
	strings func(*Sheet) session.Strings
	from    model.Datum
	was     model.Block // that is corrected
}

func rowOf(story session.Story, from model.Datum, was model.Block) blockRow {
	return blockRow{bow: story.Bow(), last: lastBlock(story), strings: bracedOn(story), from: from, was: was}
}

func (r blockRow) sheet() *Sheet {
	s := newSheet("block", "Braced: gaps under a block", func(s *Sheet) (outcome, error) {
		block, err := r.table(s).finish(s)
		return outcome{Event: model.Braced{From: r.from, Block: &block}}, pathless(err)
	})
	s.tune = func(s *Sheet) { r.table(s).ask(s, "block") }
	s.retune()
	return s
}

// table asks for the block, and for the gap at each place on a limb that holds the whole block.
func (r blockRow) table(s *Sheet) table[model.Block] {
	length := r.last.Length
	if l, err := r.bow.ParseLength(s.answers["length"]); err == nil {
		length = l
	}
	usual := r.usual(length)
	places, _ := r.parse(s.answers["places"], length)
	if s.answers["places"] == "" {
		places = usual
	}
	t := table[model.Block]{
		of: r.bow, was: r.was, whole: wholeBlock, strings: r.strings,
		visit: func(c *asker, b *model.Block) {
			c.Length("block.length", &b.Length)
			always(c, "block.at", "", simple(aRow, func(text string) ([]measure.Length, error) {
				return r.parse(text, length)
			}, r.list), &b.At)
			c.row("block.", &b.Gaps)
		},
		judge: func(_ string, b model.Block) error {
			return r.bow.CheckEvent(model.Braced{From: r.from, Block: &b})
		},
	}
	t.asks = []Question{
		{path: "block.length", Label: "block length", must: true,
			Preset: lengthAs(r.bow, r.bow.Ruler().Short(r.last.Length), r.last.Length),
			Hint:   "how long is your straight block? Such as {6in}"},
		{path: "block.at", Name: "places", must: true, Preset: r.list(usual),
			Hint: "where its middle will lie, from the handle out, such as " + exampleStations +
				"; all of it must fit"},
	}
	for _, side := range model.Sides {
		for i, at := range places {
			if r.fits(side, at, length) {
				t.asks = append(t.asks, r.gap(side, i, at))
			}
		}
	}
	named(t.asks)
	// The gaps move with the places, so all are set anew.
	t.along = func(s *Sheet, b *model.Block) {
		*b = model.Block{}
		for _, q := range t.asks {
			_ = t.set(q, b, s.answer(q.Name)) // as in made
		}
	}
	return t
}

func wholeBlock(_ *Sheet, b *model.Block) error {
	if !b.Gaps.Any() {
		return errors.New("nothing was read: type a gap")
	}
	for _, side := range model.Sides {
		missing := max(0, len(b.At)-len(b.Gaps[side]))
		b.Gaps[side] = append(b.Gaps[side], make([]maybeLength, missing)...)
	}
	return nil
}

func (r blockRow) gap(side model.Side, i int, at measure.Length) Question {
	gauge := r.bow.Calliper()
	print := gauge.Print
	if gauge.Unit != r.bow.Units.Length {
		print = gauge.WithUnit
	}
	q := Question{
		// The name in drafts is the same whatever unit the place is shown in.
		Name:  side.String() + "@" + exactLength(r.bow.AsKept(), at),
		Label: r.bow.Ruler().WithUnit(at), Group: fmt.Sprintf("%s limb", side),
		path: "block." + stationPath(side, i), side: side, place: i, below: "a gap can't be below 0",
		measures: thin,
		Hint: fmt.Sprintf("the gap under the block's middle, by wedge or feeler gauge, such as %s; "+
			"Enter alone leaves it out", gauge.WithUnit(0.1)),
		was: func(*Sheet) string {
			same := func(place measure.Length) bool { return session.SameStation(place, at) }
			return optional(r.last.Gaps.At(side, slices.IndexFunc(r.last.At, same)), print)
		},
		where: func(s *Sheet) (estimate.Where, bool) {
			block, ok := s.lengthOf("length").Get()
			return estimate.Where{Kind: estimate.Block, Side: side, At: float64(at), Block: float64(block)}, ok
		},
		say: func(v float64) string { return print(measure.Length(v)) },
	}
	q.doubt = func(s *Sheet, text string) string {
		gap, _ := r.bow.ParseLength(text)
		return s.unexpected(q, float64(gap))
	}
	return q
}

// fits says whether a block with its middle at a place ends short of the nock, or at it.
func (r blockRow) fits(side model.Side, at, block measure.Length) bool {
	return at+block/2 <= r.bow.Limbs[side].Length+blockSlack
}

// blockSlack is what the conversion of units may add to a place.
const blockSlack measure.Length = 1e-6

// usual returns the places to offer: last time's, else the stations, where the block fits on either limb.
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

func (r blockRow) list(at []measure.Length) string {
	return placeList(at, func(l measure.Length) string { return exactLength(r.bow, l) })
}

// parse reads places; at each the whole block must lie on at least one limb.
func (r blockRow) parse(text string, block measure.Length) ([]measure.Length, error) {
	last := max(r.bow.Limbs[model.Upper].Length, r.bow.Limbs[model.Lower].Length) - block/2
	places, err := parseStations(text, r.bow, last)
	if err != nil {
		return nil, err
	}
	if far := places[len(places)-1]; far > last+blockSlack {
		return nil, fmt.Errorf("at %s the block stands out past the nock: type %s at most",
			r.bow.Ruler().Print(far), r.bow.Ruler().WithUnit(last))
	}
	return places, nil
}

// inOrder returns a block with each of its places once, from the handle out.
func inOrder(b model.Block) model.Block {
	sorted := model.Block{Length: b.Length, At: slices.Clone(b.At)}
	slices.Sort(sorted.At)
	sorted.At = slices.Compact(sorted.At)
	for i, at := range b.At {
		for _, side := range model.Sides {
			if gap := b.Gaps.At(side, i); gap.Known() {
				sorted.Gaps[side] = withReading(sorted.Gaps[side], slices.Index(sorted.At, at), gap)
			}
		}
	}
	return sorted
}

// lastBlock returns the last block that was laid on; one of 6 in, without gaps, before the first.
func lastBlock(story session.Story) model.Block {
	last := model.Block{Length: 6}
	if story.Bow().Units.Length != measure.Inch {
		last.Length = measure.Centimetre.Length(15)
	}
	for _, pass := range story.Passes {
		for _, braced := range pass.Braced {
			if braced.Block != nil {
				last = *braced.Block
			}
		}
	}
	return last
}
