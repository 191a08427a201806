package model

import (
	"fmt"
	"strings"

	"bendbook/model/plain"
)

// Note is the maker's own words.
type Note struct{ Text string }

func (Note) Kind() Kind { return "note" }

func (e *Note) Fields(c Codec) { c.FullText("text", &e.Text) }

func (e Note) Say(Bow) string { return fmt.Sprintf("note: %s", plain.Line(e.Text)) }

func (e Note) check(Bow) error { return checkText("text", e.Text, longestText) }

// Lesson is what a note teaches for the next bow of the wood, in one line: one that begins with "next time"
// or "lesson" does. It is "" of any other note.
func (e Note) Lesson() string {
	text := strings.TrimSpace(e.Text)
	begins := func(word string) bool {
		return len(text) > len(word) && strings.EqualFold(text[:len(word)], word)
	}
	switch {
	case begins("lesson"):
		text = text[len("lesson"):]
	case !begins("next time"):
		return ""
	}
	return strings.Trim(plain.Line(text), ".:, ")
}
