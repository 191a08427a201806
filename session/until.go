package session

import (
	"bendbook/model"
	"bendbook/model/record"
)

// Until is the story as it stood at the end of one of its sessions, with what is known today: an entry that was
// struck out later does not count in it either.
func (s Story) Until(session Session) Story {
	if session.Last+1 >= len(s.Lines) {
		return s
	}
	items := make([]record.Item, 0, len(s.Lines))
	for i, line := range s.Lines {
		if _, isVoid := line.Entry.What.(model.Void); i <= session.Last || isVoid {
			items = append(items, line.Item)
		}
	}
	return Fold(s.first, items).ShownIn(s.shown)
}
