package paper

import (
	"io"

	"bendbook/session/page"
	"bendbook/session/summary"
)

// CardForm is a way in which the card that goes with a bow is written.
type CardForm struct {
	Name   string // as it is asked for: text, markdown or html
	Says   string // as it is shown: Markdown
	Ending string // of a file's name, with its point
	// Shown is the card as it is shown on the screen; a page is shown as text.
	Shown func(summary.Document) string

	write func(w io.Writer, doc summary.Document) error
}

// Called implements named.
func (f CardForm) Called() string { return f.Name }

// Write writes a card. The error is the writer's.
func (f CardForm) Write(w io.Writer, doc summary.Document) error { return f.write(w, doc) }

// Cards are all forms of a card, the usual one first.
func Cards() []CardForm {
	plain := func(render func(summary.Document) string) func(io.Writer, summary.Document) error {
		return func(w io.Writer, doc summary.Document) error {
			_, err := io.WriteString(w, render(doc))
			return err
		}
	}
	return []CardForm{
		{"text", "text", ".txt", summary.Document.Text, plain(summary.Document.Text)},
		{"markdown", "Markdown", ".md", summary.Document.Markdown, plain(summary.Document.Markdown)},
		{"html", "web page", ".html", summary.Document.Text, page.Card},
	}
}

// FindCard is the card's form of a name; ok is false where there is none of that name.
func FindCard(name string) (form CardForm, ok bool) { return find(Cards(), name) }

// CardNames are the names of the card's forms in words.
func CardNames() string { return inWords(Cards()) }
