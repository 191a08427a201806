package booktest_test

import (
	"errors"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session/booktest"
	"bendbook/session/shop"
)

var _ shop.Book = booktest.New()

func note(t *testing.T, key byte) record.Item {
	t.Helper()
	entry := model.Entry{ID: string(rune('a' + key)), What: model.Note{Text: "x"}}
	item, err := record.NewItem(entry, measure.Imperial())
	if err != nil {
		t.Fatal(err)
	}
	item.Key[15] = key
	return item
}

func elm(t *testing.T, items ...record.Item) record.Record {
	t.Helper()
	bow := model.Bow{ID: "b", Name: "Elm", Units: measure.Imperial(), Limbs: [2]model.Limb{{Length: 34}, {Length: 33}}}
	desc, err := record.Describe(bow)
	if err != nil {
		t.Fatal(err)
	}
	return record.Record{Description: desc, Items: items}
}

// TestMemoryKeepsAllOrNothingInOrderOfKeys, as the interface promises.
func TestMemoryKeepsAllOrNothingInOrderOfKeys(t *testing.T) {
	m := booktest.New()
	if err := m.AddBow(elm(t, note(t, 1), note(t, 1)), ""); err == nil {
		t.Error("one key was taken twice")
	}
	if _, ok, _ := m.Bow("b"); ok {
		t.Error("a bow stayed of which an entry was refused")
	}
	if err := m.SaveDraft("new", []byte("x")); err != nil {
		t.Fatal(err)
	}
	if err := m.AddBow(elm(t, note(t, 5)), "new"); err != nil {
		t.Fatal(err)
	}
	if _, ok, _ := m.Draft("new"); ok {
		t.Error("the draft of the bow stayed")
	}
	if err := m.AddBow(elm(t), ""); err == nil {
		t.Error("a bow was added twice")
	}
	if err := m.SaveDraft("k", []byte("x")); err != nil {
		t.Fatal(err)
	}
	if err := m.AddItems("b", []record.Item{note(t, 2), note(t, 5)}, "k"); err == nil {
		t.Error("a key that is taken was taken again")
	}
	if _, ok, _ := m.Draft("k"); !ok {
		t.Error("the draft of a refused entry is gone")
	}
	m.Fail = errors.New("full")
	if err := m.AddItems("b", []record.Item{note(t, 2)}, "k"); !errors.Is(err, m.Fail) {
		t.Errorf("a full book says %v", err)
	}
	m.Fail = nil
	if err := m.AddItems("b", []record.Item{note(t, 7), note(t, 2)}, "k"); err != nil {
		t.Fatal(err)
	}
	items, err := m.Items("b")
	if err != nil || len(items) != 3 || items[0].Key[15] != 2 || items[1].Key[15] != 5 || items[2].Key[15] != 7 {
		t.Errorf("the entries are %v (%v)", items, err)
	}
	if _, ok, _ := m.Draft("k"); ok {
		t.Error("the draft stayed")
	}
	if _, err := m.Items("nobody's"); err == nil {
		t.Error("a bow that is not there has entries")
	}
}
