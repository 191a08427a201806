package shop

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strings"
	"time"

	"bendbook/session"
)

// Deed is the last thing done or undone, to be undone or done again.
type Deed struct {
	Bow  string // the id of the bow whose entries it is; "" for a setting or a form
	Says string
	At   time.Time // when it was written; zero where that is not known
	// Just says that it is the bow's, and the last thing done or undone in this sitting.
	Just bool
	Do   func() error
}

// Last finds the last thing done in this sitting on any bow, in the settings, or a form that was thrown away;
// with redo the last one undone.
func (s *Shop) Last(redo bool) (Deed, error) { return s.last(nil, redo) }

// Last finds the last thing done on the bow or on none, such as a change of the settings; with redo the last
// one undone. What was done on the bow before this sitting is found too.
func (b *Bench) Last(redo bool) (Deed, error) { return b.shop.last(b, redo) }

func (s *Shop) last(on *Bench, redo bool) (Deed, error) {
	var d deed
	found, from := -1, s.sitting.done
	if redo {
		from = s.sitting.undone
	}
	for at, one := range from {
		if on == nil || one.bow == "" || one.bow == on.story.Bow().ID {
			d, found = one, at
		}
	}
	made := Deed{Says: d.says, Do: d.undo}
	if redo {
		made.Do = d.redo
	}
	if d.undo == nil {
		var err error
		if made, err = s.inRecord(on, d.bow, redo); err != nil {
			return made, err
		}
		d.bow = made.Bow
		made.Just = found >= 0 && (redo || s.sitting.just && found == len(from)-1)
	}
	do := made.Do
	made.Do = func() error {
		if err := do(); err != nil {
			return err
		}
		s.sitting.turned(d, found, redo)
		if on != nil && made.Bow == "" { // the settings may show it in other units now
			settings, _ := s.Settings()
			on.story = on.story.ShownIn(settings.ShownUnits())
		}
		return nil
	}
	return made, nil
}

// turned notes that a deed was undone, or with redo done again. It stood at a place; -1 is none.
func (s *sitting) turned(d deed, at int, redo bool) {
	from, to := &s.done, &s.undone
	if redo {
		from, to = to, from
	}
	if at >= 0 {
		*from = slices.Delete(*from, at, at+1)
	}
	*to, s.just = append(*to, d), redo
}

// inRecord finds it in the record of the bow on the bench or, without one, of another, which it names.
func (s *Shop) inRecord(on *Bench, bow string, redo bool) (made Deed, err error) {
	name := ""
	if on == nil && bow != "" {
		if on, err = s.Bench(bow); err != nil {
			return made, err
		}
		name = session.NameOf(on.story.Bow()) + ", "
	}
	if on != nil {
		made = on.turn(redo)
	}
	switch made.Says = name + made.Says; {
	case made.Do == nil && redo:
		err = errors.New("there is nothing to bring back")
	case made.Do == nil:
		err = errors.New("there is nothing to undo")
	}
	return made, err
}

// turn is the bow's last change that can be undone, or be brought back; without Do where there is none.
func (b *Bench) turn(redo bool) (made Deed) {
	changes, undone := b.story.Changes()
	if redo {
		changes = undone
	}
	for _, change := range slices.Backward(changes) {
		if voids := change.Voids(); len(voids) > 0 {
			made.Bow, made.Says = b.story.Bow().ID, strings.TrimSuffix(b.story.SayChange(change), ".")
			made.At = change.Lines[len(change.Lines)-1].Entry.At
			made.Do = func() error {
				items, err := b.made(voids...)
				if err != nil {
					return err
				}
				return b.write("", items)
			}
			return made
		}
	}
	return made
}

// ThrowAway forgets the half-typed form under key, of a bow or of none, as something done in this sitting.
func (s *Shop) ThrowAway(bow, key, says string) error {
	docs, err := s.book.Drafts()
	if err != nil {
		return err
	}
	doc, found := docs[key]
	drop := func() error { return s.book.DropDraft(key) }
	if err := drop(); err != nil || !found {
		return err
	}
	// What was typed since is not lost.
	unless := func(want []byte, do func() error) func() error {
		return func() error {
			if now, err := s.book.Drafts(); err != nil || !bytes.Equal(now[key], want) {
				return cmp.Or(err, errors.New("the same form is half typed: save it or throw it away first"))
			}
			return do()
		}
	}
	s.sitting.did(deed{bow: bow, says: says,
		undo: unless(nil, func() error { return s.book.SaveDraft(key, doc) }), redo: unless(doc, drop)})
	return nil
}
