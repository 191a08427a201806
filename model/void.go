package model

import (
	"cmp"
	"fmt"

	"bendbook/model/plain"
)

const KindVoid Kind = "void"

// Void cancels an earlier entry, which stays in the record.
type Void struct {
	Entry string // the ID of the entry
	Why   string
	By    string // the ID of the entry that takes its place; "" where none does
}

func (Void) Kind() Kind { return KindVoid }

func (e *Void) Fields(c Codec) {
	c.Name("entry", "the id of the entry to strike out", &e.Entry)
	c.Text("why", &e.Why)
	c.Text("by", &e.By)
}

func (e Void) Say(Bow) string { return fmt.Sprintf("struck out: %s", SayReason(e.Why)) }

func (e Void) check(Bow) error {
	return cmp.Or(checkText("entry", e.Entry, LongestName), checkText("why", e.Why, longestText),
		checkText("by", e.By, LongestName))
}

// SayReason is the maker's reason for a void or for setting a bow aside.
func SayReason(why string) string {
	if why = plain.Line(why); why != "" {
		return why
	}
	return "no reason given"
}
