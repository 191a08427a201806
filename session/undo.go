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
	wasUndone   = "undone"
	broughtBack = "brought back"
	Corrected   = "corrected"
)

// Change is what was written into a bow's record in one go, as it is undone: an entry, several logged at
// once, a void, or the void of an entry with the correction before it.
type Change struct {
	Lines []Line
	voids []Line // of the undo that it is void by; none where it stands
}

// Changes are those that stand, in the order in which they were made, and those that were undone since the
// last new one, the last undone last.
func (s Story) Changes() (done, undone []Change) {
	for _, lines := range s.writings() {
		voids := func(in []Line) bool {
			return slices.ContainsFunc(in, func(l Line) bool {
				return slices.ContainsFunc(lines, func(v Line) bool { return v.void().Entry == l.Entry.ID })
			})
		}
		switch lines[0].void().Why {
		case wasUndone:
			if at := slices.IndexFunc(done, func(c Change) bool { return voids(c.Lines) }); at >= 0 {
				undone = append(undone, Change{done[at].Lines, lines})
				done = slices.Delete(done, at, at+1)
			}
		case broughtBack:
			if at := slices.IndexFunc(undone, func(c Change) bool { return voids(c.voids) }); at >= 0 {
				done = append(done, Change{Lines: undone[at].Lines})
				undone = slices.Delete(undone, at, at+1)
			}
		default:
			done, undone = append(done, Change{Lines: lines}), nil
		}
	}
	return done, undone
}

func (l Line) void() model.Void {
	void, _ := l.Entry.What.(model.Void)
	return void
}

// writings are the lines as they were written: those of one go together, a correction with its void.
func (s Story) writings() (all [][]Line) {
	corrections := make(map[string]Line)
	for _, line := range s.Lines {
		if by := line.void().By; by != "" {
			corrections[by], _ = s.Line(by)
		}
	}
	var last Line
	for _, line := range s.Lines {
		if corrections[line.Entry.ID].Entry.ID != "" {
			continue
		}
		lines := []Line{line}
		if correction := corrections[line.void().By]; correction.Entry.ID != "" {
			lines = []Line{correction, line}
		}
		before, isULID := record.KeyOf(last.Entry.ID)
		if isULID && before.Together().String() == line.Entry.ID && line.Entry.At.Equal(last.Entry.At) {
			all[len(all)-1] = append(all[len(all)-1], lines...)
		} else {
			all = append(all, lines)
		}
		last = line
	}
	return all
}

// Voids are the voids that undo the change, or that bring it back; none where nothing is left to void.
func (c Change) Voids() (events []model.Event) {
	lines, why := c.Lines, wasUndone
	if len(c.voids) > 0 {
		lines, why = c.voids, broughtBack
	}
	for _, line := range lines {
		if _, unknown := line.Entry.What.(model.Unknown); line.Counts() && !unknown {
			events = append(events, model.Void{Entry: line.Entry.ID, Why: why})
		}
	}
	return events
}

// SayChange describes a change in words.
func (s Story) SayChange(c Change) string {
	var said []string
	for _, line := range c.Lines {
		if line.void().By != "" {
			return "corrected to " + s.SayEntry(c.Lines[0])
		}
		said = append(said, s.SayEntry(line))
	}
	if n := len(said); n > 1 {
		return fmt.Sprintf("%d entries: %s", n, strings.Join(said, "; "))
	}
	return said[0]
}
