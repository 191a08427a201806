package shop_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session/shop"
)

// What was noted on a bow finds it, and says which note did; the last lesson that counts is brought up with the
// next bow of the wood, also after the bow went through its record into another book.
func TestNotesFindABowAndTeachTheNext(t *testing.T) {
	words := []string{"knot", "bark", "Next time", "lesson:", "Wren", "ash", "leave", "longer", "limb", "弓"}
	rapid.Check(t, func(r *rapid.T) {
		w := newWorkshop(1)
		bench := w.made(t, func(*model.Bow) {})
		var notes []string
		for range rapid.IntRange(0, 5).Draw(r, "notes") {
			if n := len(notes); n > 0 && rapid.IntRange(0, 3).Draw(r, "what") == 0 {
				undo(t, bench)
				notes = notes[:n-1]
				continue
			}
			text := strings.Join(rapid.SliceOfN(rapid.SampledFrom(words), 1, 4).Draw(r, "note"), " ")
			w.add(t, bench, model.Note{Text: text})
			notes = append(notes, text)
		}
		rows := need(w.Rack())(r)
		sought := rapid.SampledFrom([]string{"knot", "BARK", "next", "longer limb", "wren", "弓 ash"}).Draw(r, "sought")
		found, ok := rows[0].Matches(sought)
		all := strings.ToLower("Ash for Wren ash " + strings.Join(notes, " "))
		want := true
		for _, word := range strings.Fields(strings.ToLower(sought)) {
			want = want && strings.Contains(all, word)
		}
		if ok != want {
			r.Fatalf("%q among %q: found %v", sought, notes, ok)
		}
		if in := strings.ToLower(found.Text); ok && sought == "knot" && !strings.Contains(in, "knot") {
			r.Fatalf("%q is found in %q", sought, found.Text)
		}
		lesson := ""
		for _, text := range notes {
			lower := strings.ToLower(text)
			if after, taught := strings.CutPrefix(lower, "lesson:"); taught && after != "" {
				lesson = strings.Trim(after, ": ")
			} else if strings.HasPrefix(lower, "next time ") {
				lesson = strings.Trim(lower, ": ")
			}
		}
		if lesson != "" {
			lesson = "lesson of ash for wren: " + lesson + "."
		}
		next := ash()
		next.Name, next.Wood = "Next", "White ash"
		again := newWorkshop(2)
		rec := need(bench.Apart())(r)
		var doc strings.Builder
		must(r, record.WriteLine(&doc, rec))
		must(r, again.Import(strings.NewReader(doc.String()), func(shop.Imported) {}))
		for _, w := range []*workshop{w, again} {
			if says := strings.ToLower(w.Lesson(next)); says != lesson {
				r.Fatalf("after %q the next bow is told %q, want %q", notes, says, lesson)
			}
		}
		if next.Wood = "yew"; w.Lesson(next) != "" || w.Lesson(bench.Story().Bow()) != "" {
			r.Fatal("another wood, or the bow itself, is told the lesson")
		}
	})
}

// Only a bow that was at full draw and is even may be made again; else it is said why, and what to do first.
func TestOnlyAnEvenBowAtFullDrawIsCopied(t *testing.T) {
	for _, c := range []struct {
		title, says string
	}{
		{"at its draw twice, right and even", ""},
		{"nobody said how far he draws", "Its order has no draw length: describe it first."},
		{"a new stave, nothing read", "bring it to full draw first."},
		{"the upper limb is stiff from 14 to 22 in", "bring it to full draw first."},
		{"nocks on, and the tips are a third stiff", "too stiff"},
	} {
		w, bench := inSituation(t, c.title, 0)
		for range 2 { // as worked out, and as kept
			err := w.MayCopy(bench.Story())
			switch {
			case c.says == "":
				must(t, err)
			case err == nil || !strings.Contains(err.Error(), c.says):
				t.Errorf("%s: %v, want %q", c.title, err, c.says)
			}
		}
	}
	w := newWorkshop(1)
	bench := w.made(t, func(*model.Bow) {}, pull(28, 42))
	if err := w.MayCopy(bench.Story()); err == nil || !strings.Contains(err.Error(), "can't see yet") {
		t.Errorf("only weighed: %v", err)
	}
}
