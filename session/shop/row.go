package shop

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
)

// rowLayout is the version of cached rows. Raise it whenever a row says other things than before.
const rowLayout = 1

// Row is what the shop's lists need of one bow, worked out once from its entries. What follows from the
// shop's settings or from the time isn't cached in the book; it is filled in when the rack is read.
type Row struct {
	Layout  int `json:"layout"`
	Entries int `json:"entries"` // of which it was made
	// Bow lacks what only the bench needs: limbs, stations, aim and the order's notes.
	Bow   model.Bow `json:"bow"`
	Stage string    `json:"stage"`
	// Waits is what the bow waits for: as Story.Waits says, or the shop's next stage.
	Waits      string                           `json:"waits"`
	InHand     bool                             `json:"in_hand"`
	HandedOver bool                             `json:"handed_over"`
	Drawn      bool                             `json:"drawn"` // it was pulled at least once
	Last       time.Time                        `json:"last,omitzero"`
	Sessions   int                              `json:"sessions"`
	Pass       int                              `json:"pass"`
	Strokes    int                              `json:"strokes"` // all that were counted
	Set        measure.Optional[measure.Length] `json:"set,omitzero"`
	Pull       measure.Optional[model.Pull]     `json:"pull,omitzero"` // what it weighs so far: draw and peak
	Numbers    []string                         `json:"numbers"`       // every number that it ever had
	Facts      []finish.Fact                    `json:"facts"`         // what its stages follow from

	HalfTyped string `json:"-"` // the half-typed form, "pull", the newest of several; "" for none
	Damage    error  `json:"-"` // why its entries cannot be read; nil where they can

	// Of a bow in hand:
	Next     string    `json:"-"` // the shop's next stage, "varnish, coat 2"; "" where there is none
	From     time.Time `json:"-"` // when that can be done, where it must dry until then; else zero
	Today    bool      `json:"-"` // it can be done today
	Handover time.Time `json:"-"` // the earliest that it can be handed over
}

// rowOf is the row of a story.
func rowOf(s session.Story) Row {
	bow := s.Desc.Bow
	bow.Handle, bow.Limbs, bow.Aim, bow.Cradle, bow.Order.Notes = 0, [2]model.Limb{}, model.Aim{}, "", ""
	row := Row{
		Layout: rowLayout, Entries: len(s.Lines), Bow: bow, Stage: s.Stage(), Waits: s.Waits(), InHand: s.InHand,
		HandedOver: s.HandedOver(), Drawn: s.LongestDraw() > 0, Last: s.LastAt().UTC(), Sessions: len(s.Sessions),
		Pass: s.Pass().Number, Strokes: s.Strokes(), Set: s.SetTaken(), Numbers: s.Numbers(), Facts: s.Facts(),
	}
	if pull, _, ok := s.Weight(); ok {
		row.Pull = measure.Some(model.Pull{Draw: pull.Draw, Peak: pull.Peak})
	}
	return row
}

// rowIn is the row in a cached document; ok is false for another layout or bow, or other entries.
func rowIn(doc []byte, id string, entries int) (row Row, ok bool) {
	err := json.Unmarshal(doc, &row)
	return row, err == nil && row.Layout == rowLayout && row.Entries == entries && row.Bow.ID == id
}

// order is the order of the rack: bows in hand first, by the day they are due, then by their newest entry.
func (r Row) order(other Row) int {
	const never = model.Day("9999-99-99")
	return cmp.Or(
		cmp.Compare(behind(!r.InHand), behind(!other.InHand)),
		cmp.Compare(cmp.Or(r.Bow.Order.Due, never), cmp.Or(other.Bow.Order.Due, never)),
		other.Last.Compare(r.Last), cmp.Compare(r.Bow.Name, other.Bow.Name), cmp.Compare(r.Bow.ID, other.Bow.ID),
	)
}

// behind is a sort key that puts what is so after what isn't.
func behind(so bool) int {
	if so {
		return 1
	}
	return 0
}

// logOf are facts as package finish takes them: a step that names a day has its time on that day, in place.
func logOf(facts []finish.Fact, place *time.Location) finish.Log {
	log := slices.Clone(finish.Log(facts))
	for i, f := range log {
		if f.On != "" {
			log[i].At = model.Finish{On: f.On}.Time(f.At.In(place))
		}
	}
	return log
}

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if r.HandedOver || !promised {
		return 0, false
	}
	return daysTo(due, now), true
}

// Misses says by how many days the earliest handover comes after the day that was promised.
func (r Row) Misses(place *time.Location) int {
	due, promised := r.Bow.Order.Due.Time()
	if r.Handover.IsZero() || r.HandedOver || !promised {
		return 0
	}
	return max(0, -daysTo(due, r.Handover.In(place)))
}

// daysTo is how many days by the calendar a day is after now, each where it is; below 0 for one before.
func daysTo(day, now time.Time) int { return int(dayOf(day).Sub(dayOf(now)) / (24 * time.Hour)) }

// dayOf is midnight UTC of a time's date in its own place, so that days can be counted.
func dayOf(at time.Time) time.Time {
	year, month, day := at.Date()
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

// sayNext says what a bow waits for, and until when it dries: "varnish, coat 2, dry tomorrow 10:00".
func sayNext(p finish.Progress, now time.Time, dates date.Order) string {
	next := p.Waits()
	if !p.Dry.After(now) || next == "" {
		return next
	}
	dry := SayUntil(p.Dry, now, dates)
	if daysTo(p.Dry.In(now.Location()), now) == 0 {
		dry = "at " + dry
	}
	return fmt.Sprintf("%s, dry %s", next, dry)
}

// SayUntil is a time as one says it after until, from or by: the hour alone for today.
func SayUntil(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch daysTo(at, now) {
	case 0:
		return at.Format("15:04")
	case 1:
		return fmt.Sprintf("tomorrow %s", at.Format("15:04"))
	}
	return dates.Print(at)
}

// SayEarliest is the day of a time as one says it.
func SayEarliest(at, now time.Time, dates date.Order) string {
	at = at.In(now.Location())
	switch daysTo(at, now) {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	}
	return dates.Short(at)
}
