package shop_test

import (
	"testing"
	"time"

	"bendbook/session/shop"
)

// Of several half-typed forms of a bow the newest is told of, whatever ids the bow and its entries came with.
func TestTheNewestHalfTypedFormIsToldOf(t *testing.T) {
	w := newWorkshop(1)
	bow := ash()
	bench := w.bench(t, bow)
	id := bench.Story().Bow().ID
	at := func(hour int) time.Time { return time.Date(2027, 2, 1, hour, 0, 0, 0, time.UTC) }
	for form, begun := range map[string]time.Time{"scrape": at(9), "correct 2026/7": at(11), "pull": at(10)} {
		must(t, w.SaveDraft(shop.DraftKey(id, form), shop.Draft{Form: form, Begun: begun}))
	}
	must(t, w.SaveDraft(shop.DraftKey(id+"/a", "note"), shop.Draft{Form: "note", Begun: at(12)}))
	drafts, err := w.Drafts(id)
	if err != nil || len(drafts) != 3 || drafts[0].Form != "correct 2026/7" || drafts[1].Form != "pull" || drafts[2].Form != "scrape" {
		t.Errorf("%+v (%v), want the correction, the pull and the scrape", drafts, err)
	}
	rows, err := w.Rack()
	if err != nil || len(rows) != 1 || rows[0].HalfTyped != "correct 2026/7" {
		t.Errorf("the rack tells of %+v (%v)", rows, err)
	}
}
