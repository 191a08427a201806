package paper

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/page"
	"bendbook/session/report/table"
	"bendbook/session/summary"
)

// Form is a way in which a summary is written.
type Form struct {
	Name   string // as it is asked for: text, markdown, html, csv or json
	Says   string // as it is shown: Markdown
	Ending string // of a file's name, with its point

	write func(w io.Writer, of Subject) error
}

// Called implements named.
func (f Form) Called() string { return f.Name }

// Subject is what a summary tells.
type Subject struct {
	Story    session.Story
	Session  int             // the number of the session, from 1; 0 is the whole story
	Practice advice.Practice // what the shop goes by
	Place    *time.Location  // in which times are told
}

// then is the story as it stood at the end of what is told. The error says that there is no such session.
func (s Subject) then() (session.Story, error) {
	switch {
	case s.Session == 0:
		return s.Story, nil
	case s.Session < 1 || s.Session > len(s.Story.Sessions):
		_, err := summary.One(s.Story, s.Session, s.Place)
		return session.Story{}, err
	}
	return s.Story.Until(s.Story.Sessions[s.Session-1]), nil
}

// Forms are all of them, the usual one first.
func Forms() []Form {
	return []Form{
		{"text", "text", ".txt", written(summary.Document.Text)},
		{"markdown", "Markdown", ".md", written(summary.Document.Markdown)},
		{"html", "web page", ".html", func(w io.Writer, of Subject) error {
			return page.Summary(w, of.Story, of.Session, of.Practice, of.Place)
		}},
		{"csv", "table (CSV)", ".csv", func(w io.Writer, of Subject) error { return table.Write(w, of.Story, of.Session, of.Place) }},
		{"json", "JSON", ".json", writeJSON},
	}
}

// Find is the form of a name; ok is false where there is none of that name.
func Find(name string) (form Form, ok bool) { return find(Forms(), name) }

// Names are the forms' names in words: text, markdown, html, csv or json.
func Names() string { return inWords(Forms()) }

// named is anything that is asked for by its name.
type named interface{ Called() string }

func find[T named](all []T, name string) (found T, ok bool) {
	if i := slices.IndexFunc(all, func(f T) bool { return f.Called() == name }); i >= 0 {
		return all[i], true
	}
	return found, false
}

func inWords[T named](all []T) string {
	var names []string
	for _, f := range all {
		names = append(names, f.Called())
	}
	last := len(names) - 1
	return fmt.Sprintf("%s or %s", strings.Join(names[:last], ", "), names[last])
}

// Write writes a summary. The error is the writer's, or says that there is no such session.
func (f Form) Write(w io.Writer, of Subject) error { return f.write(w, of) }

// Document is the summary of a whole story, or of one session and the bow as it stood then, with what the readings say.
func Document(of Subject) (summary.Document, error) {
	then, err := of.then()
	if err != nil {
		return summary.Document{}, err
	}
	doc := summary.Whole(of.Story, of.Place)
	if of.Session != 0 {
		if doc, err = summary.One(of.Story, of.Session, of.Place); err != nil {
			return doc, err
		}
	}
	// Of a record that makes no bow the readings themselves are all that can be told.
	if a, err := of.Practice.Of(then); err == nil {
		doc = doc.With(then, a)
	}
	return doc, nil
}

func written(render func(summary.Document) string) func(io.Writer, Subject) error {
	return func(w io.Writer, of Subject) error {
		doc, err := Document(of)
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, render(doc))
		return err
	}
}

// Behind a bow's name in that of a file stands what is in it.
const (
	// TallyPart is that of the tally sheet.
	TallyPart = "-tally.html"
	cardPart  = "-card"
)

// Part is what the name of a summary's file has behind the bow's: of a session by its number, 0 for the whole story.
func (f Form) Part(session int) string {
	if session == 0 {
		return "-story" + f.Ending
	}
	return fmt.Sprintf("-session-%d%s", session, f.Ending)
}

// Part is what the name of a card's file has behind the bow's.
func (f CardForm) Part() string { return cardPart + f.Ending }
