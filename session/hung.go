package session

import (
	"cmp"
	"sync/atomic"
	"time"

	"bendbook/model"
)

// hung is a bow's tag as it hangs at the rack: as the book keeps it, and told whole only when that is asked for, so that thousands
// are read at once and take little room. It does not change.
type hung struct {
	doc string
	// What the order of the rack follows from.
	id, name           string
	inHand, handedOver bool
	due                model.Day
	last               time.Time

	damage error                  // why its entries cannot be read; nil where they can
	said   atomic.Pointer[string] // what finding looks through, once that was asked for
}

// hang is the tag that a document tells.
func hang(doc string) (*hung, error) {
	t, _, err := tagHead(doc)
	if err != nil {
		return nil, err
	}
	return &hung{
		doc: doc, id: t.Bow.ID, name: t.Bow.Name, inHand: t.InHand, handedOver: t.HandedOver, due: t.Bow.Order.Due, last: t.Last,
	}, nil
}

// tag is the tag told whole.
func (h *hung) tag() Tag {
	t, _ := readTag(h.doc) // it was read before it was hung, or was made here
	return t
}

// words are what finding looks through, in small letters.
func (h *hung) words() string {
	if said := h.said.Load(); said != nil {
		return *said
	}
	t, _, _ := tagHead(h.doc)
	said := Row{Bow: t.Bow, Stage: h.stage(t)}.Words()
	h.said.Store(&said)
	return said
}

func (h *hung) stage(t Tag) string {
	if h.damage != nil {
		return stageDamaged
	}
	return t.Stage
}

// order is that of the rack: those in hand first, by the day they are due, then by their last entry.
func (h *hung) order(other *hung) int {
	if h.inHand != other.inHand {
		if h.inHand {
			return -1
		}
		return 1
	}
	const never = model.Day("9999-99-99")
	if c := cmp.Compare(cmp.Or(h.due, never), cmp.Or(other.due, never)); c != 0 {
		return c
	}
	if c := other.last.Compare(h.last); c != 0 {
		return c
	}
	return cmp.Or(cmp.Compare(h.name, other.name), cmp.Compare(h.id, other.id))
}
