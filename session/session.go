package session

import "time"

// longestPause is the longest gap between entries of one session.
const longestPause = 4 * time.Hour

// Session is one sitting with one bow at the tree: its entries with no gap over four hours.
type Session struct {
	Number      int // from 1
	First, Last int // indices of its entries among the story's lines
	From, To    time.Time
}

// sessions parts the lines where more than longestPause lies between two of them.
// A line without a time belongs to the session before it.
func sessions(lines []Line) []Session {
	var all []Session
	for i := range lines {
		at := lines[i].Entry.At
		last := len(all) - 1
		if last < 0 || (!at.IsZero() && !all[last].To.IsZero() && at.Sub(all[last].To) > longestPause) {
			all = append(all, Session{Number: last + 2, First: i, From: at, To: at})
			last++
		}
		s := &all[last]
		s.Last = i
		if s.From.IsZero() {
			s.From = at
		}
		if at.After(s.To) {
			s.To = at
		}
	}
	return all
}

// LinesIn are the session's lines in order, voided ones too.
func (s Story) LinesIn(session Session) []Line { return s.Lines[session.First : session.Last+1] }
