package model

import "bendbook/model/say"

// What a record spells in one way everywhere is said by the word of that spelling. These are in the template of texts by standing here; a spelling
// that is not known is said as it stands.
var _ = []say.Word{
	say.Word(FromLine), say.Word(FromString),
	say.Word(ToBelly), say.Word(ToBack),
	say.Word(SectionRectangle), say.Word(SectionEllipse),
	say.Word(RightHanded), say.Word(LeftHanded),
}

// Word implements say.Worded.
func (d Datum) Word() say.Word { return say.Word(d) }

// Word implements say.Worded.
func (t DrawTo) Word() say.Word { return say.Word(t) }

// Word implements say.Worded.
func (h Hand) Word() say.Word { return say.Word(h) }

// Word implements say.Worded.
func (s Section) Word() say.Word { return say.Word(s) }
