package form

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// size is one of the two sizes that a calliper takes at a station, with its usual bounds (common practice, no
// source).
type size struct {
	name string
	row  func(*model.Limb) *[]maybeLength
	// Few limbs lie outside seldom, or differ by more than the share step from the station inward.
	seldom [2]measure.Length
	step   float64
}

func sizes() []size {
	return []size{
		{"depth", func(l *model.Limb) *[]maybeLength { return &l.Depths }, [2]measure.Length{0.2, 2}, 0.25},
		{"width", func(l *model.Limb) *[]maybeLength { return &l.Widths }, [2]measure.Length{0.3, 3}, 0.5},
	}
}

// regrown is by how much two readings of one size may differ (in); beyond that wood would have grown back.
const regrown measure.Length = 0.02

func measureKind() Kind {
	return Kind{
		Key: "m", Name: "measure", Reads: true,
		Long: "Enter depths and widths of the limbs by calliper; the plan then speaks in thickness and " +
			"strokes.",
		Form: "measure", Word: "measuring", Of: sizesSheet,
		About: "The limbs as they are now, by calliper: depth from belly to back, and width across. Any " +
			"stations will do. With them the plan speaks in thickness and strokes. Measured before the first " +
			"scrape, they also show how stiff a limb to expect.",
	}
}

// sizesSheet asks for the depth and the width at each station as the limbs are now. What is left out stays as
// it was known. The event changes the description; its place among the entries says whether the stave or a
// scraped limb was measured.
func sizesSheet(story session.Story) *Sheet {
	bow := story.Bow()
	t := table[model.Bow]{of: bow, was: bow, judge: func(_ string, b model.Bow) error { return b.Check() },
		visit: func(c *asker, b *model.Bow) {
			for _, z := range sizes() {
				z.visit(c, b)
			}
		}}
	for _, side := range model.Sides {
		for i := range bow.Limbs[side].Stations {
			for _, z := range sizes() {
				t.asks = append(t.asks, z.question(bow, side, i))
			}
		}
	}
	s := newSheet("measure", "Depths and widths as they are now", func(s *Sheet) (outcome, error) {
		if !s.any() {
			return outcome{}, errors.New("nothing was measured: type a depth or a width")
		}
		measured, err := t.finish(s)
		if err != nil {
			return outcome{}, err
		}
		edit, changes, err := story.Desc.EditTo(measured)
		if err == nil && !changes {
			err = errors.New("those are the last sizes: there is nothing to save")
		}
		return outcome{Event: edit}, err
	})
	named(t.asks)
	t.ask(s, "")
	return s
}

func (z size) question(bow model.Bow, side model.Side, i int) Question {
	return Question{
		Name: z.at(side, i), Label: z.name, measures: thin, path: z.path(side, i), side: side, place: i,
		Group: fmt.Sprintf("%s, %s", side, bow.Ruler().WithUnit(bow.Limbs[side].Stations[i])),
		Hint: fmt.Sprintf("by calliper, such as %s: depth from belly to back, width across; Enter alone "+
			"keeps the last one", calliper(bow, 10, 0.87)),
		was: func(*Sheet) string {
			return optional(z.known(bow, side, i), func(l measure.Length) string { return calliper(bow, 1, l) })
		},
		doubt: func(s *Sheet, text string) string {
			now, _ := bow.ParseLength(text)
			return z.doubt(s, side, i, now)
		},
	}
}

func (z size) path(side model.Side, i int) string {
	return fmt.Sprintf("limbs.%s.%ss[%d]", side, z.name, i)
}

func (z size) visit(c *asker, b *model.Bow) {
	was := z.known(*b, c.side, c.place)
	l := was
	c.MaybeLength(z.path(c.side, c.place), &l)
	if limb := &b.Limbs[c.side]; c.sets && l.Known() && l != was {
		row := z.row(limb)
		more := make([]maybeLength, len(limb.Stations)-len(*row))
		*row = append(slices.Clone(*row), more...)
		(*row)[c.place] = l
	}
}

func (z size) at(side model.Side, i int) string { return stationName(side, i) + "." + z.name }

func (z size) known(bow model.Bow, side model.Side, i int) maybeLength {
	if row := *z.row(&bow.Limbs[side]); i < len(row) {
		return row[i]
	}
	return maybeLength{}
}

// calliper prints a size to so many of the calliper's steps, in the unit in which it is typed.
func calliper(bow model.Bow, steps, l measure.Length) string {
	return measure.Rule{Unit: bow.Units.Length, Step: steps * bow.Calliper().Step}.Print(l)
}

// doubt asks about a size that grew, that is seldom met, or that is far off the nearest one inward.
func (z size) doubt(s *Sheet, side model.Side, i int, now measure.Length) string {
	bow, unit := s.of, " "+string(s.of.Units.Length)
	say := func(l measure.Length) string { return calliper(bow, 1, l) }
	if was, known := z.known(bow, side, i).Get(); known && now > was+regrown {
		return fmt.Sprintf("was %s, now %s, and wood does not grow back", say(was), say(now))
	}
	if least, most := z.seldom[0], z.seldom[1]; now < least || now > most {
		return fmt.Sprintf("a %s of %s is rare; most are %s to %s",
			z.name, say(now)+unit, calliper(bow, 100, least), calliper(bow, 100, most)+unit)
	}
	for j := i - 1; j >= 0; j-- {
		near, known := s.lengthOf(z.at(side, j)).Get()
		if !known {
			near, known = z.known(bow, side, j).Get()
		}
		if known && math.Abs(float64(now/near-1)) > z.step {
			return fmt.Sprintf("%s at %s, and %s here, is a steep step",
				say(near), bow.Ruler().WithUnit(bow.Limbs[side].Stations[j]), say(now))
		}
		if known {
			break
		}
	}
	return ""
}
