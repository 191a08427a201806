package shop

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// A cached row must say what this program would make of the entries. If this test fails, a story says something
// else than before: raise rowLayout, so that rows are made anew, and write the new sum here.
func TestRowsSayWhatTheirLayoutSays(t *testing.T) {
	const layout, sum = 8, "025a85bea6482bbc"
	limb := model.Limb{Length: 34, Stations: []measure.Length{6, 8}}
	desc, err := record.Describe(model.Bow{
		ID: "b", Name: "Ash", Wood: "ash", Units: measure.Imperial(), Limbs: [2]model.Limb{limb, limb}, Handle: 4, Section: model.SectionD,
		Order: model.Order{Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](35), Due: "2027-02-05"},
	})
	must(t, err)
	pull := func(draw measure.Length, peak measure.Force) model.Event {
		return model.Pull{Draw: draw, Peak: measure.Some(peak), From: model.FromLine}
	}
	relaxed := func(l measure.Length) model.Event {
		row := []measure.Optional[measure.Length]{measure.Some(l), measure.Some(2 * l)}
		return model.Relaxed{Readings: model.Readings{row, row}}
	}
	var items []record.Item
	var all []byte
	for i, event := range []model.Event{
		relaxed(0), pull(10, 20), model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString}, pull(28, 40),
		model.Scrape{Limb: model.Upper, From: 4, To: 12, Strokes: measure.Some(20)}, model.Exercise{Pulls: 20}, pull(28, 37), relaxed(0.5),
		model.Edit{Set: []byte(`{"number":"47"}`)}, model.Finish{Step: "sanded", Grit: measure.Some(80)}, pull(28, 36), model.Finish{Step: "marked", Text: "35"},
		model.Finish{Step: "varnish", Coat: measure.Some(1), On: "2027-02-01"}, model.Rack{Why: "away"}, model.Rack{InHand: true},
		model.Finish{Step: model.HandedOver}, model.Rack{InHand: true}, pull(28, 35), model.Void{Entry: "17"}, model.Note{Text: "x"},
	} {
		item, err := record.NewItem(model.Entry{ID: string(rune('a' + i)), At: time.Date(2027, 2, 1, 9, i, 0, 0, time.UTC), What: event}, measure.Imperial())
		must(t, err)
		items = append(items, item)
		doc, err := json.Marshal(rowOf(session.Fold(desc, items)))
		must(t, err)
		all = append(all, doc...)
	}
	got := sha256.Sum256(all)
	if s := hex.EncodeToString(got[:8]); s != sum || rowLayout != layout {
		t.Errorf("layout %d with the sum %s; this test knows layout %d with %s", rowLayout, s, layout, sum)
	}
}

// A step is at the day that it names, in the shop's time zone.
func TestAStepsOwnDay(t *testing.T) {
	east := time.FixedZone("east", 10*3600)
	entered := time.Date(2027, 2, 1, 22, 0, 0, 0, time.UTC) // on the 2nd at 8, there
	log := verdict.LogOf([]finish.Fact{{What: finish.Step, Step: "varnish", At: entered, On: "2027-02-01"}}, east)
	if got := log[0].At; !got.Equal(time.Date(2027, 2, 1, 8, 0, 0, 0, east)) {
		t.Errorf("%v", got)
	}
}

// A cached row is used unless it is damaged, of another layout or bow, or made of other entries.
func TestWhichCachedRowsAreBelieved(t *testing.T) {
	doc, err := json.Marshal(Row{Layout: rowLayout, Entries: 2, Bow: model.Bow{ID: "a"}})
	must(t, err)
	other, err := json.Marshal(Row{Layout: rowLayout + 1, Entries: 2, Bow: model.Bow{ID: "a"}})
	must(t, err)
	for name, c := range map[string]struct {
		doc     []byte
		id      string
		entries int
	}{
		"as cached": {doc, "a", 2}, "none": {nil, "a", 2}, "cut": {doc[:len(doc)-1], "a", 2}, "another layout": {other, "a", 2},
		"another bow": {doc, "b", 2}, "an entry more": {doc, "a", 3}, "an entry less": {doc, "a", 1},
	} {
		if _, ok := rowIn(c.doc, c.id, c.entries); ok != (name == "as cached") {
			t.Errorf("%s: believed %v", name, ok)
		}
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
