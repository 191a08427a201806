package session

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/model"
	"bendbook/model/record"
)

// Why an entry is void where the maker gave no reason. The first two are read back by Changes.
const (
	Undone      = "undone"
	BroughtBack = "brought back"
	Corrected   = "corrected"
)

// Change is what was written into a bow's record in one go, as it is undone: an entry, several logged at once,
// a void, or a correction. The last of its lines is never a correction's new entry.
type Change struct {
	Lines []Line
	voids []Line // of the undo that it is void by; none where it stands
}

// Changes are those that stand, in the order in which they were made, and those that were undone and not made
// obsolete by a new one, the last undone last.
func (s Story) Changes() (done, undone []Change) {
	places := s.corrections()
	for _, lines := range s.writings(places) {
		var voids []string
		why := ""
		for _, line := range lines {
			if void, isVoid := line.Entry.What.(model.Void); isVoid {
				voids, why = append(voids, void.Entry), void.Why
			}
		}
		has := func(lines []Line) bool {
			return slices.ContainsFunc(lines, func(l Line) bool { return slices.Contains(voids, l.Entry.ID) })
		}
		switch {
		case why == Undone:
			if at := slices.IndexFunc(done, func(c Change) bool { return has(c.Lines) }); at >= 0 {
				undone = append(undone, Change{done[at].Lines, lines})
				done = slices.Delete(done, at, at+1)
			}
		case why == BroughtBack:
			if at := slices.IndexFunc(undone, func(c Change) bool { return has(c.voids) }); at >= 0 {
				done = append(done, Change{Lines: undone[at].Lines})
				undone = slices.Delete(undone, at, at+1)
			}
		default:
			for _, line := range lines {
				void, _ := line.Entry.What.(model.Void)
				if correction, known := places[void.By]; known {
					lines = slices.Insert(slices.Clone(lines), 0, correction)
				}
			}
			done, undone = append(done, Change{Lines: lines}), nil
		}
	}
	return done, undone
}

// corrections are the lines that stand in another's place, by their IDs.
func (s Story) corrections() map[string]Line {
	all := make(map[string]Line)
	for _, line := range s.Lines {
		if void, _ := line.Entry.What.(model.Void); void.By != "" && void.By != void.Entry {
			if correction, known := s.Line(void.By); known {
				all[void.By] = correction
			}
		}
	}
	return all
}

// writings are the lines as they were written, those of one go together, without corrections.
func (s Story) writings(corrections map[string]Line) (all [][]Line) {
	var last Line
	for _, line := range s.Lines {
		if _, isCorrection := corrections[line.Entry.ID]; isCorrection {
			continue
		}
		before, isULID := record.KeyOf(last.Entry.ID)
		if isULID && before.Together().String() == line.Entry.ID && line.Entry.At.Equal(last.Entry.At) {
			all[len(all)-1] = append(all[len(all)-1], line)
		} else {
			all = append(all, []Line{line})
		}
		last = line
	}
	return all
}

// Voids are the voids that undo the change, or that bring it back where it is undone; none where nothing of it
// is left to void.
func (c Change) Voids() (events []model.Event) {
	lines, why := c.Lines, Undone
	if len(c.voids) > 0 {
		lines, why = c.voids, BroughtBack
	}
	for _, line := range lines {
		if _, unknown := line.Entry.What.(model.Unknown); line.Counts() && !unknown {
			events = append(events, model.Void{Entry: line.Entry.ID, Why: why})
		}
	}
	return events
}

// SayChange tells a change in words.
func (s Story) SayChange(c Change) string {
	var said []string
	for _, line := range c.Lines {
		void, _ := line.Entry.What.(model.Void)
		if void.By != "" && len(said) > 0 {
			return "corrected to " + said[len(said)-1]
		}
		said = append(said, s.SayEntry(line))
	}
	if n := len(said); n > 1 {
		return fmt.Sprintf("%d entries: %s", n, strings.Join(said, "; "))
	}
	return said[0]
}
