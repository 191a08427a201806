package model

import (
	"cmp"
	"fmt"

	"bendbook/model/plain"
)

const KindRack Kind = "rack"

// Rack puts a bow aside or takes it in hand again.
type Rack struct {
	InHand bool
	Why    string // it was set aside, or came back from its customer
	// Found and Done are what was found on a bow that came back, and done about it.
	Found, Done string
}

func (Rack) Kind() Kind { return KindRack }

func (e *Rack) Fields(c Codec) {
	c.Flag("in_hand", &e.InHand)
	c.Text("why", &e.Why)
	c.Text("found", &e.Found)
	c.Text("done", &e.Done)
}

func (e Rack) Say(Bow) string {
	if e.InHand {
		said := "taken in hand again"
		for _, part := range [][2]string{{": ", e.Why}, {"; found: ", e.Found}, {"; done: ", e.Done}} {
			if part[1] != "" {
				said += part[0] + plain.Line(part[1])
			}
		}
		return said
	}
	return fmt.Sprintf("set aside: %s", SayReason(e.Why))
}

func (e Rack) check(Bow) error {
	return cmp.Or(checkText("why", e.Why, longestText), checkText("found", e.Found, longestText),
		checkText("done", e.Done, longestText))
}
