package line

import (
	"fmt"
	"strings"

	"bendbook/model/date"
	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/compare"
)

// What is told at the rack of several bows, and of the shop.

// today lists the bows in hand by what can be done.
func (r *rack) today() error {
	rows, err := r.desk.Shop.Today()
	if err != nil && len(rows) == 0 {
		return err
	}
	r.listed = rows
	now := r.desk.Shop.Here()
	open := 0
	for _, row := range rows {
		if row.Today {
			open++
		}
	}
	dates := r.desk.Shop.Dates()
	r.sayf("%s %s: something can be done today on %d of %d.", date.Weekday(now), dates.Print(now), open, len(rows))
	for i, row := range rows {
		parts := []string{fmt.Sprintf("%d: %s", i+1, session.NameOf(row.Bow))}
		if !row.Today {
			parts = append(parts, say.It("not today"))
		}
		parts = append(parts, say.F("waits for: %s", row.Waits), say.F("ready %s at the earliest", session.SayEarliest(row.Handover, now, dates)))
		if row.Bow.Order.Due != "" {
			parts = append(parts, say.F("due %s", dates.Reprint(string(row.Bow.Order.Due))))
		}
		if days := row.Misses(r.desk.Place); days > 0 {
			parts = append(parts, say.N(days, "%d day LATE", "%d days LATE", days))
		}
		r.say(strings.Join(parts, "; ") + ".")
	}
	return nil
}

// compare says the figures of several bows, one figure a line.
func (r *rack) compare(asked string) error {
	var bows []session.Story
	for name := range strings.SplitSeq(asked, ",") {
		id, err := r.which(strings.TrimSpace(name))
		if err != nil {
			return err
		}
		story, err := r.desk.Shop.Story(id)
		if err != nil {
			return err
		}
		bows = append(bows, story)
	}
	lines, err := compare.Of(r.desk.Shop, bows)
	if err != nil {
		return err
	}
	for _, line := range lines {
		var cells []string
		for i, cell := range line.Cells {
			if cell != "" {
				cells = append(cells, session.NameOf(bows[i].Bow())+", "+cell)
			}
		}
		if len(cells) > 0 {
			r.say(spoken(line.Name + ": " + strings.Join(cells, "; ") + "."))
		}
	}
	kinds, err := r.desk.Shop.Kinds()
	for _, kind := range kinds {
		r.say(say.F("The shop's finished bows: %s", ended(compare.SayKind(kind))))
	}
	return err
}

// settings reads how the shop works.
func (r *rack) settings() error {
	s, err := r.desk.Shop.Settings()
	if err != nil {
		return err
	}
	r.say(say.It("The stages of a bow, in order:"))
	for i, stage := range s.Stages {
		parts := []string{fmt.Sprintf("%d: %s", i+1, stage.Name)}
		if stage.Seen != "" {
			parts = append(parts, say.F("shown by: %s", string(stage.Seen)))
		}
		if stage.Coats > 0 {
			parts = append(parts, say.N(stage.Coats, "%d coat", "%d coats", stage.Coats))
		}
		for _, grit := range stage.Grits {
			parts = append(parts, say.F("grit %d", grit))
		}
		if stage.Rest > 0 {
			parts = append(parts, say.F("lies %g hours after it", stage.Rest.Hours()))
		}
		if stage.Must {
			parts = append(parts, say.It("owed"))
		}
		r.say(strings.Join(parts, "; ") + ".")
	}
	r.sayf("Stamped: %s; the weight is rounded %s to %g.", s.Mark.Text, s.Mark.Round, s.Mark.Step)
	r.sayf("Numbers: %s, from %d on.", s.Number.Pattern, s.Number.Start)
	r.sayf("Until the shop's bows tell, finishing takes %.1f lb and first use %.1f lb.", s.Sanding, s.Settling)
	r.say(say.It("The command bendbook settings prints all of it to change."))
	return nil
}
