package form

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"bendbook/model"
	"bendbook/model/estimate"
	"bendbook/model/measure"
	"bendbook/session"
)

func bracedKind() Kind {
	return asks(Kind{
		Key: "b", Name: "braced", Main: true, Reads: true,
		Long: "Enter a braced reading: brace height and the gaps to the string.",
		Word: "braced reading", Title: "Braced: gaps to the string", Caution: stringCaution,
		About: "The bow at rest on its string: the brace height, then the gaps from belly to string. Start with " +
			"the upper limb, and go out from the handle.",
	}, bracedTable)
}

// Braced asks for the bow at rest on its string: brace height, then the gaps to the string.
func Braced(story session.Story) *Sheet { return bracedKind().Of(story) }

func bracedTable(story session.Story, was model.Braced) table[model.Braced] {
	from := model.FromString
	if was.Readings.Any() {
		from = was.From
	}
	return table[model.Braced]{
		was: model.Braced{From: from, Readings: unread()}, strings: bracedOn(story),
		opened: func(s *Sheet) {
			if from == model.FromLine {
				s.Title = "Braced: to the line"
			}
		},
		asks: append([]Question{{Name: "height", Label: "brace height",
			Hint: "from the handle's belly to the string, such as {5 3/4in}; Enter alone if you didn't read it",
			was: func(*Sheet) string {
				return optional(lastHeight(story.Passes...), story.Bow().Ruler().Print)
			},
		}}, askStations(story, session.Pose{Kind: model.KindBraced, From: from})...),
		whole: func(s *Sheet, b *model.Braced) error {
			if b.Readings.Any() {
				b.From = from
				if b.By = readBy(s, b.By); b.By == model.ByPhoto {
					b.From = model.FromLine
				}
			}
			if !b.Height.Known() && !b.Readings.Any() {
				return errors.New("nothing was read: type the brace height or a gap")
			}
			return nil
		},
	}
}

// bracedOn are the bow's strings once it stands braced to the height on the sheet.
func bracedOn(story session.Story) func(*Sheet) session.Strings {
	return func(s *Sheet) session.Strings {
		return story.Strings().With(s.of, model.Braced{Height: s.lengthOf("height")}, story.Pass().Number)
	}
}

func lastHeight(passes ...session.Pass) (last maybeLength) {
	for _, pass := range passes {
		for _, braced := range pass.Braced {
			if braced.Height.Known() {
				last = braced.Height
			}
		}
	}
	return last
}

// Relaxed asks for the unstrung bow: the limbs to the line.
func Relaxed(story session.Story) *Sheet { return relaxedKind().Of(story) }

func relaxedKind() Kind {
	return asks(Kind{
		Key: "r", Name: "relaxed", Main: true, Reads: true,
		Long: "Enter a relaxed reading: the unstrung limbs to the line.",
		Word: "relaxed reading", Title: "Relaxed: unstrung, to the line",
		About: "The unstrung bow: the distances from the belly to the straight line through the handle. Type a " +
			"minus where a limb bends away from the string.",
	}, func(story session.Story, _ model.Relaxed) table[model.Relaxed] {
		return table[model.Relaxed]{
			was:   model.Relaxed{Readings: unread()},
			along: func(s *Sheet, r *model.Relaxed) { r.By = readBy(s, r.By) },
			asks: append(askStations(story, session.Pose{Kind: model.KindRelaxed, From: model.FromLine}),
				Question{Name: "minutes", seldom: true, Hint: "since it was unstrung, such as 30"}),
			whole: func(_ *Sheet, r *model.Relaxed) error {
				if !r.Readings.Any() {
					return errors.New("nothing was read: type a distance")
				}
				return nil
			},
		}
	})
}

func unread() model.Readings { return model.Readings{{}, {}} }

// askStations asks for the upper and then the lower limb in a pose, each out from the handle. A pull's draw
// stands on the sheet.
func askStations(story session.Story, pose session.Pose) (all []Question) {
	for _, side := range model.Sides {
		for i := range story.Bow().Limbs[side].Stations {
			all = append(all, stationQuestion(story, pose, side, i))
		}
	}
	return all
}

// lineRead says whether any pull was read to the line.
func lineRead(story session.Story) bool {
	toLine := func(p model.Pull) bool { return p.From == model.FromLine && p.Readings.Any() }
	return slices.ContainsFunc(story.Passes,
		func(p session.Pass) bool { return slices.ContainsFunc(p.Pulls, toLine) })
}

// sayLine explains the line where it is first asked for.
func sayLine(on model.LineOn) string {
	if on == model.OnBow {
		return "The line runs through the handle's two ends: a board on the belly. It moves with the bow."
	}
	return "The line runs through the handle's two ends: a taut string on the wall. It stays as the bow sinks."
}

// sayHow ends the hint of a station. The first of a row explains the line, or how to read a drawn bow.
func sayHow(story session.Story, pose session.Pose, first bool) string {
	switch {
	case first && pose.From == model.FromLine && !lineRead(story):
		return ". " + sayLine(story.Bow().Rig.Line)
	case first && pose.Kind == model.KindPull:
		return "; stand outside the bow's line: read it off a photograph, or sight along a board"
	}
	return "; Enter alone leaves it out"
}

func stationQuestion(story session.Story, pose session.Pose, side model.Side, i int) Question {
	bow := story.Bow()
	rule, at := bow.Ruler(), bow.Limbs[side].Stations[i]
	earlier := func(s *Sheet) (last maybeLength) {
		if p, ok := drawn(pose, s); ok {
			if rows, _, ok := story.Latest(p); ok {
				last = rows.At(side, i)
			}
		}
		return last
	}
	q := Question{
		Name: stationName(side, i), Label: rule.WithUnit(at), Group: fmt.Sprintf("%s limb", side),
		path: stationPath(side, i), side: side, place: i,
		Hint: fmt.Sprintf("from the belly to the %s, such as {6 3/8in}%s", pose.From,
			sayHow(story, pose, side == model.Upper && i == 0)),
		was: func(s *Sheet) string { return optional(earlier(s), rule.Print) },
		where: func(s *Sheet) (estimate.Where, bool) {
			p, ok := drawn(pose, s)
			return estimate.Where{Kind: kindOf(p), Draw: float64(p.Draw), Side: side, At: float64(at)}, ok
		},
		say:      func(v float64) string { return rule.Print(measure.Length(v)) },
		pictured: pose.From == model.FromLine || pose.Kind == model.KindBraced,
	}
	if pose.Kind != model.KindRelaxed {
		q.below = fmt.Sprintf("a distance to the %s can't be below 0 here: type it like 6 3/8", pose.From)
	}
	q.doubt = func(s *Sheet, text string) string {
		if pose.From == model.FromString && readBy(s, "") == model.ByPhoto {
			return "" // a picture shows the line, and what was read before are gaps
		}
		now, _ := bow.ParseLength(text)
		was, hadOne := earlier(s).Get()
		if hadOne && model.FarFromEarlier(now, was) {
			return fmt.Sprintf("was %s, now %s", rule.Print(was), rule.Print(now))
		}
		if doubt := s.unexpected(q, float64(now)); doubt != "" || hadOne {
			return doubt
		}
		return offTheLine(s, pose.From, side, i, now)
	}
	return q
}

// First asks for readings at some stations before all others, which stand in their usual order: the upper
// limb from the handle out, then the lower.
func (s *Sheet) First(asked []estimate.Where) {
	first := slices.IndexFunc(s.Questions, func(q Question) bool { return q.limb() != "" })
	if first < 0 || s.Questions[first].where == nil {
		return
	}
	place := func(q Question) (rank int, side model.Side, at float64) {
		where, _ := q.where(s)
		rank = slices.IndexFunc(asked, func(a estimate.Where) bool {
			return a.Side == where.Side && session.SameStation(measure.Length(a.At), measure.Length(where.At))
		})
		if rank < 0 {
			rank = len(asked)
		}
		return rank, where.Side, where.At
	}
	slices.SortStableFunc(s.Questions[first:], func(a, b Question) int {
		rankA, sideA, atA := place(a)
		rankB, sideB, atB := place(b)
		return cmp.Or(cmp.Compare(rankA, rankB), cmp.Compare(sideA, sideB), cmp.Compare(atA, atB))
	})
}

// inOrder puts the questions back into their usual order. A sheet that stands at the first station stays
// there.
func (s *Sheet) inOrder() {
	q, ok := s.Current()
	walks := ok && q.limb() != "" && (s.at == 0 || s.Questions[s.at-1].limb() == "")
	s.First(nil)
	if ok && !walks {
		s.at = s.index(q.Name)
	}
}

// drawn is the pose with a pull's draw as it is answered; ok is false where it isn't.
func drawn(pose session.Pose, s *Sheet) (p session.Pose, ok bool) {
	_, pose.On = s.on()
	if pose.Kind != model.KindPull {
		return pose, true
	}
	draw, ok := s.lengthOf("draw").Get()
	pose.Draw = draw
	return pose, ok
}

// kindOf is the kind of reading that a station gives in a pose.
func kindOf(p session.Pose) estimate.Kind {
	switch {
	case p.Kind == model.KindRelaxed:
		return estimate.Relaxed
	case p.From == model.FromString:
		return estimate.Gap
	}
	return estimate.Line
}

// byName stands among the answers where the stations were read off a photograph. No question asks for it.
const byName = "by"

// readBy is how the stations on a sheet were read, or how they were before.
func readBy(s *Sheet, was model.ReadBy) model.ReadBy {
	if s.answers[byName] == string(model.ByPhoto) {
		return model.ByPhoto
	}
	return was
}

func stationName(side model.Side, i int) string { return fmt.Sprintf("%s.%d", side, i) }

// offTheLine doubts a reading far off the line of the two nearest ones inward of it. The limb root itself
// lies on the line.
func offTheLine(s *Sheet, from model.Datum, side model.Side, i int, now measure.Length) string {
	stations := s.of.Limbs[side].Stations
	var found []model.Place
	for j := i - 1; j >= 0 && len(found) < 2; j-- {
		if l, known := s.lengthOf(stationName(side, j)).Get(); known {
			found = append(found, model.Place{At: stations[j], Reading: l})
		}
	}
	if from == model.FromLine && len(found) < 2 {
		found = append(found, model.Place{})
	}
	if len(found) < 2 {
		return ""
	}
	here := model.Place{At: stations[i], Reading: now}
	if expected, far := model.FarFromNeighbours(found[1], found[0], here); far {
		return fmt.Sprintf("about %s by its neighbours, now %s", s.of.Ruler().Print(expected),
			s.of.Ruler().Print(now))
	}
	return ""
}
