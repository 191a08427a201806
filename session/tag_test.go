package session

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"reflect"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/record"
)

func drawTag(t *rapid.T) Tag {
	text := rapid.OneOf(rapid.SampledFrom([]string{"", "ash", "עץ\x00\xff"}), rapid.String())
	number := rapid.Float64Range(-1e6, 1e6)
	maybe := func(name string) measure.Optional[measure.Length] {
		if rapid.Bool().Draw(t, name) {
			return measure.Some(measure.Length(number.Draw(t, name)))
		}
		return measure.Optional[measure.Length]{}
	}
	moment := func(name string) time.Time {
		if rapid.Bool().Draw(t, name) {
			return time.Unix(rapid.Int64Range(-1e10, 1e11).Draw(t, name), rapid.Int64Range(0, 999_999_999).Draw(t, name)).UTC()
		}
		return time.Time{}
	}
	tag := Tag{
		Bow: model.Bow{
			ID: text.Draw(t, "id"), Name: text.Draw(t, "name"), Units: measure.Imperial(), HandleDepth: maybe("depth"), Scale: measure.Force(number.Draw(t, "scale")),
			Order: model.Order{For: text.Draw(t, "for"), Draw: maybe("draw"), Due: model.Day(text.Draw(t, "due")), Hand: "left"},
		},
		Stage: text.Draw(t, "stage"), InHand: rapid.Bool().Draw(t, "in hand"), Last: moment("last"), Pass: rapid.IntRange(0, 1e9).Draw(t, "pass"),
		Strokes: rapid.IntRange(0, 1e9).Draw(t, "strokes"), Set: maybe("set"),
	}
	for range rapid.IntRange(0, 3).Draw(t, "numbers") {
		tag.Numbers = append(tag.Numbers, text.Draw(t, "number"))
	}
	for range rapid.IntRange(0, 5).Draw(t, "facts") {
		f := fact{Fact: finish.Fact{What: finish.FactKind(rapid.IntRange(1, 6).Draw(t, "what")), At: moment("at")}}
		switch f.What {
		case finish.Step:
			f.Step, f.on, f.Coat = text.Draw(t, "step"), model.Day(text.Draw(t, "on")), rapid.IntRange(0, 9).Draw(t, "coat")
		case finish.Weighing:
			f.Weight = measure.Force(number.Draw(t, "weight"))
		}
		tag.facts = append(tag.facts, f)
	}
	return tag
}

func TestATagIsReadAsItWasKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tag := drawTag(t)
		doc := tag.encode()
		got, err := readTag(string(doc))
		if err != nil || !reflect.DeepEqual(got, tag) {
			t.Fatalf("%+v\nbecame %+v (%v)", tag, got, err)
		}
		cut := rapid.IntRange(0, len(doc)-1).Draw(t, "cut")
		if _, err := readTag(string(doc[:cut])); err == nil {
			t.Fatalf("a tag cut after %d of %d bytes is taken", cut, len(doc))
		}
	})
}

func FuzzDecodeTag(f *testing.F) {
	f.Add(Tag{Numbers: []string{"1"}, facts: []fact{{Fact: finish.Fact{What: finish.Step, Step: "filed"}}}}.encode())
	f.Fuzz(func(t *testing.T, doc []byte) {
		tag, err := readTag(string(doc))
		if err != nil {
			return
		}
		if again, err := readTag(string(tag.encode())); err != nil || !bytes.Equal(again.encode(), tag.encode()) {
			t.Fatalf("%x: %v", doc, err)
		}
	})
}

// A tag that the book kept must say what this program would make of the entries. Where this test fails, a story comes to something
// else than it did: raise tagLayout, so that tags are made anew, and write the new sum here.
func TestTagsSayWhatTheirLayoutSays(t *testing.T) {
	const layout, sum = 1, "2dc28499d356a91a"
	limb := model.Limb{Length: 34, Stations: []measure.Length{6, 8}}
	desc, err := record.Describe(model.Bow{
		ID: "b", Name: "Ash", Wood: "ash", Units: measure.Imperial(), Limbs: [2]model.Limb{limb, limb}, Handle: 4, Section: model.SectionD,
		Order: model.Order{Draw: measure.Some[measure.Length](28), Weight: measure.Some[measure.Force](35), Due: "2027-02-05"},
	})
	if err != nil {
		t.Fatal(err)
	}
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
		if err != nil {
			t.Fatal(err)
		}
		items = append(items, item)
		all = append(all, TagOf(Fold(desc, items)).encode()...)
	}
	got := sha256.Sum256(all)
	if s := hex.EncodeToString(got[:8]); s != sum || tagLayout != layout {
		t.Errorf("layout %d with the sum %s; this test knows layout %d with %s", tagLayout, s, layout, sum)
	}
}

// The day that a step names counts, as days are reckoned where the shop is.
func TestAStepsOwnDay(t *testing.T) {
	east := time.FixedZone("east", 10*3600)
	tag := Tag{facts: []fact{
		{Fact: finish.Fact{What: finish.Step, Step: "varnish", At: time.Date(2027, 2, 1, 22, 0, 0, 0, time.UTC)}, on: "2027-02-01"}, // entered on the 2nd at 8, there
	}}
	if got := tag.Log(east)[0].At; !got.Equal(time.Date(2027, 2, 1, 8, 0, 0, 0, east)) {
		t.Errorf("%v", got)
	}
	if len(Tag{}.Log(east)) != 0 {
		t.Error("a log of nothing")
	}
}
