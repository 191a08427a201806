package model

import (
	"time"

	"bendbook/model/measure"
)

// Entry is one line of a bow's record. Entries are only ever added; a mistake is voided by a further entry.
type Entry struct {
	ID   string
	At   time.Time // zero where the record does not say
	What Event
}

// Event is what an entry says: one of the types below.
type Event interface {
	// Kind is the event's name in a record.
	Kind() Kind
}

// Kind names a sort of event, as a record spells it.
type Kind string

// The kinds of event.
const (
	KindRelaxed  Kind = "relaxed"
	KindString   Kind = "string"
	KindBraced   Kind = "braced"
	KindPull     Kind = "pull"
	KindScrape   Kind = "scrape"
	KindExercise Kind = "exercise"
	KindFinish   Kind = "finish"
	KindMoisture Kind = "moisture"
	KindNote     Kind = "note"
	KindVoid     Kind = "void"
	KindEdit     Kind = "bow"
	KindRack     Kind = "rack"
)

// Readings are one walk round the bow: the distances read at its stations. The first index is the Side; the
// second stands in the order of that limb's stations and may end early.
type Readings [2][]measure.Optional[measure.Length]

// At is the reading of a limb's station i; unread where there is none.
func (r Readings) At(s Side, i int) measure.Optional[measure.Length] {
	if i < 0 || i >= len(r[s]) {
		return measure.Optional[measure.Length]{}
	}
	return r[s][i]
}

// Any says whether at least one station was read.
func (r Readings) Any() bool {
	for _, limb := range r {
		for _, reading := range limb {
			if reading.Known() {
				return true
			}
		}
	}
	return false
}

// Datum is what a station's distance is measured to.
type Datum string

// The datums that a record may name.
const (
	FromLine   Datum = "line"   // the straight line through the belly at the limb roots
	FromString Datum = "string" // the string, square to it
)

// Relaxed is the unstrung bow: distances from the line, above 0 for set, below for reflex.
type Relaxed struct{ Readings Readings }

// StringLength is the string's length between nocks.
type StringLength struct{ Length measure.Length }

// Braced is the strung bow at rest.
type Braced struct {
	Height   measure.Optional[measure.Length] // brace height
	From     Datum
	Readings Readings
	Block    *Block // nil where no block was laid on
}

// Block is a row of gaps at the middle of a straight block laid along the belly of the braced bow.
type Block struct {
	Length measure.Length
	At     []measure.Length // places of the block's middle from the root, the same on both limbs
	Gaps   Readings         // second index: as At
}

// Pull is one draw by rope and pulley.
type Pull struct {
	Draw     measure.Length                  // of the hook from the belly line
	Peak     measure.Optional[measure.Force] // the scale's
	Held     measure.Optional[time.Duration] // how long the bow stood drawn, by the clock
	From     Datum
	Readings Readings
}

// Scrape is wood taken off the belly of one limb between two places.
type Scrape struct {
	Limb       Side
	From, To   measure.Length // from the root
	Tool       string
	Strokes    measure.Optional[int]
	Depth      measure.Optional[measure.Length] // how much came off
	DepthShare measure.Optional[float64]        // the same as a fraction of the depth there
}

// Exercise is a number of easy pulls that let the bow settle after scraping.
type Exercise struct{ Pulls int }

// Finish is a step after tillering: a coat, a handle, the day it was handed over.
type Finish struct {
	Step string
	Coat measure.Optional[int]
	Grit measure.Optional[int] // of sandpaper
	On   Day                   // the day it was done, where that is not the entry's own
	Text string                // what was stamped, where something was
}

// Time is when the step was done: the entry's own time at, or, where another day is named, the same hour of
// that day, as days are reckoned where at is.
func (f Finish) Time(at time.Time) time.Time {
	day, named := f.On.Time()
	if !named || at.IsZero() {
		return at
	}
	year, month, date := day.Date()
	return time.Date(year, month, date, at.Hour(), at.Minute(), at.Second(), 0, at.Location())
}

// Moisture is how damp the bow's wood is, or the air that it lies in.
type Moisture struct {
	Where    Air
	Content  measure.Optional[float64] // of the wood by a moisture meter, a fraction of its dry weight
	Celsius  measure.Optional[float64] // of the air
	Humidity measure.Optional[float64] // relative, of the air, a fraction
}

// Air is the air that a moisture was measured in.
type Air string

// The places that a record may name.
const (
	ShopAir Air = "shop"
	HomeAir Air = "customer" // where the bow goes
)

// HandedOver is the Finish step with which a bow leaves the shop.
const HandedOver = "handed over"

// Note is the maker's own words.
type Note struct{ Text string }

// Void takes an earlier entry out of account. The voided entry stays in the record.
type Void struct {
	Entry string // the ID of the entry
	Why   string
}

// Edit changes the bow's description.
type Edit struct {
	// Set is a JSON merge patch (RFC 7396) upon the description as its record writes it.
	Set []byte
}

// Rack puts a bow aside or takes it in hand again.
type Rack struct {
	InHand bool
	Why    string
}

// Unknown is an event of a kind that this version does not know. It is kept and takes no part in any figure.
type Unknown struct{ Name Kind }

// Kind implements Event.
func (Relaxed) Kind() Kind { return KindRelaxed }

// Kind implements Event.
func (StringLength) Kind() Kind { return KindString }

// Kind implements Event.
func (Braced) Kind() Kind { return KindBraced }

// Kind implements Event.
func (Pull) Kind() Kind { return KindPull }

// Kind implements Event.
func (Scrape) Kind() Kind { return KindScrape }

// Kind implements Event.
func (Exercise) Kind() Kind { return KindExercise }

// Kind implements Event.
func (Finish) Kind() Kind { return KindFinish }

// Kind implements Event.
func (Moisture) Kind() Kind { return KindMoisture }

// Kind implements Event.
func (Note) Kind() Kind { return KindNote }

// Kind implements Event.
func (Void) Kind() Kind { return KindVoid }

// Kind implements Event.
func (Edit) Kind() Kind { return KindEdit }

// Kind implements Event.
func (Rack) Kind() Kind { return KindRack }

// Kind implements Event.
func (u Unknown) Kind() Kind { return u.Name }
