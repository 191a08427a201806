package booktest_test

import (
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
	must(t, err)
	item.Key[15] = key
	return item
}

func elm(t *testing.T, items ...record.Item) record.Record {
	t.Helper()
	bow := model.Bow{ID: "b", Name: "Elm", Units: measure.Imperial(), Limbs: [2]model.Limb{{Length: 34}, {Length: 33}}}
	desc, err := record.Describe(bow)
	must(t, err)
	return record.Record{Description: desc, Items: items}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestMemoryKeepsAllOrNothingInOrderOfKeys, as the interface promises.
func TestMemoryKeepsAllOrNothingInOrderOfKeys(t *testing.T) {
	m := booktest.New()
	must(t, m.SaveDraft("k", []byte("x")))
	if err := m.AddBow(elm(t, note(t, 1), note(t, 1)), "k"); err == nil {
		t.Error("one key was taken twice")
	}
	if _, ok, _ := m.Bow("b"); ok {
		t.Error("a bow stayed of which an entry was refused")
	}
	must(t, m.AddBow(elm(t, note(t, 5)), ""))
	if err := m.AddItems("b", []record.Item{note(t, 2), note(t, 5)}, "k"); err == nil {
		t.Error("a key that is taken was taken again")
	}
	if _, ok, _ := m.Draft("k"); !ok {
		t.Error("the draft of a refused entry is gone")
	}
	must(t, m.AddItems("b", []record.Item{note(t, 7), note(t, 2)}, "k"))
	items, err := m.Items("b")
	if err != nil || len(items) != 3 || items[0].Key[15] != 2 || items[1].Key[15] != 5 || items[2].Key[15] != 7 {
		t.Errorf("the entries are %v (%v)", items, err)
	}
	if _, ok, _ := m.Draft("k"); ok {
		t.Error("the draft stayed")
	}
}
