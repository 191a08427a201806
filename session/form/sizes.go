package form

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// size is one of the two sizes that a calliper takes at a station, and what is seldom of it; common practice, no source.
type size struct {
	name string
	row  func(*model.Limb) *[]measure.Optional[measure.Length]
	// seldom are what a limb is seldom under and over, and step the share by which it seldom differs from the station inward.
	seldom [2]measure.Length
	step   float64
}

func sizes() []size {
	return []size{
		{"depth", func(l *model.Limb) *[]measure.Optional[measure.Length] { return &l.Depths }, [2]measure.Length{0.2, 2}, 0.25},
		{"width", func(l *model.Limb) *[]measure.Optional[measure.Length] { return &l.Widths }, [2]measure.Length{0.3, 3}, 0.5},
	}
}

// regrown is by how much a limb may be deeper or wider than it was by the calliper alone (in); beyond that wood would have grown back.
const regrown measure.Length = 0.02

// calliper asks for the widths and depths of a bow's limbs.
type calliper struct {
	story session.Story
	bow   model.Bow
}

func measureKind() Kind {
	return Kind{
		Key: "m", Name: "measure", Long: "Enter depths and widths of the limbs by calliper; the plan then tells depth, and strokes once they were counted.",
		Form: "measure", Word: "measuring", Of: Sizes,
		About: "The limbs as they are now, by calliper: the depth from belly to back and the width across, at any of the stations. By them the plan tells wood in inches and strokes. " +
			"Before the first scrape they also tell how stiff a limb to expect; once wood came off they say nothing of the stave as it was.",
	}
}

// Sizes asks for the depth and the width at each station as the limbs are now, the upper limb's first. What is left out stays as it was known. The
// event changes the description, and stands in its place among the entries, which says whether the stave or a scraped limb was measured.
func Sizes(story session.Story) *Sheet {
	c := calliper{story, story.Bow()}
	var questions []Question
	for _, side := range model.Sides {
		for i := range c.bow.Limbs[side].Stations {
			for _, z := range sizes() {
				questions = append(questions, c.question(side, i, z))
			}
		}
	}
	s := newSheet("measure", "Depths and widths as they are now", questions, c.finish)
	s.of = c.bow
	return s
}

func (c calliper) question(side model.Side, i int, z size) Question {
	return Question{
		Name: c.name(side, i, z), Label: z.name, Unit: string(c.bow.Units.Length), measures: thin,
		Group: fmt.Sprintf("%s, %s", side, c.bow.Ruler().WithUnit(c.bow.Limbs[side].Stations[i])),
		Hint:  fmt.Sprintf("by calliper, such as %s: depth from belly to back, width across; Enter alone leaves it as it was", c.to(10, 0.87)),
		was: func(*Sheet) string {
			if l, known := c.known(side, i, z).Get(); known {
				return c.print(l)
			}
			return ""
		},
		check: length(c.bow, func(l measure.Length) error {
			bow := c.bow
			limb := &bow.Limbs[side]
			*z.row(limb) = with(*z.row(limb), len(limb.Stations), i, l)
			var fault *model.FieldError
			if errors.As(bow.Check(), &fault) && strings.HasPrefix(fault.Field, "limbs."+side.String()+"."+z.name) {
				return errors.New(fault.Want)
			}
			return nil
		}),
		doubt: c.doubt(side, i, z),
	}
}

// name is a question in drafts.
func (c calliper) name(side model.Side, i int, z size) string {
	return stationName(side, i) + "." + z.name
}

// known is a size as the description has it.
func (c calliper) known(side model.Side, i int, z size) measure.Optional[measure.Length] {
	if row := *z.row(&c.bow.Limbs[side]); i < len(row) {
		return row[i]
	}
	return measure.Optional[measure.Length]{}
}

// print is a size to the calliper's step.
func (c calliper) print(l measure.Length) string { return c.to(1, l) }

// to is a size to so many of the calliper's steps, in the unit in which it is typed.
func (c calliper) to(steps, l measure.Length) string {
	return measure.Rule{Unit: c.bow.Units.Length, Step: steps * c.bow.Calliper().Step}.Print(l)
}

// doubt asks about a size that grew, that is seldom met, or that is far off the nearest one inward.
func (c calliper) doubt(side model.Side, i int, z size) func(*Sheet, string) string {
	return func(s *Sheet, text string) string {
		now, err := c.bow.ParseLength(text)
		if err != nil {
			return ""
		}
		unit := " " + string(c.bow.Units.Length)
		if was, known := c.known(side, i, z).Get(); known && now > was+regrown {
			return fmt.Sprintf("was %s, now %s, and wood does not grow back: %s", c.print(was), c.print(now), keepIt)
		}
		if least, most := z.seldom[0], z.seldom[1]; now < least || now > most {
			return fmt.Sprintf("a %s of %s is seldom; most lie from %s to %s: %s", z.name, c.print(now)+unit, c.to(100, least), c.to(100, most)+unit, keepIt)
		}
		for j := i - 1; j >= 0; j-- {
			near, known := s.lengthOf(c.name(side, j, z)).Get()
			if !known {
				near, known = c.known(side, j, z).Get()
			}
			if !known {
				continue
			}
			if math.Abs(float64(now/near-1)) > z.step {
				return fmt.Sprintf("%s at %s, and %s here, is a steep step: %s", c.print(near), c.bow.Ruler().WithUnit(c.bow.Limbs[side].Stations[j]), c.print(now), keepIt)
			}
			break
		}
		return ""
	}
}

func (c calliper) finish(s *Sheet) (Outcome, error) {
	bow, measured := c.bow, false
	for _, side := range model.Sides {
		limb := &bow.Limbs[side]
		for i := range limb.Stations {
			for _, z := range sizes() {
				l, typed := s.lengthOf(c.name(side, i, z)).Get()
				measured = measured || typed
				if was, known := c.known(side, i, z).Get(); typed && !(known && l == was) {
					*z.row(limb) = with(*z.row(limb), len(limb.Stations), i, l)
				}
			}
		}
	}
	if !measured {
		return Outcome{}, errors.New("nothing was measured: type a depth or a width")
	}
	edit, changes, err := c.story.Desc.EditTo(bow)
	switch {
	case err != nil:
		return Outcome{}, err
	case !changes:
		return Outcome{}, errors.New("that is what is known already: there is nothing to save")
	}
	return Outcome{Event: edit}, nil
}

// with is a row of n stations with a size at one of them; the row itself stays.
func with(row []measure.Optional[measure.Length], n, i int, l measure.Length) []measure.Optional[measure.Length] {
	out := make([]measure.Optional[measure.Length], n)
	copy(out, row)
	out[i] = measure.Some(l)
	return out
}
