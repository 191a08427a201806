package session

import (
	"cmp"
	"slices"

	"bendbook/model"
	"bendbook/model/measure"
)

// String is a string that a bow hung on. Readings compare where they were taken on one string.
type String struct {
	Kind     model.OnString                   // "" where nothing says which
	Length   measure.Optional[measure.Length] // between the nocks, where it was typed
	Material string                           // "" where nobody said
	Brace    measure.Optional[measure.Length] // as read last
	pass     int                              // in which that was read
}

// How far brace heights on one string may differ, else it was another one, or twisted anew: in a pass, and
// from pass to pass, as wood comes off and the bow takes a set.
const (
	sameBrace  measure.Length = 1.0 / 4
	laterBrace measure.Length = 1.0 / 2
)

// Strings are the strings that a bow hung on. The zero value is a bow of which nothing is known yet.
type Strings struct {
	all   []String
	now   int
	from  int  // the first that fits the bow since it was shortened
	typed bool // its length was typed last, and nothing was read since
}

// Now is the string that the bow hangs on, and its number.
func (s Strings) Now() (on String, number int) { return s.At(s.now), s.now }

// Measured are the strings of the bow as long as it is now of which length and brace height are known.
func (s Strings) Measured() (all []String) {
	for _, on := range s.all[min(s.from, len(s.all)):] {
		if on.Length.Known() && on.Brace.Known() {
			all = append(all, on)
		}
	}
	return all
}

// Bracing is the string that braced the bow last; the zero value where none did.
func (s Strings) Bracing() (on String) {
	if on = s.At(s.now); on.Kind == model.BracedString {
		return on
	}
	for _, on := range slices.Backward(s.all[min(s.from, len(s.all)):]) {
		if on.Kind == model.BracedString {
			return on
		}
	}
	return String{}
}

// At is the string of a number, with all that later entries say of it.
func (s Strings) At(number int) (on String) {
	if number < len(s.all) {
		on = s.all[number]
	}
	return on
}

// With takes up what an event of a pass says of the string. A length counts for all that was read on its
// string before, where nothing else was known of that.
func (s Strings) With(of model.Bow, what model.Event, pass int) Strings {
	s.all = slices.Clone(s.all)
	if len(s.all) == 0 {
		s.all = []String{{}}
	}
	switch e := what.(type) {
	case model.StringLength:
		s.measure(of, e.Length)
		on := &s.all[s.now]
		on.Material = cmp.Or(e.Material, on.Material)
		s.typed = true
	case model.Pull:
		s.typed = false
		if length, known := e.StringLength.Get(); known {
			s.measure(of, length)
		} else if on := &s.all[s.now]; on.Kind == "" {
			on.Kind = e.String
		} else if e.String != "" && e.String != on.Kind {
			s.hang(e.String, func(other String) bool { return other.Kind == e.String })
		}
	case model.Braced:
		s.brace(e.Height, pass)
	case model.Shorten:
		s.all, s.typed = append(s.all, String{}), false
		s.now, s.from = len(s.all)-1, len(s.all)-1
	}
	return s
}

// hang changes to the last string that fits, or to a new one of a kind.
func (s *Strings) hang(kind model.OnString, fits func(String) bool) {
	for s.now = len(s.all) - 1; s.now >= s.from; s.now-- {
		if fits(s.all[s.now]) {
			return
		}
	}
	s.all = append(s.all, String{Kind: kind})
	s.now = len(s.all) - 1
}

// measure gives a length to the string, or to another one where this has a length already.
func (s *Strings) measure(of model.Bow, length measure.Length) {
	kind, on := of.StringOf(length), s.all[s.now]
	same := func(other String) bool { return other.Length == measure.Some(length) }
	switch {
	case same(on):
		return
	case on.Kind != "" && on.Kind != kind || on.Length.Known():
		s.hang(kind, same)
	}
	s.all[s.now].Kind, s.all[s.now].Length = kind, measure.Some(length)
}

func (s *Strings) brace(height measure.Optional[measure.Length], pass int) {
	fits := func(on String) bool {
		was, known := on.Brace.Get()
		now := height.Or(was)
		bound := sameBrace
		if pass != on.pass {
			bound = laterBrace
		}
		return on.Kind != model.LongString && (!known || max(now-was, was-now) <= bound)
	}
	if on := &s.all[s.now]; !fits(*on) && s.typed && on.Kind == model.BracedString {
		// The length was that of a new string, which braces the bow now.
		fresh := String{Length: on.Length, Material: on.Material}
		on.Length, on.Material = measure.Optional[measure.Length]{}, ""
		s.all, s.now = append(s.all, fresh), len(s.all)
	} else if !fits(*on) {
		s.hang(model.BracedString, func(on String) bool { return on.Brace.Known() && fits(on) })
	}
	s.typed = false
	on := &s.all[s.now]
	if on.Kind = model.BracedString; height.Known() {
		on.Brace, on.pass = height, pass
	}
}
