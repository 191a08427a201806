// Package say holds how Bendbook's texts are said. In the code they stand in English, each a Word where it is needed; package words of the screens'
// room collects all of them in one template, which a translator fills in. What is said in another tongue is looked up when it is said, so that
// a value, such as an error, holds until then.
//
// The tongue is one for the whole program, like its time zone, and is set before anything is said: texts are made in a thousand places,
// many of them errors deep in the mathematics, and none of them has to do with who reads it.
//
// The package must not know where a translation comes from. What is kept in records, tables and settings is no text: a kind of entry, a side, a unit is
// the same in every tongue.
package say

import (
	"fmt"
	"slices"
	"sync/atomic"
)

// Word is a text as it stands in the code, in English, or the outline of one as package fmt takes it: under it a translation is found. A translation
// may put the values in another order, as %[2]s.
type Word string

// Tongue says the texts in another language.
type Tongue interface {
	// Say is the translation of a text, or the text itself where it has none.
	Say(word Word) string
	// SayMany is the translation that goes with n things of a text for one and for many of them, or the English one.
	SayMany(n int, one, many Word) string
}

// spoken is the program's tongue; nil is English.
var spoken atomic.Pointer[Tongue]

// In makes the program say its texts in a tongue, nil for English, and gives what brings back the one before.
func In(tongue Tongue) (back func()) {
	before := spoken.Load()
	if tongue == nil {
		spoken.Store(nil)
	} else {
		spoken.Store(&tongue)
	}
	return func() { spoken.Store(before) }
}

// String is the text in the program's tongue.
func (w Word) String() string {
	if tongue := spoken.Load(); tongue != nil {
		return (*tongue).Say(w)
	}
	return string(w)
}

// It says a text as it stands.
func It(word Word) string { return word.String() }

// A Worded value, such as a limb's side, is written in one way everywhere and said by a word: among the values of a text it stands for that.
type Worded interface{ Word() Word }

// worded are the values of a text with the words of those that have one.
func worded(args []any) []any {
	said, copied := args, false
	for i, arg := range args {
		w, ok := arg.(Worded)
		if !ok {
			continue
		}
		if !copied {
			said, copied = slices.Clone(args), true
		}
		said[i] = w.Word().String()
	}
	return said
}

// F says a text with its values, as fmt.Sprintf does.
func F(format Word, args ...any) string { return fmt.Sprintf(format.String(), worded(args)...) }

// N says a text of n things with its values, of which n is one only where it is among args: the tongue says how many forms there are.
func N(n int, one, many Word, args ...any) string {
	format := string(Count(n, one, many))
	if tongue := spoken.Load(); tongue != nil {
		format = (*tongue).SayMany(n, one, many)
	}
	return fmt.Sprintf(format, worded(args)...)
}

// Count is the text of two that goes with n things in English.
func Count(n int, one, many Word) Word {
	if n == 1 {
		return one
	}
	return many
}

// Errorf is an error with its values, as fmt.Errorf makes one.
func Errorf(format Word, args ...any) error { return fmt.Errorf(format.String(), worded(args)...) }

// Error is an error that is known by its value: it says its text when it is asked for it.
func Error(word Word) error { return &fault{word} }

type fault struct{ word Word }

// Error implements error.
func (f *fault) Error() string { return f.word.String() }
