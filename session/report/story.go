package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Subject is what a report tells.
type Subject struct {
	Story    session.Story
	Session  int              // the number of the session, from 1; 0 is the whole story
	Practice verdict.Practice // what the shop goes by
	// Finishing is how far the bow is now; what it shows of an earlier day takes its settings from it.
	Finishing verdict.Finishing
	Place     *time.Location // time zone of the times shown
	Readings  bool           // in text and Markdown, with tables of all that was read; a page has them always
	PlainCSV  bool           // a table without the mark by which spreadsheets know UTF-8
}

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
	a, err := of.Practice.Of(then)
	return of.document(then, a, err), nil
}

// document tells the story as it stood then, with what its readings said; unmade says why they make no bow.
func (s Subject) document(then session.Story, a verdict.Advice, unmade error) Document {
	d := Document{
		Kind: "summary", Title: session.NameOf(s.Story.Bow()), Facts: facts(s.Story, s.Finishing.Dates),
		Lead: s.lead(then),
		Foot: s.foot(then), Open: s.Session != 0, Passes: passTable(then),
		Parts: []part{{}},
	}
	if d.Open {
		number, all := s.Session, len(s.Story.Sessions)
		d.Lead = fmt.Sprintf("Session %d of %d, and the bow as it stood after it. ", number, all) + d.Lead
	}
	wasRead := func(p session.Pass) bool { return len(p.Poses()) > 0 }
	if s.Readings && slices.ContainsFunc(s.Story.Passes, wasRead) {
		d.add(block{Text: howToRead})
	}
	d.Now = s.verdict(then, a, unmade)
	if unmade == nil {
		d.say(a)
		tiller := func(f fact) bool { return strings.HasPrefix(f.Name, "Tiller") }
		if slices.ContainsFunc(d.Figures, tiller) {
			aim := slices.IndexFunc(d.Facts, func(f fact) bool { return f.Name == "Aim" })
			d.Facts[max(aim, 0)].Told = true
		}
		d.tell(stripsOf(a, s.Place, s.Finishing.Dates))
	} else {
		// The readings of a record that makes no bow can still be shown.
		d.Cautions = append(d.Cautions, "The readings don't fit a bow: "+unmade.Error()+".")
	}
	for _, sitting := range s.sessions() {
		d.session(s, sitting)
	}
	if len(s.sessions()) == 0 {
		d.add(block{Text: "Nothing has been entered yet."})
	}
	d.Pictures = pictures(then, a, d.Now)
	return d
}

// tell adds the passes as strips, where there are any, and as a table; a page has both in one.
func (d *Document) tell(s *strips) {
	if len(d.Passes.Rows) == 0 {
		return
	}
	blocks := []block{{Table: &table{Head: d.Passes.Head, Rows: d.Passes.Rows, Words: true}}}
	if s != nil {
		d.Strips = s
		blocks = append([]block{{Text: s.Says}, {Strips: s}}, blocks...)
	}
	d.Parts = append(d.Parts, part{"Pass by pass", blocks, true})
}

// pictures returns the pictures that a story and its advice have figures for, in the order of the page: of a
// bow on the tree first how evenly it bends, of one that left it first what it is.
func pictures(story session.Story, a verdict.Advice, v verdict.Verdict) []picture {
	type sketch = func(session.Story, verdict.Advice) (picture, bool)
	left := leftTree(a, v)
	evenness := func(_ session.Story, a verdict.Advice) (picture, bool) { return evennessPicture(a, left) }
	is, became := []sketch{shapePicture, forcePicture}, []sketch{evenness, wayPicture}
	if left {
		is, became = became, is
	}
	var all []picture
	for _, draw := range slices.Concat(became, is, []sketch{sectionPicture}) {
		if p, ok := draw(story, a); ok {
			p.Table.Caption = p.Title
			all = append(all, p)
		}
	}
	return all
}

// lead is the bow in a line: of one that was handed over what it is and what it took, of any other the order.
func (s Subject) lead(then session.Story) string {
	bow := then.Bow()
	var what sentences
	if then.HandedOver() {
		if places := placesOf(then, s.Finishing.Of(then), nil); places["weight"] != "" && places["draw"] != "" {
			what.add(places["weight"] + " at " + places["draw"])
		}
	} else {
		what.add(session.SayOrder(bow, s.Finishing.Dates))
	}
	if number := plain.Line(bow.Number); number != "" {
		what.add("No. " + number)
	}
	what.add(plain.Line(bow.Wood))
	if then.HandedOver() {
		what.add(sayMade(then, s.Place))
		what.add(plain.Plural(then.Pass().Number, "%d pass", "%d passes", then.Pass().Number))
		if h := hours(then); h != "" {
			what.add(h + " at the tree")
		}
	}
	return session.Capital(strings.Join(what, ", "))
}

// sayMade is the month, or the months, in which the bow was made; "" where its entries have no time.
func sayMade(story session.Story, place *time.Location) string {
	if len(story.Sessions) == 0 || story.Sessions[0].From.IsZero() {
		return ""
	}
	from, to := story.Sessions[0].From.In(place), story.LastAt().In(place)
	first, last := from.Format("Jan 2006–"), to.Format("Jan 2006")
	if from.Year() == to.Year() {
		first = strings.TrimPrefix(from.Format("Jan–"), to.Format("Jan–"))
	}
	return "made " + first + last
}

// foot gives the time of the last entry, so that a page made again from the same entries is the same.
func (s Subject) foot(story session.Story) string {
	if last := story.LastAt(); !last.IsZero() {
		return fmt.Sprintf("Written by Bendbook, as of %s.", s.Finishing.Dates.PrintTime(last.In(s.Place)))
	}
	return "Written by Bendbook."
}
