// Package booktest holds a book in memory for the tests of whatever works with a session.Book. It keeps that
// interface's promises, and fails on demand.
package booktest

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"bendbook/model/measure"
	"bendbook/model/record"
)

// Memory is a book in memory. Like one on disk it keeps what the documents say, not the values that came with them.
// The zero value is not ready; use New.
type Memory struct {
	// Fail, where it is set, is returned by every call that writes, and nothing is written.
	Fail error
	// Damage is why the entries of a bow, by its id, cannot be read.
	Damage map[string]error
	// Locked is what ReadOnly says, Mended what Notice says.
	Locked, Mended string
	// Came says that the next Refresh brings something.
	Came bool

	bows   map[string]record.Description
	items  map[string][]record.Item
	drafts map[string][]byte
	rows   map[string][]byte
	// settings is nil until some are kept.
	settings []byte
}

// New is an empty book.
func New() *Memory {
	return &Memory{
		bows: make(map[string]record.Description), items: make(map[string][]record.Item), drafts: make(map[string][]byte),
		rows: make(map[string][]byte),
	}
}

func (m *Memory) mayWrite() error {
	if m.Locked != "" {
		return errors.New(m.Locked)
	}
	return m.Fail
}

// Bows implements session.Book, in order of ids.
func (m *Memory) Bows(visit func(record.Description) error) error {
	for _, id := range slices.Sorted(maps.Keys(m.bows)) {
		if err := visit(m.bows[id]); err != nil {
			return err
		}
	}
	return nil
}

// Bow implements session.Book.
func (m *Memory) Bow(id string) (record.Description, bool, error) {
	desc, ok := m.bows[id]
	return desc, ok, nil
}

// Items implements session.Book.
func (m *Memory) Items(bow string) ([]record.Item, error) {
	if _, known := m.bows[bow]; !known {
		return nil, fmt.Errorf("the book has no bow %s", bow)
	}
	if err := m.Damage[bow]; err != nil {
		return nil, err
	}
	return slices.Clone(m.items[bow]), nil
}

// AddBow implements session.Book.
func (m *Memory) AddBow(rec record.Record, draft string) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	if _, taken := m.bows[rec.Bow.ID]; taken {
		return fmt.Errorf("the book has a bow %s already", rec.Bow.ID)
	}
	desc, err := record.ParseDescription(rec.Doc, rec.Bow.Units)
	if err != nil {
		return err
	}
	desc.Extra = rec.Extra
	items, err := joined(nil, rec.Items, rec.Bow.Units)
	if err != nil {
		return err
	}
	m.bows[rec.Bow.ID], m.items[rec.Bow.ID] = desc, items
	delete(m.drafts, draft)
	return nil
}

// AddItems implements session.Book.
func (m *Memory) AddItems(bow string, items []record.Item, draft string) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	desc, known := m.bows[bow]
	if !known {
		return fmt.Errorf("the book has no bow %s", bow)
	}
	all, err := joined(m.items[bow], items, desc.Bow.Units)
	if err != nil {
		return err
	}
	m.items[bow] = all
	delete(m.drafts, draft)
	return nil
}

// joined are a bow's entries with further ones in order of their keys.
func joined(have, more []record.Item, units measure.Units) ([]record.Item, error) {
	taken := make(map[record.Key]bool, len(have)+len(more))
	for _, item := range have {
		taken[item.Key] = true
	}
	all := slices.Clone(have)
	for _, item := range more {
		if item.Key.IsZero() || taken[item.Key] {
			return nil, fmt.Errorf("the key %s is taken or none", item.Key)
		}
		taken[item.Key] = true
		kept, err := record.ParseItem(item.Doc, units)
		if err != nil {
			return nil, err
		}
		kept.Entry.ID, kept.Key = item.Entry.ID, item.Key
		all = append(all, kept)
	}
	record.SortItems(all)
	return all, nil
}

// Draft implements session.Book.
func (m *Memory) Draft(key string) ([]byte, bool, error) {
	doc, ok := m.drafts[key]
	return doc, ok, nil
}

// Drafts implements session.Book, in order.
func (m *Memory) Drafts() ([]string, error) { return slices.Sorted(maps.Keys(m.drafts)), nil }

// SaveDraft implements session.Book.
func (m *Memory) SaveDraft(key string, doc []byte) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	m.drafts[key] = slices.Clone(doc)
	return nil
}

// DropDraft implements session.Book.
func (m *Memory) DropDraft(key string) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	delete(m.drafts, key)
	return nil
}

// Settings implements session.Book.
func (m *Memory) Settings() ([]byte, bool, error) { return m.settings, m.settings != nil, nil }

// KeepSettings implements session.Book.
func (m *Memory) KeepSettings(doc []byte) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	m.settings = slices.Clone(doc)
	return nil
}

// Rows implements session.Book.
func (m *Memory) Rows(visit func(bow string, entries int, row []byte) error) error {
	for _, id := range slices.Sorted(maps.Keys(m.bows)) {
		if err := visit(id, len(m.items[id]), m.rows[id]); err != nil {
			return err
		}
	}
	return nil
}

// KeepRows implements session.Book.
func (m *Memory) KeepRows(rows map[string][]byte) error {
	if err := m.mayWrite(); err != nil {
		return err
	}
	for id, row := range rows {
		if _, known := m.bows[id]; known {
			m.rows[id] = slices.Clone(row)
		}
	}
	return nil
}

// Refresh implements session.Book.
func (m *Memory) Refresh() (bool, error) {
	came := m.Came
	m.Came = false
	return came, nil
}

// Notice implements session.Book.
func (m *Memory) Notice() string { return m.Mended }

// ReadOnly implements session.Book.
func (m *Memory) ReadOnly() string { return m.Locked }
