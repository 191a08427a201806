package verdict_test

import (
	"reflect"
	"testing"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// The advice that goes on from the one before an entry is the advice of the whole story, also where a void reaches back.
func TestAdviceThatGoesOnIsThatOfTheWhole(t *testing.T) {
	rec := shop(t)["Ash for Wren"]
	void := func(back int) record.Item {
		items := rec.Items
		return record.Item{Entry: model.Entry{ID: "void", What: model.Void{Entry: items[len(items)-back].Entry.ID}}}
	}
	story := func(n int, more ...record.Item) session.Story {
		return session.Fold(rec.Description, append(rec.Items[:n:n], more...))
	}
	all := len(rec.Items)
	var last verdict.Advice
	for _, s := range []session.Story{
		story(0), story(5), story(all - 14), story(all - 13), story(all - 12), story(all - 1), story(all), story(all, void(1)), story(all, void(all)),
	} {
		again, err := last.Again(s, verdict.Usual(), nil)
		if err != nil {
			t.Fatal(err)
		}
		whole, err := verdict.Of(s, verdict.Usual(), nil)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(again.Cautions, whole.Cautions) || !reflect.DeepEqual(again.Curve, whole.Curve) || !reflect.DeepEqual(again.Limbs, whole.Limbs) ||
			!reflect.DeepEqual(again.Findings, whole.Findings) || !reflect.DeepEqual(again.Removal, whole.Removal) || !reflect.DeepEqual(again.Next, whole.Next) {
			t.Errorf("after %d entries:\n%+v\nnot\n%+v", len(s.Lines), again, whole)
		}
		last = again
	}
}
