package model

import "fmt"

const KindRack Kind = "rack"

// Rack puts a bow aside or takes it in hand again.
type Rack struct {
	InHand bool
	Why    string
}

func (Rack) Kind() Kind { return KindRack }

func (e *Rack) Fields(c Codec) {
	c.Flag("in_hand", &e.InHand)
	c.Text("why", &e.Why)
}

func (e Rack) Say(Bow) string {
	if e.InHand {
		return "taken in hand again"
	}
	return fmt.Sprintf("set aside: %s", SayReason(e.Why))
}

func (e Rack) check(Bow) error { return checkText("why", e.Why, longestText) }
