package session

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/model/record"
)

// Reasons that void an entry without the maker's own words.
const (
	undone      = "undone"
	corrected   = "corrected"
	broughtBack = "brought back"
)

// ErrNothingToBringBack is returned by Redo where the last entry is no undo.
var ErrNothingToBringBack = errors.New("the last entry is no undo")

// Redo takes back the undo that was the last entry, and returns the entry that counts again.
func (b *Bench) Redo() (Line, error) {
	n := len(b.story.Lines)
	if n == 0 {
		return Line{}, ErrNothingToBringBack
	}
	last := b.story.Lines[n-1]
	void, isVoid := last.Entry.What.(model.Void)
	if !isVoid || !last.Counts() || void.Why != undone {
		return Line{}, ErrNothingToBringBack
	}
	if err := b.Void(last.Entry.ID, broughtBack); err != nil {
		return Line{}, err
	}
	line, _ := b.story.Line(void.Entry)
	return line, nil
}

// MayCorrect says why an entry cannot be put right in place; "" where it can. A corrected entry is a new one, so that it
// counts where the story stands now: past a scrape it would count for another pass.
func (s Story) MayCorrect(line Line) string {
	switch what := line.Entry.What.(type) {
	case model.Pull, model.Relaxed, model.StringLength, model.Note, model.Exercise:
	case model.Braced:
		if what.From != model.FromString && what.Readings.Any() {
			return "the form asks for gaps to the string, and these are to the line"
		}
	case model.Scrape:
		if len(s.Pass().readings) > 0 || len(s.Pass().Pulls) > 0 {
			return "the bow was read since; void it, with a reason"
		}
	default:
		return "such an entry is voided, and entered anew"
	}
	switch {
	case !line.Counts():
		return "it is void"
	case line.Pass != s.Pass().Number:
		return "wood was taken since; void it, with a reason"
	}
	return ""
}

// Without is the story as it would be without one entry, to compare what is read anew with what was read before.
func (s Story) Without(id string) Story {
	items := make([]record.Item, 0, len(s.Lines)+1)
	for _, line := range s.Lines {
		items = append(items, line.Item)
	}
	items = append(items, record.Item{Entry: model.Entry{What: model.Void{Entry: id}}})
	return Fold(s.first, items).ShownIn(s.shown)
}

// Correct voids an entry and writes another in its place, both or neither, and drops the draft that it came from.
func (b *Bench) Correct(id string, what model.Event, draft string) error {
	line, ok := b.story.Line(id)
	if !ok {
		return fmt.Errorf("there is no entry %s on this bow", id)
	}
	if why := b.story.MayCorrect(line); why != "" {
		return errors.New(why)
	}
	return b.add(draft, model.Void{Entry: id, Why: corrected}, what)
}
