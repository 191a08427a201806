package session_test

import (
	"testing"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
)

// TestScrapedAreTheBowsThatTeachStrokes: those of one wood on which strokes were counted, the last worked on first.
func TestScrapedAreTheBowsThatTeachStrokes(t *testing.T) {
	w := newWorkshop(1)
	made := func(name, wood string, strokes measure.Optional[int]) {
		bow := ash()
		bow.Name, bow.Wood = name, wood
		bench := w.bench(t, bow)
		s := scrape(model.Upper, 4, 12)
		s.Strokes = strokes
		w.add(t, bench, pull(12, 10), s, pull(12, 9))
		w.wait(time.Hour)
	}
	made("first", "ash", measure.Some(10))
	made("uncounted", "ash", measure.Optional[int]{})
	made("second", "White ash", measure.Some(12))
	made("yew", "yew", measure.Some(12))
	made("third", "ash", measure.Some(8))
	stories, err := w.Scraped("ash", 2)
	if err != nil || len(stories) != 2 || stories[0].Bow().Name != "third" || stories[1].Bow().Name != "second" {
		t.Errorf("%d stories, %v", len(stories), err)
	}
	if all, err := w.Scraped("ASH ", 20); err != nil || len(all) != 3 {
		t.Errorf("%d stories, %v", len(all), err)
	}
}
