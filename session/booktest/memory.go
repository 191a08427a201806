// Package booktest holds a book in memory for tests, which keeps the promises of a shop's book and fails on
// demand.
package booktest

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"bendbook/model/record"
)

// Memory is a book in memory. Like one on disk it keeps documents, not the values that came with them.
type Memory struct {
	Fail   error            // of every call that writes, where it is set; nothing is written then
	Damage map[string]error // why the entries of a bow, by its id, cannot be read
	Locked string           // what ReadOnly says
	Mended string           // what Notice says
	Came   bool             // the next Refresh brings something

	bows     map[string]record.Description
	items    map[string][]record.Item
	drafts   map[string][]byte
	rows     map[string][]byte
	settings []byte // nil until some are kept
}

// New is an empty book.
func New() *Memory {
	return &Memory{
		bows: map[string]record.Description{}, items: map[string][]record.Item{},
		drafts: map[string][]byte{}, rows: map[string][]byte{},
	}
}

func (m *Memory) write(change func()) error {
	switch {
	case m.Locked != "":
		return errors.New(m.Locked)
	case m.Fail == nil:
		change()
	}
	return m.Fail
}

func (m *Memory) Bow(id string) (rec record.Record, ok bool, err error) {
	desc, ok := m.bows[id]
	if err = m.Damage[id]; err == nil {
		rec.Items = slices.Clone(m.items[id])
	}
	rec.Description = desc
	return rec, ok, err
}

func (m *Memory) AddBow(rec record.Record, draft string) error {
	if _, taken := m.bows[rec.Bow.ID]; taken {
		return fmt.Errorf("the book has a bow %s already", rec.Bow.ID)
	}
	desc, err := record.ParseDescription(rec.Doc, rec.Bow.Units)
	if err != nil {
		return err
	}
	desc.Extra = rec.Extra
	return m.add(desc, rec.Items, draft)
}

func (m *Memory) AddItems(bow string, items []record.Item, draft string) error {
	desc, known := m.bows[bow]
	if !known {
		return fmt.Errorf("the book has no bow %s", bow)
	}
	return m.add(desc, items, draft)
}

// add keeps a bow with further entries, in order of their keys.
func (m *Memory) add(desc record.Description, more []record.Item, draft string) error {
	all := slices.Clone(m.items[desc.Bow.ID])
	for _, item := range more {
		taken := func(other record.Item) bool { return other.Key == item.Key }
		if item.Key.IsZero() || slices.ContainsFunc(all, taken) {
			return fmt.Errorf("the key %s is taken or none", item.Key)
		}
		kept, err := record.ParseItem(item.Doc, desc.Bow.Units)
		if err != nil {
			return err
		}
		kept.Entry.ID, kept.Key = item.Entry.ID, item.Key
		all = append(all, kept)
	}
	record.SortItems(all)
	return m.write(func() {
		m.bows[desc.Bow.ID], m.items[desc.Bow.ID] = desc, all
		delete(m.drafts, draft)
	})
}

func (m *Memory) Drafts() (map[string][]byte, error) { return maps.Clone(m.drafts), nil }

func (m *Memory) SaveDraft(key string, doc []byte) error {
	return m.write(func() { m.drafts[key] = slices.Clone(doc) })
}

func (m *Memory) DropDraft(key string) error {
	return m.write(func() { delete(m.drafts, key) })
}

func (m *Memory) Settings() ([]byte, bool, error) { return m.settings, m.settings != nil, nil }

func (m *Memory) KeepSettings(doc []byte) error {
	return m.write(func() { m.settings = slices.Clone(doc) })
}

func (m *Memory) Rows() (map[string]int, map[string][]byte, error) {
	entries := make(map[string]int)
	for id := range m.bows {
		entries[id] = len(m.items[id])
	}
	return entries, maps.Clone(m.rows), nil
}

func (m *Memory) KeepRows(rows map[string][]byte) error {
	return m.write(func() { maps.Copy(m.rows, rows) })
}

func (m *Memory) Refresh() (bool, error) {
	came := m.Came
	m.Came = false
	return came, nil
}

func (m *Memory) Notice() string { return m.Mended }

func (m *Memory) ReadOnly() string { return m.Locked }
