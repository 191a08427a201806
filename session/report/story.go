package report

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/session"
	"bendbook/session/verdict"
)

// Subject is what a report tells.
type Subject struct {
	Story    session.Story
	Session  int              // the number of the session, from 1; 0 is the whole story
	Practice verdict.Practice // what the shop goes by
	// Finishing is how far the bow is now; what is told of an earlier day takes its settings from it.
	Finishing verdict.Finishing
	Place     *time.Location // in which times are told
}

// sessions are those in the report.
func (s Subject) sessions() []session.Session {
	if s.Session == 0 {
		return s.Story.Sessions
	}
	return s.Story.Sessions[s.Session-1 : s.Session]
}

// then is the story as it stood at the end of the session. The error says that there is no such session.
func (s Subject) then() (session.Story, error) {
	n := len(s.Story.Sessions)
	switch {
	case s.Session == 0:
		return s.Story, nil
	case s.Session > 0 && s.Session <= n:
		return s.Story.Until(s.Story.Sessions[s.Session-1]), nil
	}
	few := map[int]string{0: "no session yet", 1: "one session"}
	has := cmp.Or(few[n], fmt.Sprintf("sessions 1 to %d", n))
	name := session.NameOf(s.Story.Bow())
	return session.Story{}, fmt.Errorf("there is no session %d; %s has %s", s.Session, name, has)
}

// verdict judges the story as it stood then. Its Do is "" for a bow at the tree whose readings give no
// advice, for the reason in unmade.
func (s Subject) verdict(then session.Story, a verdict.Advice, unmade error) verdict.Verdict {
	f := s.Finishing.Of(then)
	if unmade != nil {
		v, _ := verdict.Early(verdict.StandingOf(then), f)
		return v
	}
	return a.Judge(f)
}

// Of is the document of a story or of one session, or the error says that there is no such session.
func Of(of Subject) (Document, error) {
	then, err := of.then()
	if err != nil {
		return Document{}, err
	}
	d := Document{
		Kind: "summary", Title: session.NameOf(of.Story.Bow()), Facts: facts(of.Story), Lead: "The whole story",
		Foot: foot(then, of.Place), Open: of.Session != 0, Passes: passTable(then),
		Parts: []part{{}},
	}
	if d.Open {
		number, all := of.Session, len(of.Story.Sessions)
		d.Lead = fmt.Sprintf("Session %d of %d, and the bow as it stood after it", number, all)
	}
	wasRead := func(p session.Pass) bool { return len(p.Poses()) > 0 }
	if slices.ContainsFunc(of.Story.Passes, wasRead) {
		d.add(block{Text: howToRead})
	}
	a, err := of.Practice.Of(then)
	d.Now = of.verdict(then, a, err)
	if err == nil {
		d.say(a)
		d.tell(stripsOf(a, of.Place))
	} else {
		// The readings of a record that makes no bow can still be shown.
		d.Cautions = append(d.Cautions, "The readings don't fit a bow: "+err.Error()+".")
	}
	for _, sitting := range of.sessions() {
		d.session(of.Story, sitting, of.Place)
	}
	if len(of.sessions()) == 0 {
		d.add(block{Text: "Nothing has been entered yet."})
	}
	d.Pictures = pictures(then, a, d.Now)
	return d, nil
}

// tell adds the strips, where there are any: to a page in place of the passes in words.
func (d *Document) tell(s *strips) {
	if s == nil {
		return
	}
	d.Strips, d.Passes = s, nil
	d.Parts = append(d.Parts, part{"Pass by pass", []block{{Text: s.Says}, {Strips: s}}, true})
}

// pictures returns the pictures that a story and its advice have figures for, in the order of the page.
func pictures(story session.Story, a verdict.Advice, v verdict.Verdict) []picture {
	var all []picture
	evenness := func(_ session.Story, a verdict.Advice) (picture, bool) {
		return evennessPicture(a, leftTree(a, v))
	}
	for _, draw := range []func(session.Story, verdict.Advice) (picture, bool){
		evenness, wayPicture, limbsPicture, forcePicture,
	} {
		if p, ok := draw(story, a); ok {
			p.Table.Caption = p.Title
			all = append(all, p)
		}
	}
	return all
}

// foot gives the time of the last entry, so that a page made again from the same entries is the same.
func foot(story session.Story, place *time.Location) string {
	if last := story.LastAt(); !last.IsZero() {
		return fmt.Sprintf("Written by Bendbook, as of %s.", last.In(place).Format("2006-01-02 15:04"))
	}
	return "Written by Bendbook."
}
