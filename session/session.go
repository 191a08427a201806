package session

import (
	"time"

	"bendbook/model"
	"bendbook/model/record"
)

// Session is one sitting with a bow at the tree: entries with no gap of over four hours.
type Session struct {
	Number      int // from 1
	First, last int // indices of its entries among the story's lines
	From, To    time.Time
}

// LongestPause is the longest gap between entries of one session.
const LongestPause = 4 * time.Hour

// sit adds the line to the last session, or begins a new one after a gap of more than LongestPause.
func (s *Story) sit(line int) {
	at, n := s.Lines[line].Entry.At, len(s.Sessions)
	pauses := func(last time.Time) bool {
		return !at.IsZero() && !last.IsZero() && at.Sub(last) > LongestPause
	}
	if n == 0 || pauses(s.Sessions[n-1].To) {
		s.Sessions = append(s.Sessions, Session{Number: n + 1, First: line, From: at, To: at})
		n++
	}
	sitting := &s.Sessions[n-1]
	sitting.last = line
	if sitting.From.IsZero() {
		sitting.From = at
	}
	if at.After(sitting.To) {
		sitting.To = at
	}
}

// LinesIn are the session's lines in order, voided ones too.
func (s Story) LinesIn(session Session) []Line { return s.Lines[session.First : session.last+1] }

// Until is the story as it stood at the end of a session, without the entries that were voided later.
func (s Story) Until(session Session) Story {
	if session.last+1 >= len(s.Lines) {
		return s
	}
	return s.until(session.last+1, func(model.Event) bool { return false })
}

// until is the story of the first n lines, without what was voided later, and of what else counts from later.
func (s Story) until(n int, later func(model.Event) bool) Story {
	items := make([]record.Item, 0, len(s.Lines))
	for i, line := range s.Lines {
		if _, isVoid := line.Entry.What.(model.Void); i < n || isVoid || later(line.Entry.What) {
			items = append(items, line.Item)
		}
	}
	return Fold(s.first, items).ShownIn(s.shown)
}
