package report

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"bendbook/session"
	"bendbook/session/report/table"
	"bendbook/session/verdict"
)

// Format is a way to write a report.
type Format struct {
	Name   string // as it is asked for
	Says   string // as it is shown
	Ending string // of a file's name, with its point

	Write     func(w io.Writer, of Subject) error // a story; the error may say that there is no such session
	WriteCard func(w io.Writer, d Document) error // nil for a format that no card is written in
}

// Formats are all of them, the usual one first.
func Formats() []Format {
	return []Format{
		{"text", "text", ".txt", written(Document.Text), rendered(Document.Text)},
		{"markdown", "Markdown", ".md", written(Document.Markdown), rendered(Document.Markdown)},
		{"html", "web page", ".html", writePage, writeCardPage},
		{"csv", "table (CSV)", ".csv", writeCSV, nil},
		{"json", "JSON", ".json", writeJSON, nil},
	}
}

// CardFormats are those that a card is written in.
func CardFormats() []Format {
	return slices.DeleteFunc(Formats(), func(f Format) bool { return f.WriteCard == nil })
}

// Find returns the one of some formats that has a name.
func Find(formats []Format, name string) (format Format, ok bool) {
	if i := slices.IndexFunc(formats, func(f Format) bool { return f.Name == name }); i >= 0 {
		return formats[i], true
	}
	return Format{}, false
}

// Names are the names of formats in words: text, markdown or html.
func Names(formats []Format) string {
	var names []string
	for _, f := range formats {
		names = append(names, f.Name)
	}
	last := len(names) - 1
	return fmt.Sprintf("%s or %s", strings.Join(names[:last], ", "), names[last])
}

// Part is the end of a story's file name, behind the bow's, for a session's number or 0 for the whole story.
func (f Format) Part(session int) string {
	if session == 0 {
		return "-story" + f.Ending
	}
	return fmt.Sprintf("-session-%d%s", session, f.Ending)
}

// CardPart is the end of a card's file name, behind the bow's.
func (f Format) CardPart() string { return "-card" + f.Ending }

// Subject is what a report tells.
type Subject struct {
	Story    session.Story
	Session  int              // the number of the session, from 1; 0 is the whole story
	Practice verdict.Practice // what the shop goes by
	Place    *time.Location   // in which times are told
}

// sessions are those that are told.
func (s Subject) sessions() []session.Session {
	if s.Session == 0 {
		return s.Story.Sessions
	}
	return s.Story.Sessions[s.Session-1 : s.Session]
}

// then is the story as it stood at the end of what is told. The error says that there is no such session.
func (s Subject) then() (session.Story, error) {
	n := len(s.Story.Sessions)
	switch {
	case s.Session == 0:
		return s.Story, nil
	case s.Session > 0 && s.Session <= n:
		return s.Story.Until(s.Story.Sessions[s.Session-1]), nil
	}
	has := fmt.Sprintf("sessions 1 to %d", n)
	switch n {
	case 0:
		has = "no session yet"
	case 1:
		has = "one session"
	}
	name := session.NameOf(s.Story.Bow())
	return session.Story{}, fmt.Errorf("there is no session %d; %s has %s", s.Session, name, has)
}

func written(render func(Document) string) func(io.Writer, Subject) error {
	return func(w io.Writer, of Subject) error {
		d, err := Of(of)
		if err != nil {
			return err
		}
		return rendered(render)(w, d)
	}
}

func rendered(render func(Document) string) func(io.Writer, Document) error {
	return func(w io.Writer, d Document) error {
		_, err := io.WriteString(w, render(d))
		return err
	}
}

func writeCSV(w io.Writer, of Subject) error {
	if _, err := of.then(); err != nil {
		return err
	}
	lines := of.Story.Lines
	if of.Session != 0 {
		lines = of.Story.LinesIn(of.sessions()[0])
	}
	return table.Write(w, of.Story.Bow(), lines, of.Place)
}
