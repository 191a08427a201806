package model

import "bendbook/model/plain"

// Exercise is a number of easy pulls that let the bow settle after scraping.
type Exercise struct{ Pulls int }

func (Exercise) Kind() Kind { return "exercise" }

func (e *Exercise) Fields(c Codec) { c.Count("pulls", &e.Pulls) }

func (e Exercise) Say(Bow) string {
	return plain.Plural(e.Pulls, "exercised, %d pull", "exercised, %d pulls", e.Pulls)
}

func (e Exercise) check(Bow) error {
	if e.Pulls < 0 || e.Pulls > mostPulls {
		return Fault("pulls", "type how many pulls, %d at most", mostPulls)
	}
	return nil
}
