package model

import (
	"fmt"

	"bendbook/model/plain"
)

// Note is the maker's own words.
type Note struct{ Text string }

func (Note) Kind() Kind { return "note" }

func (e *Note) Fields(c Codec) { c.FullText("text", &e.Text) }

func (e Note) Say(Bow) string { return fmt.Sprintf("note: %s", plain.Line(e.Text)) }

func (e Note) check(Bow) error { return checkText("text", e.Text, longestText) }
