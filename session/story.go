package session

import (
	"bytes"
	"encoding/json"
	"iter"
	"maps"
	"reflect"
	"slices"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
)

// Story is a bow as its entries tell it: every figure follows from them. It is a value and never changes.
type Story struct {
	Desc  record.Description // as the edits left it
	Lines []Line             // every entry, in order, voided ones too
	// Passes are the work between scrapings. There is always pass 0, the bow as it came.
	Passes   []Pass
	Sessions []Session
	InHand   bool // on the rack, not set aside or handed over

	first    record.Description // before any edit
	rig      model.Rig          // by which peaks were taken to the hook
	shown    measure.Units      // in which its figures are shown and typed; "" for its record's own
	doing    doing
	aside    string // why it was set aside, where the maker said so
	finishes []model.Finish
	weighed  bool // pulled with the scale since it came back
	scraped  bool
	stave    [2]model.Limb     // as described before the first scrape
	whole    [2]model.Limb     // as described before it was shortened
	off      [2]measure.Length // that came off since
	strings  Strings
}

// Line is an entry with its place in the story.
type Line struct {
	record.Item
	What   model.Event // the entry's event as it counts: a peak is at the hook, whatever the scale showed
	Pass   int         // number of its pass
	On     int         // number of the string that the bow hung on then
	Voided *model.Void // why it no longer counts; nil while it does
}

// Counts says whether figures take the line into account.
func (l Line) Counts() bool { return l.Voided == nil }

// Counting yields those of some lines that figures take into account.
func Counting(lines []Line) iter.Seq[Line] {
	return func(yield func(Line) bool) {
		for _, line := range lines {
			if line.Counts() && !yield(line) {
				return
			}
		}
	}
}

// Last is the last event of a kind that counts and is wanted; ok is false where there is none.
func Last[E model.Event](s Story, wanted func(E) bool) (last E, ok bool) {
	for _, line := range slices.Backward(s.Lines) {
		if what, is := line.What.(E); is && line.Counts() && wanted(what) {
			return what, true
		}
	}
	return last, false
}

// MayVoid says why the line can't be voided; "" where it can.
func (l Line) MayVoid() string {
	if !l.Counts() {
		return "that entry is struck out already"
	}
	return ""
}

// MayCorrect says why the line can't be corrected; "" where it can.
func (l Line) MayCorrect() string {
	switch l.Entry.What.(type) {
	case model.Void, model.Edit, model.Finish, model.Rack, model.Unknown:
		return "strike it out, and enter it again"
	}
	return l.MayVoid()
}

// Bow is the bow as its description stands now, its figures in the units in which they are shown and typed.
func (s Story) Bow() model.Bow { return s.Desc.Bow.ShownIn(s.shown) }

// ShownIn is the story with its figures shown and typed in other units; "" stands for its record's.
func (s Story) ShownIn(units measure.Units) Story {
	s.shown = units
	return s
}

// Stave returns the limbs as described before any wood came off.
func (s Story) Stave() [2]model.Limb {
	if !s.scraped {
		return s.Bow().Limbs
	}
	return s.stave
}

// Whole are the limbs as they are but for what came off at their nocks.
func (s Story) Whole() [2]model.Limb {
	limbs := s.Bow().Limbs
	for side, off := range s.off {
		if off > 0 {
			limbs[side].Length += off
			limbs[side].Stations = s.whole[side].Stations
		}
	}
	return limbs
}

// Pass is the current pass, the last one.
func (s Story) Pass() Pass { return s.Passes[len(s.Passes)-1] }

// Fold tells the story of a bow from its first description and its entries in order of their keys.
func Fold(first record.Description, items []record.Item) Story {
	return fold(first, items, first.Bow.Rig)
}

// fold takes peaks to the hook by a rig. That is the one that the bow is described with last: who finds out
// what a scale reads knows what it read.
func fold(first record.Description, items []record.Item, rig model.Rig) Story {
	s := Story{
		first: first, rig: rig, Desc: first, InHand: true,
		Lines: make([]Line, 0, len(items)), Passes: make([]Pass, 1),
	}
	items = inPlace(items)
	voids := voided(items)
	for _, item := range items {
		s.add(Line{Item: item, Voided: voids[item.Entry.ID]})
	}
	if described := s.Desc.Bow.Rig; described != rig {
		return fold(first, items, described)
	}
	return s
}

// With is the story with further entries, each with its key, as Fold would tell it.
func (s Story) With(items ...record.Item) Story {
	last := s.LastKey()
	for _, item := range items {
		if _, isVoid := item.Entry.What.(model.Void); isVoid || item.Key.Compare(last) < 0 {
			all := append(s.Record().Items, items...)
			record.SortItems(all)
			return Fold(s.first, all).ShownIn(s.shown)
		}
		last = item.Key
	}
	// The stories share what they have in common; the last pass and the last session go on in copies.
	s.Passes, s.Sessions = slices.Clone(s.Passes), slices.Clone(s.Sessions)
	for _, item := range items {
		s.add(Line{Item: item})
	}
	if s.Desc.Bow.Rig != s.rig {
		return Fold(s.first, s.Record().Items).ShownIn(s.shown)
	}
	return s
}

// inPlace puts each correction directly behind the entry that it corrects, where its key had no room there.
func inPlace(items []record.Item) []record.Item {
	for _, item := range items {
		void, _ := item.Entry.What.(model.Void)
		if void.By == "" {
			continue
		}
		at := func(id string) int {
			return slices.IndexFunc(items, func(i record.Item) bool { return i.Entry.ID == id })
		}
		if old, by := at(void.Entry), at(void.By); old >= 0 && by > old+1 && at(item.Entry.ID) > by {
			items = slices.Concat(items[:old+1], items[by:by+1], items[old+1:by], items[by+1:])
		}
	}
	return items
}

// voided finds the entries that no longer count. A void reaches only those before it: it begins at the last.
func voided(items []record.Item) map[string]*model.Void {
	place := make(map[string]int, len(items))
	for i, item := range items {
		place[item.Entry.ID] = i
	}
	out := make(map[string]*model.Void)
	for i, item := range slices.Backward(items) {
		void, isVoid := item.Entry.What.(model.Void)
		if at, known := place[void.Entry]; isVoid && out[item.Entry.ID] == nil && known && at < i {
			out[void.Entry] = &void
		}
	}
	return out
}

// work is what an event does to the bow.
func (s Story) work(what model.Event) model.Work { return model.WorkOf(what, s.Desc.Bow) }

// add appends a line. Work on the bow after a reading begins a new pass.
func (s *Story) add(line Line) {
	pass := &s.Passes[len(s.Passes)-1]
	if s.work(line.Entry.What).Begins && line.Counts() && pass.read {
		s.Passes = append(s.Passes, Pass{Number: pass.Number + 1})
		pass = &s.Passes[len(s.Passes)-1]
	}
	line.What = s.rig.AtHook(line.Entry.What)
	if line.Counts() {
		s.strings = s.strings.With(s.Desc.Bow, line.Entry.What, pass.Number)
		s.apply(line.What, pass)
	}
	line.Pass, line.On = pass.Number, s.strings.now
	pass.lines = append(pass.lines, len(s.Lines))
	s.Lines = append(s.Lines, line)
	s.sit(len(s.Lines) - 1)
}

// apply changes the story by an event that counts, in the current pass.
func (s *Story) apply(what model.Event, pass *Pass) {
	if s.work(what).Tiller {
		s.at(tillering)
	}
	switch what := what.(type) {
	case model.Scrape:
		s.keepStave()
		pass.Scrapes = append(pass.Scrapes, what)
		pass.Exercised = 0
	case model.Heat:
		pass.Heated = true
	case model.Shot:
		pass.Shot += what.Arrows
	case model.Shorten:
		s.shorten(what)
		pass.Shortened = true
	case model.Exercise:
		pass.Exercised += what.Pulls
	case model.Relaxed:
		pass.note(Pose{Kind: model.KindRelaxed, From: model.FromLine}, what.Readings)
	case model.Braced:
		pass.Braced = append(pass.Braced, what)
		pass.note(s.PoseNow(model.KindBraced, what.From), what.Readings)
	case model.Pull:
		pass.Pulls, pass.on = append(pass.Pulls, what), append(pass.on, s.strings.now)
		s.weighed = s.weighed || what.Peak.Known()
		pose := s.PoseNow(model.KindPull, what.From)
		pose.Draw = what.Draw
		pass.note(pose, what.Readings)
	case model.Finish:
		s.finish(what)
	case model.Rack:
		s.rack(what)
	case model.Edit:
		if edited, err := s.Desc.Edited(what); err == nil {
			s.Desc = edited
		}
	}
}

// keepStave remembers the limbs as they were before the first wood came off.
func (s *Story) keepStave() {
	if !s.scraped {
		s.scraped, s.stave = true, s.Desc.Bow.Limbs
	}
}

func (s *Story) shorten(what model.Shorten) {
	s.keepStave()
	if s.off == [2]measure.Length{} {
		s.whole = s.Desc.Bow.Limbs
	}
	bow := s.Desc.Bow
	bow.Limbs = what.Of(bow.Limbs)
	edit, _, err := s.Desc.EditTo(bow)
	if err != nil {
		return
	}
	if edited, err := s.Desc.Edited(edit); err == nil {
		s.Desc = edited
		for side, off := range what.Off() {
			s.off[side] += off
		}
	}
}

// Strings are the strings that the bow hung on.
func (s Story) Strings() Strings { return s.strings }

// PoseNow is a pose on the string that the bow hangs on.
func (s Story) PoseNow(kind model.Kind, from model.Datum) Pose {
	on, number := s.strings.Now()
	return Pose{Kind: kind, From: from, On: number, Long: on.Kind == model.LongString}
}

// LastAt is the time of the last entry; zero where none says one.
func (s Story) LastAt() time.Time {
	for _, line := range slices.Backward(s.Lines) {
		if at := line.Entry.At; !at.IsZero() {
			return at
		}
	}
	return time.Time{}
}

// LastKey is the key of the last entry; zero where there is none.
func (s Story) LastKey() record.Key {
	if n := len(s.Lines); n > 0 {
		return s.Lines[n-1].Key
	}
	return record.Key{}
}

// Line is the line with the given entry ID; ok is false where there is none.
func (s Story) Line(id string) (line Line, ok bool) {
	if i := slices.IndexFunc(s.Lines, func(l Line) bool { return l.Entry.ID == id }); i >= 0 {
		return s.Lines[i], true
	}
	return Line{}, false
}

// ScrapedSince says whether the bow was worked on after the given time.
func (s Story) ScrapedSince(since time.Time) bool {
	return slices.ContainsFunc(s.Lines, func(line Line) bool {
		return s.work(line.Entry.What).Begins && line.Counts() && line.Entry.At.After(since)
	})
}

// Before is the story as it stood before an entry, which is being read anew, without what was voided later.
func (s Story) Before(id string) Story {
	at := slices.IndexFunc(s.Lines, func(l Line) bool { return l.Entry.ID == id })
	return s.until(at, func(what model.Event) bool { _, isEdit := what.(model.Edit); return isEdit })
}

// firstField names a field of a record whose entries change the bow's description: that from before them.
// The field "bow" has the present one, for readers that know nothing of changes.
const firstField = "bow_first"

// Record is the story as its record.
func (s Story) Record() record.Record {
	rec := record.Record{Description: s.Desc, Items: make([]record.Item, len(s.Lines))}
	for i, line := range s.Lines {
		rec.Items[i] = line.Item
	}
	if _, taken := rec.Extra[firstField]; !taken && !bytes.Equal(s.first.Doc, s.Desc.Doc) {
		extra := map[string]json.RawMessage{firstField: s.first.Doc}
		maps.Copy(extra, rec.Extra)
		rec.Extra = extra
	}
	return rec
}

// AsFirst is the record with the bow as first described, if the entries lead from there to the present one.
func AsFirst(rec record.Record) record.Record {
	doc, present := rec.Extra[firstField]
	if !present {
		return rec
	}
	first, err := record.ParseDescription(doc, rec.Bow.Units)
	if err != nil {
		return rec
	}
	first.Extra = maps.Clone(rec.Extra)
	if delete(first.Extra, firstField); len(first.Extra) == 0 {
		first.Extra = nil
	}
	if reflect.DeepEqual(Fold(first, rec.Items).Bow(), rec.Bow) {
		rec.Description = first
	}
	return rec
}

// Session is one sitting with a bow at the tree: entries with no gap of over four hours.
type Session struct {
	Number      int // from 1
	First, last int // indices of its entries among the story's lines
	From, To    time.Time
}

// LongestPause is the longest gap between entries of one session.
const LongestPause = 4 * time.Hour

// sit adds the line to the last session, or begins a new one after a gap of more than LongestPause.
func (s *Story) sit(line int) {
	at, n := s.Lines[line].Entry.At, len(s.Sessions)
	pauses := func(last time.Time) bool {
		return !at.IsZero() && !last.IsZero() && at.Sub(last) > LongestPause
	}
	if n == 0 || pauses(s.Sessions[n-1].To) {
		s.Sessions = append(s.Sessions, Session{Number: n + 1, First: line, From: at, To: at})
		n++
	}
	sitting := &s.Sessions[n-1]
	sitting.last = line
	if sitting.From.IsZero() {
		sitting.From = at
	}
	if at.After(sitting.To) {
		sitting.To = at
	}
}

// LinesIn are the session's lines in order, voided ones too.
func (s Story) LinesIn(session Session) []Line { return s.Lines[session.First : session.last+1] }

// Until is the story as it stood at the end of a session, without the entries that were voided later.
func (s Story) Until(session Session) Story {
	if session.last+1 >= len(s.Lines) {
		return s
	}
	return s.until(session.last+1, func(model.Event) bool { return false })
}

// until is the story of the first n lines, without what was voided later, and of what else counts from later.
func (s Story) until(n int, later func(model.Event) bool) Story {
	items := make([]record.Item, 0, len(s.Lines))
	for i, line := range s.Lines {
		if _, isVoid := line.Entry.What.(model.Void); i < n || isVoid || later(line.Entry.What) {
			items = append(items, line.Item)
		}
	}
	return Fold(s.first, items).ShownIn(s.shown)
}
