package model

import "bendbook/model/say"

// What a record spells in one way everywhere is said by these words. A spelling that is not known here is said as it stands.

// Word implements say.Worded.
func (d Datum) Word() say.Word {
	switch d {
	case FromLine:
		return say.Word(FromLine)
	case FromString:
		return say.Word(FromString)
	}
	return say.Word(d)
}

// Word implements say.Worded.
func (t DrawTo) Word() say.Word {
	switch t {
	case ToBelly:
		return say.Word(ToBelly)
	case ToBack:
		return say.Word(ToBack)
	}
	return say.Word(t)
}

// Word implements say.Worded.
func (h Hand) Word() say.Word {
	switch h {
	case RightHanded:
		return say.Word(RightHanded)
	case LeftHanded:
		return say.Word(LeftHanded)
	}
	return say.Word(h)
}

// Word implements say.Worded.
func (s Section) Word() say.Word {
	switch s {
	case SectionRectangle:
		return say.Word(SectionRectangle)
	case SectionEllipse:
		return say.Word(SectionEllipse)
	}
	return say.Word(s)
}
