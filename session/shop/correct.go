package shop

import (
	"errors"
	"fmt"

	"bendbook/model"
	"bendbook/session"
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
func (b *Bench) Redo() (session.Line, error) {
	n := len(b.story.Lines)
	if n == 0 {
		return session.Line{}, ErrNothingToBringBack
	}
	last := b.story.Lines[n-1]
	void, isVoid := last.Entry.What.(model.Void)
	if !isVoid || !last.Counts() || void.Why != undone {
		return session.Line{}, ErrNothingToBringBack
	}
	if err := b.Void(last.Entry.ID, broughtBack); err != nil {
		return session.Line{}, err
	}
	line, _ := b.story.Line(void.Entry)
	return line, nil
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
