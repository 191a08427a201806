package paper

import (
	"io"
	"slices"
	"strings"
	"time"

	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/page"
	"bendbook/session/summary"
	"bendbook/session/table"
)

// Form is a way in which a summary is written.
type Form struct {
	Name   string // as it is asked for: text, markdown, html, csv or json
	Says   string // as it is shown: Markdown
	Ending string // of a file's name, with its point

	write func(w io.Writer, story session.Story, number int, place *time.Location) error
}

// Forms are all of them, the usual one first.
func Forms() []Form {
	return []Form{
		{"text", "text", ".txt", written(summary.Document.Text)},
		{"markdown", "Markdown", ".md", written(summary.Document.Markdown)},
		{"html", "web page", ".html", page.Summary},
		{"csv", "table (CSV)", ".csv", table.Write},
		{"json", "JSON", ".json", writeJSON},
	}
}

// Find is the form of a name; ok is false where there is none of that name.
func Find(name string) (form Form, ok bool) {
	forms := Forms()
	if i := slices.IndexFunc(forms, func(f Form) bool { return f.Name == name }); i >= 0 {
		return forms[i], true
	}
	return Form{}, false
}

// Names are the forms' names in words: text, markdown, html, csv or json.
func Names() string {
	var names []string
	for _, f := range Forms() {
		names = append(names, f.Name)
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// Write writes the summary of a whole story where number is 0, else of one session by its number from 1. Times are told
// in the given place's time. The error is the writer's, or says that there is no such session.
func (f Form) Write(w io.Writer, story session.Story, number int, place *time.Location) error {
	return f.write(w, story, number, place)
}

// Document is the summary of a whole story where number is 0, else of one session and the bow as it stood then, with
// what the readings say.
func Document(story session.Story, number int, place *time.Location) (summary.Document, error) {
	doc, then := summary.Whole(story, place), story
	if number != 0 {
		var err error
		if doc, err = summary.One(story, number, place); err != nil {
			return doc, err
		}
		then = story.Until(story.Sessions[number-1])
	}
	// Of a record that makes no bow the readings themselves are all that can be told.
	if a, err := advice.Of(then, advice.Usual(), nil); err == nil {
		doc = doc.With(then, a)
	}
	return doc, nil
}

func written(render func(summary.Document) string) func(io.Writer, session.Story, int, *time.Location) error {
	return func(w io.Writer, story session.Story, number int, place *time.Location) error {
		doc, err := Document(story, number, place)
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, render(doc))
		return err
	}
}
