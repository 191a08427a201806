package session

import (
	"time"

	"bendbook/model"
	"bendbook/model/record"
)

// longestPause is the longest gap between entries of one session.
const longestPause = 4 * time.Hour

// Session is one sitting with one bow at the tree: its entries with no gap over four hours.
type Session struct {
	Number      int // from 1
	First, Last int // indices of its entries among the story's lines
	From, To    time.Time
}

// sit puts the line into the session before it, or into a new one after more than longestPause.
func (s *Story) sit(line int) {
	at := s.Lines[line].Entry.At
	last := len(s.Sessions) - 1
	pause := time.Duration(0)
	if last >= 0 && !at.IsZero() && !s.Sessions[last].To.IsZero() {
		pause = at.Sub(s.Sessions[last].To)
	}
	if last < 0 || pause > longestPause {
		s.Sessions = append(s.Sessions, Session{Number: last + 2, First: line, From: at, To: at})
		last++
	}
	sitting := &s.Sessions[last]
	sitting.Last = line
	if sitting.From.IsZero() {
		sitting.From = at
	}
	if at.After(sitting.To) {
		sitting.To = at
	}
}

// LinesIn are the session's lines in order, voided ones too.
func (s Story) LinesIn(session Session) []Line { return s.Lines[session.First : session.Last+1] }

// Until is the story as it stood at the end of a session, without what was struck out later.
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
