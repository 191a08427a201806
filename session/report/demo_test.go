package report

import (
	"strings"
	"testing"
	"time"

	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/demo"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// place is where the tests' clock hangs: an hour before Greenwich.
var place = time.FixedZone("CET", 3600)

// today is the day on which the demo shop is looked at.
var today = time.Date(2027, 2, 1, 12, 0, 0, 0, time.UTC)

// demoStories are the stories of the demo shop's bows.
func demoStories(t testing.TB) []session.Story {
	t.Helper()
	s := shop.Open(booktest.New(), shop.Options{Now: func() time.Time { return today }})
	must(t, s.Import(demo.Records(today), func(shop.Imported) {}))
	rows, err := s.Rack()
	must(t, err)
	var stories []session.Story
	for _, row := range rows {
		story, err := s.Story(row.Bow.ID)
		must(t, err)
		stories = append(stories, story)
	}
	return stories
}

// storyOf is the story that a record tells.
func storyOf(t testing.TB, doc []byte) session.Story {
	t.Helper()
	rec, err := record.Parse(doc)
	must(t, err)
	return session.Fold(rec.Description, rec.Items)
}

func subject(story session.Story, number int) Subject {
	return Subject{Story: story, Session: number, Practice: verdict.Practice{Settings: verdict.Usual()},
		Place: place}
}

// documentOf is the whole story where number is 0, else one session.
func documentOf(t testing.TB, story session.Story, number int) Document {
	t.Helper()
	d, err := Of(subject(story, number))
	must(t, err)
	return d
}

func pageOf(t testing.TB, story session.Story, number int) string {
	t.Helper()
	var b strings.Builder
	must(t, writePage(&b, documentOf(t, story, number)))
	return b.String()
}

func tallyOf(t testing.TB, story session.Story) string {
	t.Helper()
	var b strings.Builder
	must(t, Tally(&b, story))
	return b.String()
}
