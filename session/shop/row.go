package shop

import (
	"cmp"
	"encoding/json"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/verdict"
)

// rowLayout is the version of cached rows. Raise it whenever a row says other things than before.
const rowLayout = 5

// Row is what the shop's lists need of one bow, worked out once from its entries. What follows from the
// shop's settings or from the time isn't cached in the book; it is filled in when the rack is read.
type Row struct {
	Layout  int `json:"layout"`
	Entries int `json:"entries"` // of which it was made
	// Bow is described without what only the bench needs: limbs, stations, aim and the order's notes.
	Bow        model.Bow                        `json:"bow"`
	Stage      string                           `json:"stage"`
	Standing   verdict.Standing                 `json:"standing"`
	Judged     measure.Optional[Judged]         `json:"judged,omitzero"` // at the tree; unread until worked out
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
	Repeats    verdict.Repeats                  `json:"repeats"`
	Ledger     measure.Optional[verdict.Ledger] `json:"ledger,omitzero"` // unread until worked out
	Notes      []Note                           `json:"notes,omitempty"`

	HalfTyped string `json:"-"` // the half-typed form, "pull", the newest of several; "" for none
	Damage    error  `json:"-"` // why its entries cannot be read; nil where they can

	Verdict verdict.Verdict `json:"-"` // its Do is "" where it wasn't worked out yet

	// Of a bow in hand:
	From     time.Time `json:"-"` // when it can be followed, while the bow dries; else zero
	Today    bool      `json:"-"` // it can be followed today
	Handover time.Time `json:"-"` // the earliest that the bow can be handed over
}

// Judged is the verdict on a bow at the tree, with the units in which it was told, the weight then wanted and
// by how much ranges were widened.
type Judged struct {
	Verdict verdict.Verdict                 `json:"verdict"`
	Units   measure.Units                   `json:"units"`
	Wanted  measure.Optional[finish.Wanted] `json:"wanted,omitzero"`
	Scale   float64                         `json:"scale"`
	// NoPattern says why the bow is no pattern for another one; "" where it is one.
	NoPattern string `json:"no_pattern,omitempty"`
}

// Note is a note with its time; what was agreed with the order has none.
type Note struct {
	At   time.Time `json:"at,omitzero"`
	Text string    `json:"text"`
}

// rowOf is the row of a story.
func rowOf(s session.Story) Row {
	bow := s.Desc.Bow
	bow.Handle, bow.Limbs, bow.Aim, bow.Cradle, bow.Order.Notes = 0, [2]model.Limb{}, model.Aim{}, "", ""
	row := Row{
		Layout: rowLayout, Entries: len(s.Lines), Bow: bow, Stage: s.Stage(),
		Standing: verdict.StandingOf(s), InHand: s.InHand,
		HandedOver: s.HandedOver(), Drawn: s.LongestDraw() > 0, Last: s.LastAt().UTC(), Sessions: len(s.Sessions),
		Pass: s.Pass().Number, Strokes: s.Strokes(), Set: s.SetTaken(), Numbers: s.Numbers(), Facts: s.Facts(),
		Repeats: verdict.RepeatsIn(s),
	}
	if pull, _, ok := s.Weight(); ok {
		row.Pull = measure.Some(model.Pull{Draw: pull.Draw, Peak: pull.Peak, String: pull.String})
	}
	if agreed := s.Desc.Bow.Order.Notes; agreed != "" {
		row.Notes = []Note{{Text: agreed}}
	}
	for _, line := range s.Lines {
		if note, ok := line.Entry.What.(model.Note); ok && line.Counts() {
			row.Notes = append(row.Notes, Note{line.Entry.At.UTC(), note.Text})
		}
	}
	return row
}

// rowIn is the row in a cached document; ok is false for another layout or bow, or other entries.
func rowIn(doc []byte, id string, entries int) (row Row, ok bool) {
	err := json.Unmarshal(doc, &row)
	return row, err == nil && row.Layout == rowLayout && row.Entries == entries && row.Bow.ID == id
}

// Lesson is the last lesson that was noted on the bow, and when; "" where none was.
func (r Row) Lesson() (lesson string, at time.Time) {
	for _, note := range slices.Backward(r.Notes) {
		if lesson = (model.Note{Text: note.Text}).Lesson(); lesson != "" {
			return lesson, note.At
		}
	}
	return "", time.Time{}
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

// DaysLeft is how many days are left to the day the bow is promised for, below 0 where it is late.
func (r Row) DaysLeft(now time.Time) (days int, ok bool) {
	due, promised := r.Bow.Order.Due.Time()
	if r.HandedOver || !promised {
		return 0, false
	}
	return verdict.DaysTo(due, now), true
}

// Misses says by how many days the earliest handover comes after the day that was promised.
func (r Row) Misses(place *time.Location) int {
	due, promised := r.Bow.Order.Due.Time()
	if r.Handover.IsZero() || r.HandedOver || !promised {
		return 0
	}
	return max(0, -verdict.DaysTo(due, r.Handover.In(place)))
}
