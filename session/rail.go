package session

import (
	"cmp"
	"fmt"
	"slices"
)

// rail holds the tags of all bows while the book is open, so that an entry more makes one of them anew and not thousands.
type rail struct {
	read   bool
	all    []*hung  // in the order of the rack
	byID   []*hung  // the same, in the order of their ids
	bare   []string // ids of the bows of which the book has no tag
	faults []error  // of bows that cannot be read at all
	// told are the stories of bows that were added to since their tags were made, made tags that the book does not have yet.
	told   map[string]Story
	made   map[string][]byte
	damage map[string]error // that Board.Look found last, by the bow's id; never changed, only replaced
	// piecemeal says that the bare ones are read bit by bit.
	piecemeal bool
	learnt    *losses // nil where they are to be learnt anew
}

// placeOf is where the bow with this id stands among byID, or would.
func (r *rail) placeOf(id string) (at int, known bool) {
	return slices.BinarySearchFunc(r.byID, id, func(h *hung, id string) int { return cmp.Compare(h.id, id) })
}

func (r *rail) knows(id string) bool {
	_, known := r.placeOf(id)
	return known
}

// put hangs a tag up, in place of the bow's one before.
func (r *rail) put(h *hung) {
	var before *hung
	at, known := r.placeOf(h.id)
	if known {
		before, r.byID[at] = r.byID[at], h
		// No two bows stand in one place of the order.
		if was, found := slices.BinarySearchFunc(r.all, before, (*hung).order); found {
			r.all = slices.Delete(r.all, was, was+1)
		}
	} else {
		r.byID = slices.Insert(r.byID, at, h)
	}
	place, _ := slices.BinarySearchFunc(r.all, h, (*hung).order)
	r.all = slices.Insert(r.all, place, h)
	if r.learnt != nil && !r.learnt.same(before, h) {
		r.learnt = nil
	}
}

// hangs says whether these are all the tags as they hang now.
func (r *rail) hangs(tags []*hung) bool { return r.read && slices.Equal(r.all, tags) }

// fault is what is wrong with the bows that cannot be read at all; nil where nothing is.
func (r *rail) fault() error {
	switch n := len(r.faults); n {
	case 0:
		return nil
	case 1:
		return r.faults[0]
	default:
		return fmt.Errorf("%w, and %d more bows", r.faults[0], n-1)
	}
}

// tags are the tags of all bows, in the order of the rack. Where the book has none of a bow, it is made from the bow's entries, and kept
// where that is possible. What is wrong with one bow keeps no other from being tagged; the tags then come with the error.
func (s *Shop) tags() ([]*hung, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.hangUp()
	s.hangBare(len(s.rail.bare))
	s.keepMade()
	return s.rail.shown(), cmp.Or(err, s.rail.fault())
}

// inBookOrder brings tags into the order in which their bows stand in the book.
func inBookOrder(tags []*hung) []*hung {
	slices.SortFunc(tags, func(a, b *hung) int { return cmp.Compare(a.id, b.id) })
	return tags
}

// tagsSoFar are the tags of all bows but those that the screen still reads bit by bit. Nothing is written, so that it may be asked beside the keys' way.
func (s *Shop) tagsSoFar() ([]*hung, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	err := s.hangUp()
	if !s.rail.piecemeal {
		s.hangBare(len(s.rail.bare))
	}
	return s.rail.shown(), cmp.Or(err, s.rail.fault())
}

// shown are the tags in the order of the rack.
func (r *rail) shown() []*hung { return slices.Clone(r.all) }

// hangUp takes the tags that the book has, once, and makes those of the bows that were added to since.
func (s *Shop) hangUp() error {
	r := &s.rail
	if !r.read {
		*r = rail{told: make(map[string]Story), made: make(map[string][]byte)}
		err := s.book.Tags(func(id, doc string) error {
			if doc != "" {
				if h, err := hang(doc); err == nil && h.id == id {
					r.byID = append(r.byID, h) // each id comes once
					return nil
				}
			}
			r.bare = append(r.bare, id)
			return nil
		})
		r.all = slices.Clone(r.byID)
		slices.SortFunc(r.all, (*hung).order)
		slices.SortFunc(r.byID, func(a, b *hung) int { return cmp.Compare(a.id, b.id) }) // at once where the book told them so
		if err != nil {
			return err
		}
		r.read = true
	}
	for id, story := range r.told {
		s.hangStory(story)
		delete(r.told, id)
	}
	return nil
}

// hangStory makes a bow's tag anew.
func (s *Shop) hangStory(story Story) {
	doc := TagOf(story).encode()
	if h, err := hang(string(doc)); err == nil { // it was written just now
		s.rail.made[h.id] = doc
		s.rail.put(h)
	}
}

// hangBare reads up to most of the bows of which the book has no tag.
func (s *Shop) hangBare(most int) {
	r := &s.rail
	most = min(most, len(r.bare))
	for _, id := range r.bare[:most] {
		if !r.knows(id) {
			s.hangRead(s.readBare(id))
		}
	}
	r.bare = r.bare[most:]
}

// bareBow is a bow that was read because it has no tag.
type bareBow struct {
	story  Story
	damage error // why its entries cannot be read
	fault  error // why it cannot be read at all
}

func (s *Shop) readBare(id string) bareBow {
	first, known, err := s.book.Bow(id)
	if err != nil || !known {
		return bareBow{fault: cmp.Or(err, fmt.Errorf("%w: %s", ErrNoBow, id))}
	}
	items, err := s.book.Items(id)
	if err != nil {
		return bareBow{story: Fold(first, nil), damage: fmt.Errorf("reading the entries of %s: %w", NameOf(first.Bow), err)}
	}
	return bareBow{story: Fold(first, items)}
}

func (s *Shop) hangRead(bow bareBow) {
	switch {
	case bow.fault != nil:
		s.rail.faults = append(s.rail.faults, bow.fault)
	case bow.damage != nil:
		if h, err := hang(string(TagOf(bow.story).encode())); err == nil {
			h.damage = bow.damage
			s.rail.put(h)
		}
	default:
		s.hangStory(bow.story)
	}
}

// retold notes that a bow was added to, and what its story is now.
func (s *Shop) retold(story Story) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rail.read {
		s.rail.told[story.Bow().ID] = story
	}
}

// keepMade keeps the tags that were made, for the next time. Where they cannot be kept they are made again then.
func (s *Shop) keepMade() {
	if len(s.rail.made) > 0 && s.book.ReadOnly() == "" {
		// Nothing is lost by it.
		_ = s.book.KeepTags(s.rail.made)
	}
	clear(s.rail.made)
}

// KeepTags keeps the tags of the bows that were added to, so that the book opens sooner the next time.
func (s *Shop) KeepTags() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.rail.read && s.hangUp() == nil {
		s.keepMade()
	}
}

// TagSome reads up to most of the bows of which the book has no tag. It may be called beside the keys' way and writes nothing; hang,
// which is called where the book may be written to, hangs their tags up.
func (s *Shop) TagSome(most int) (hang func()) {
	s.mu.Lock()
	ids := slices.Clone(s.rail.bare[:min(most, len(s.rail.bare))])
	s.mu.Unlock()
	bows := make([]bareBow, len(ids))
	for i, id := range ids {
		bows[i] = s.readBare(id)
	}
	return func() {
		s.mu.Lock()
		defer s.mu.Unlock()
		for i, id := range ids {
			at := slices.Index(s.rail.bare, id)
			if at < 0 {
				continue // read meanwhile
			}
			s.rail.bare = slices.Delete(s.rail.bare, at, at+1)
			if _, told := s.rail.told[id]; !told && !s.rail.knows(id) {
				s.hangRead(bows[i])
			}
		}
		s.keepMade()
	}
}
