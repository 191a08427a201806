package session

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"bendbook/model/date"
	"bendbook/model/finish"
)

// Board is the rack at one moment: which bows hang there and in which order. Each is told when it is asked for, so that the first of
// thousands show at once. What takes longer to find out comes with Look.
type Board struct {
	shop      *Shop
	hung      []*hung
	settings  finish.Settings
	halfTyped map[string][]Draft
	now       time.Time
	learnt    *losses          // nil until they are; rows then go by common practice
	damage    map[string]error // by the bow's id
	missing   int
	unread    int
	told      map[string]Row // by the bow's id, what Row told already
}

// readWhole is how many of the bows that stand first on the rack are read entry by entry by Look, so that damage shows there
// before the bow is taken to the bench.
const readWhole = 40

// readAtOnce is how many bows of which the book has no tag are read before the board shows: the last ones that were worked on before the power went.
const readAtOnce = 5

// Board is the rack as it hangs now; see Rack for its order and its error. Where the book has no tags of many bows, these are left out: Unread
// counts them, and TagSome reads them bit by bit.
func (s *Shop) Board() (*Board, error) {
	return s.board(func() ([]*hung, error) {
		s.mu.Lock()
		defer s.mu.Unlock()
		err := s.hangUp()
		if s.rail.piecemeal = len(s.rail.bare) > readAtOnce; !s.rail.piecemeal {
			s.hangBare(len(s.rail.bare))
		}
		if len(s.rail.made) > readAtOnce {
			s.keepMade() // fewer wait until the screen is left, for a key should not wait for the disk
		}
		return s.rail.shown(), cmp.Or(err, s.rail.fault())
	})
}

// board is the rack with these tags; nil where nothing can be told.
func (s *Shop) board(tags func() ([]*hung, error)) (*Board, error) {
	halfTyped, err := s.halfTyped()
	if err != nil {
		return nil, err
	}
	settings, unset := s.Settings()
	b := &Board{shop: s, settings: settings, halfTyped: halfTyped, now: s.Here(), told: make(map[string]Row)}
	b.hung, err = tags()
	b.learnt = s.learnt(settings)
	s.mu.Lock()
	b.unread, b.damage = len(s.rail.bare), s.rail.damage
	s.mu.Unlock()
	if err = cmp.Or(err, unset); err != nil {
		return b, fmt.Errorf("reading the rack: %w", err)
	}
	return b, nil
}

// Unread is how many bows of the book hang nowhere yet, because the book has no tags of them.
func (s *Shop) Unread() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.rail.bare)
}

// Len is how many bows hang on the rack.
func (b *Board) Len() int { return len(b.hung) }

// Unread is how many bows of the book were not read yet, and hang nowhere so far.
func (b *Board) Unread() int { return b.unread }

// Row tells the bow at a place, and remembers it: a screen asks for the same rows with each key.
func (b *Board) Row(at int) Row {
	id := b.hung[at].id
	row, known := b.told[id]
	if !known {
		row = b.tell(at)
		b.told[id] = row
	}
	return row
}

func (b *Board) tell(at int) Row {
	h := b.hung[at]
	row := rowOf(h, cmp.Or(h.damage, b.damage[h.id]), b.settings, b.takes, b.now, b.shop.DatesOf(b.settings))
	if half := b.halfTyped[h.id]; len(half) > 0 {
		row.HalfTyped = half[0].Form
	}
	row.Bow = row.Bow.ShownIn(b.settings.ShownUnits())
	return row
}

// ID is the id of the bow at a place.
func (b *Board) ID(at int) string { return b.hung[at].id }

// InHand says whether the bow at a place is in hand.
func (b *Board) InHand(at int) bool { return b.hung[at].inHand }

// Words are what finding looks through, of the bow at a place: its name, number, wood, customer and stage in small letters, a line each.
func (b *Board) Words(at int) string { return b.hung[at].words() }

// Count is how many bows are in hand, and how many are late.
func (b *Board) Count() (inHand, late int) {
	for _, h := range b.hung {
		if h.inHand {
			inHand++
		}
		if days, ok := daysLeft(h.due, h.handedOver, b.now); ok && days < 0 {
			late++
		}
	}
	return inHand, late
}

// Missing is how many bows cannot be ready on the day that they were promised for, though that is still to come; 0 before Look.
func (b *Board) Missing() int { return b.missing }

// FirstHalfTyped is the first bow with a half-typed form; ok is false where there is none.
func (b *Board) FirstHalfTyped() (row Row, ok bool) {
	if len(b.halfTyped) == 0 {
		return Row{}, false
	}
	at := slices.IndexFunc(b.hung, func(h *hung) bool { return len(b.halfTyped[h.id]) > 0 })
	if at < 0 {
		return Row{}, false
	}
	return b.Row(at), true
}

// Today are the bows in hand: those with which something can be done today first, then those that must wait, by when they are dry. Damaged ones
// are left out.
func (b *Board) Today() []Row {
	var rows []Row
	for at, h := range b.hung {
		if h.inHand {
			if row := b.tell(at); row.Damage == nil {
				rows = append(rows, row)
			}
		}
	}
	waits := func(row Row) int {
		if row.Today {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(rows, func(a, b Row) int { return cmp.Or(cmp.Compare(waits(a), waits(b)), a.From.Compare(b.From)) })
	return rows
}

// takes are what finishing and first use take of a wood, as far as it is learnt.
func (b *Board) takes(wood string) finish.Allowances {
	if b.learnt == nil {
		return finish.Allowances{Sanding: finish.Learn(b.settings.Sanding, nil, wood), Settling: finish.Learn(b.settings.Settling, nil, wood)}
	}
	return b.learnt.allowances(wood)
}

// Learn finds out what the shop's bows lose in finishing, by which rows are told. It may take its time, beside the keys' way, where nobody else has the board.
func (b *Board) Learn() {
	b.learnt = b.shop.losses(b.settings, b.hung)
	b.told = make(map[string]Row)
}

// Look finds out what the board does not show at once: what the shop's bows lose in finishing, which bows cannot be ready in time, and what is wrong
// with the first ones. It may take its time beside the keys' way and writes nothing; told, which is called where the board is
// looked at, tells it.
func (b *Board) Look() (told func()) {
	looked := *b
	for _, h := range looked.hung {
		h.words() // so that the first letter of what is sought need not wait for all of them
	}
	looked.Learn()
	looked.damage = make(map[string]error)
	for _, h := range b.hung[:min(readWhole, len(b.hung))] {
		if h.damage != nil {
			continue
		}
		if _, err := b.shop.items(h.id); err != nil {
			b.shop.reading.forget(h.id)
			looked.damage[h.id] = fmt.Errorf("reading the entries of %s: %w", NameOf(h.tag().Bow), err)
		}
	}
	looked.missing = 0
	for at, h := range looked.hung {
		// Only what is promised and in hand can be missed, unless it is late already.
		if !h.inHand || h.due == "" {
			continue
		}
		row := looked.tell(at)
		if days, ok := row.DaysLeft(b.now); !(ok && days < 0) && row.Misses(b.now.Location()) > 0 {
			looked.missing++
		}
	}
	return func() {
		b.learnt, b.damage, b.missing, b.told = looked.learnt, looked.damage, looked.missing, looked.told
		b.shop.mu.Lock()
		defer b.shop.mu.Unlock()
		b.shop.rail.damage = looked.damage
	}
}

// rowOf is a bow's row on the rack.
func rowOf(h *hung, damage error, settings finish.Settings, takes func(wood string) finish.Allowances, now time.Time, dates date.Order) Row {
	t := h.tag()
	row := Row{
		Bow: t.Bow, Stage: t.Stage, Waits: t.Waits, InHand: t.InHand, HandedOver: t.HandedOver,
		Last: t.Last, Sessions: t.Sessions, Pass: t.Pass, Pull: t.Pull,
	}
	if damage != nil {
		row.Damage, row.Stage, row.Waits = damage, stageDamaged, ""
		return row
	}
	if !t.InHand {
		return row
	}
	p := settings.Progress(t.Log(now.Location()), allowedOn(t.Bow, takes(t.Bow.Wood)), now)
	row.Next, row.From, row.Today, row.Handover, row.Coats = p.Waits(), p.Dry, p.Today(now), p.Handover, p.CoatsLeft
	switch next := SayNext(p, now, dates); {
	case next == "":
	case t.Waits == waitsFinishing, t.Waits == waitsLonger && p.Tillered():
		row.Waits = fmt.Sprintf("%s: %s", waitsFinishing, next)
	case t.Waits == waitsNextStep:
		row.Waits = next
	}
	return row
}
