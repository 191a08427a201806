package shop

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// Bench is one bow at work: its story, and how to add to it. Entries go into the book first, then the story.
type Bench struct {
	shop  *Shop
	story session.Story
	came  int64 // the shop's count when the bow was read
}

// Bench is the bench with one bow on it.
func (s *Shop) Bench(id string) (*Bench, error) {
	came := s.came.Load()
	story, err := s.Story(id)
	if err != nil {
		return nil, err
	}
	return &Bench{shop: s, story: story, came: came}, nil
}

// Story is the bow's story as it stands, in the units in which the shop has its bows shown.
func (b *Bench) Story() session.Story { return b.story }

// Refresh reads the bow again if something has come to a read-only book since.
func (b *Bench) Refresh() error {
	if b.came == b.shop.came.Load() {
		return nil
	}
	now, err := b.shop.Bench(b.story.Bow().ID)
	if err == nil {
		*b = *now
	}
	return err
}

// Add writes an event into the book as a new entry and drops the draft that it came from; draft "" is none.
// The error is a *model.FieldError where the event makes no sense on this bow.
func (b *Bench) Add(what model.Event, draft string) error { return b.add(draft, what) }

// AddAll writes events into the book as new entries, all or none of them; see Add.
func (b *Bench) AddAll(events ...model.Event) error { return b.add("", events...) }

func (b *Bench) add(draft string, events ...model.Event) error {
	items, err := b.made(events...)
	if err != nil {
		return err
	}
	return b.keep(draft, items)
}

// keep writes entries into the book as something done in this sitting, and drops a draft.
func (b *Bench) keep(draft string, items []record.Item) error {
	if err := b.write(draft, items); err != nil {
		return err
	}
	b.shop.sitting.did(deed{bow: b.story.Bow().ID})
	return nil
}

func (b *Bench) write(draft string, items []record.Item) error {
	if err := b.shop.book.AddItems(b.story.Bow().ID, items, draft); err != nil {
		return fmt.Errorf("keeping what was entered: %w", err)
	}
	b.story = b.story.With(items...)
	b.shop.retold(b.story)
	return nil
}

// made are events as entries that come after all others, in one go, and are not in the book yet.
func (b *Bench) made(events ...model.Event) ([]record.Item, error) {
	key, err := b.shop.nextKey(b.story.LastKey())
	if err != nil {
		return nil, err
	}
	at, items := b.now(), make([]record.Item, len(events))
	for i, what := range events {
		if err := b.check(what); err != nil {
			return nil, err
		}
		if items[i], err = b.item(key, at, what); err != nil {
			return nil, err
		}
		key = key.Together()
	}
	return items, nil
}

// now is the time by the clock on the wall: Go's monotonic clock stands still while the machine sleeps.
func (b *Bench) now() time.Time { return b.shop.Now().UTC().Round(0) }

// item is the entry as its document tells it, as when the book is opened again.
func (b *Bench) item(key record.Key, at time.Time, what model.Event) (record.Item, error) {
	units := b.story.Desc.Bow.Units
	made, err := record.NewItem(model.Entry{ID: key.String(), At: at, What: what}, units)
	if err != nil {
		return record.Item{}, err
	}
	item, err := record.ParseItem(made.Doc, units)
	if err != nil {
		return record.Item{}, err
	}
	item.Key = key
	// What the event left out, such as what a braced bow's gaps are measured to, is filled in now.
	return item, b.story.Bow().CheckEvent(item.Entry.What)
}

// check refuses an event that is impossible on this bow or would have no effect.
func (b *Bench) check(what model.Event) error {
	switch what := what.(type) {
	case model.Void:
		line, ok := b.story.Line(what.Entry)
		if !ok {
			return &model.FieldError{Field: "entry", Want: fmt.Sprintf("there is no entry %q on this bow", what.Entry)}
		}
		if why := line.MayVoid(); why != "" {
			return &model.FieldError{Field: "entry", Want: why}
		}
	case model.Finish:
		if day, named := what.On.Time(); named && verdict.DaysTo(day, b.shop.Here()) > 0 {
			want := fmt.Sprintf("%s is still to come: type the day you did it", what.On)
			return &model.FieldError{Field: "on", Want: want}
		}
	case model.Edit:
		if _, err := b.story.Desc.Edited(what); err != nil {
			return err
		}
	}
	return b.story.Bow().CheckEvent(what)
}

// Redescribe changes the bow's description, if anything differs, and drops the draft of the change.
func (b *Bench) Redescribe(bow model.Bow, draft string) error {
	if bow.Number != b.story.Bow().Number {
		bow.ID = b.story.Bow().ID
		if err := b.shop.checkNumber(bow); err != nil {
			return err
		}
	}
	edit, changes, err := b.story.Desc.EditTo(bow)
	switch {
	case err != nil:
		return err
	case changes:
		return b.Add(edit, draft)
	}
	return b.unchanged(draft)
}

// unchanged drops the draft of a change that changed nothing.
func (b *Bench) unchanged(draft string) error {
	if draft == "" {
		return nil
	}
	return b.shop.book.DropDraft(draft)
}

// Correct writes another entry in the place of one, under its time, voids that, and drops a draft. It writes
// nothing where the two are the same.
func (b *Bench) Correct(id string, what model.Event, draft string) error {
	items, err := b.correction(id, what)
	if err != nil {
		return err
	}
	same := func(l session.Line) bool { return l.Entry.ID == id && reflect.DeepEqual(l.Entry.What, what) }
	if slices.ContainsFunc(b.story.Lines, same) {
		return b.unchanged(draft)
	}
	return b.keep(draft, items)
}

// correction is an entry in the place of another, with the void of that.
func (b *Bench) correction(id string, what model.Event) ([]record.Item, error) {
	lines := b.story.Lines
	at := slices.IndexFunc(lines, func(l session.Line) bool { return l.Entry.ID == id })
	if at < 0 {
		return nil, errors.New("the entry is not on this bow")
	}
	if why := lines[at].MayCorrect(); why != "" {
		return nil, errors.New(why)
	}
	if err := b.check(what); err != nil {
		return nil, err
	}
	last, err := b.shop.nextKey(b.story.LastKey())
	if err != nil {
		return nil, err
	}
	next := last
	if at+1 < len(lines) {
		next = lines[at+1].Key
	}
	key, ok := lines[at].Key.Between(next, chance(last))
	if !ok { // the story puts it there all the same
		key, last = last, last.Together()
	}
	entry, err := b.item(key, lines[at].Entry.At, what)
	if err != nil {
		return nil, err
	}
	void, err := b.item(last, b.now(), model.Void{Entry: id, Why: session.Corrected, By: key.String()})
	return []record.Item{entry, void}, err
}

// Apart is the bow's record with events that the book can't take, as on a full disk, to be imported later.
func (b *Bench) Apart(events ...model.Event) (record.Record, error) {
	items, err := b.made(events...)
	if err != nil {
		return record.Record{}, err
	}
	return b.story.With(items...).Record(), nil
}

// RedescribedApart is the bow's record with a change of its description that is not in the book.
func (b *Bench) RedescribedApart(bow model.Bow) (record.Record, error) {
	edit, changes, err := b.story.Desc.EditTo(bow)
	switch {
	case err != nil:
		return record.Record{}, err
	case !changes:
		return record.Record{}, errors.New("nothing was changed")
	}
	return b.Apart(edit)
}

// CorrectedApart is the bow's record with a correction that is not in the book.
func (b *Bench) CorrectedApart(id string, what model.Event) (record.Record, error) {
	items, err := b.correction(id, what)
	return b.story.With(items...).Record(), err
}
