package report

import (
	"math/rand"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/date"
	"bendbook/model/finish"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/booktest"
	"bendbook/session/demo"
	"bendbook/session/shop"
	"bendbook/session/verdict"
)

// hostileNote is a note that tries to be Markdown, HTML, a terminal's command and writing from right to left.
const hostileNote = "# 1. <script>alert(1)</script> **bold** [link](http://x) | cell\n- item `code` ![i](j) " +
	"&amp; \\ ~~x~~ \x1b[31mred\x07 \u202eabc\u202c\x00"

// workshop tells stories to which events happen at times of the clock.
type workshop struct {
	*shop.Shop
	bench *shop.Bench
	now   time.Time
}

func newWorkshop(t testing.TB, bow model.Bow) *workshop {
	t.Helper()
	s := &workshop{now: time.Date(2027, 1, 11, 8, 0, 0, 0, time.UTC)}
	now := func() time.Time { return s.now }
	s.Shop = shop.Open(booktest.New(), shop.Options{Now: now, Entropy: rand.New(rand.NewSource(1))})
	s.begin(t, bow)
	return s
}

// begin puts a new bow on the bench.
func (s *workshop) begin(t testing.TB, bow model.Bow) {
	t.Helper()
	id, err := s.NewBow(bow, "")
	must(t, err)
	s.bench, err = s.Bench(id)
	must(t, err)
}

// add adds events, five minutes after each other.
func (s *workshop) add(t testing.TB, events ...model.Event) {
	t.Helper()
	for _, event := range events {
		s.now = s.now.Add(5 * time.Minute)
		if err := s.bench.Add(event, ""); err != nil {
			t.Fatalf("%#v: %v", event, err)
		}
	}
}

func (s *workshop) story() session.Story { return s.bench.Story() }

// ash is a longbow read at 6, 8 and 12 in, its upper limb wanted weaker by 1/4 in at 8 in, braced: common
// practice, no published source.
func ash() model.Bow {
	stations := []measure.Length{6, 8, 12}
	return model.Bow{
		Name: "Ash for Wren", Wood: "ash", Number: "27/1", Units: measure.Imperial(), Handle: 4,
		Limbs: [2]model.Limb{{Length: 34, Stations: stations}, {Length: 33.5, Stations: stations}},
		Order: model.Order{
			For: "Wren", Draw: measure.Some[measure.Length](28), DrawTo: model.ToBelly, Due: "2027-02-01",
			Weight: measure.Some[measure.Force](40), Allow: measure.Some[measure.Force](2),
		},
		Aim:  model.Aim{TillerAt: measure.Some[measure.Length](8), Tiller: measure.Some[measure.Length](0.25)},
		Rule: 1.0 / 16, Scale: 0.1,
	}
}

const unread measure.Length = -99

func row(readings ...measure.Length) []measure.Optional[measure.Length] {
	out := make([]measure.Optional[measure.Length], len(readings))
	for i, l := range readings {
		if l != unread {
			out[i] = measure.Some(l)
		}
	}
	return out
}

func pull(
	draw measure.Length, peak measure.Force, upper, lower []measure.Optional[measure.Length],
) model.Pull {
	rows := model.Readings{upper, lower}
	return model.Pull{Draw: draw, Peak: measure.Some(peak), From: model.FromLine, Readings: rows}
}

// twoSessions is a bow with two sittings: pulls, a scrape, braced readings of which the second shows the
// wanted tiller, an entry that was struck out, and a hostile note.
func twoSessions(t *testing.T) session.Story {
	t.Helper()
	s := newWorkshop(t, ash())
	s.add(t, model.Note{Text: hostileNote}, model.StringLength{Length: 69.75},
		model.Braced{Height: measure.Some[measure.Length](6), From: model.FromString,
			Readings: model.Readings{row(6.125, 5.5, 5.0625), row(6.0625, 5.4375, 5)}},
		pull(18, 31.4, row(0.375, 0.8125, 1.75), row(0.375, 0.75, unread)),
		pull(20, 85, nil, nil),
	)
	void := model.Void{Entry: s.story().Lines[4].Entry.ID, Why: "read the other scale\x1b[2J"}
	must(t, s.bench.Add(void, ""))
	s.now = s.now.Add(5 * time.Hour)
	gaps := model.Readings{row(0.11, 0.105), row(0.1, unread)}
	block := &model.Block{Length: 6, At: []measure.Length{6, 12}, Gaps: gaps}
	s.add(t, model.Scrape{Limb: model.Upper, From: 4, To: 16, Tool: "scraper", Strokes: measure.Some(24),
		Depth: measure.Some[measure.Length](0.03)},
		model.Exercise{Pulls: 20},
		model.Braced{Height: measure.Some[measure.Length](5.75), From: model.FromString,
			Readings: model.Readings{row(6.1875, 5.625, 5.25), row(6, 5.375, 4.9375)}, Block: block},
		pull(18, 28.1, row(0.4375, 0.875, 1.875), row(0.375, 0.75, 1.625)),
		pull(20, 32, nil, nil),
		model.Relaxed{Readings: model.Readings{row(0, 0.0625, unread), row(-0.0625, 0, 0.125)}},
		model.Finish{Step: "österreichischer Lack", Coat: measure.Some(1)},
	)
	return s.story()
}

func must(t rapid.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

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

// situation is the story of one of the situations that the verdict is held to.
func situation(t testing.TB, title string) session.Story {
	t.Helper()
	rec := booktest.Situation(t, title)
	return session.Fold(rec.Description, rec.Items)
}

// storyOf is the story that a record tells.
func storyOf(t testing.TB, doc []byte) session.Story {
	t.Helper()
	rec, err := record.Parse(doc)
	must(t, err)
	return session.Fold(rec.Description, rec.Items)
}

func subject(story session.Story, number int) Subject {
	practice := verdict.Practice{Settings: verdict.Usual()}
	f := verdict.FinishingOf(story, finish.Usual(), practice.Settings.Takes, today, date.ISO)
	return Subject{Story: story, Session: number, Practice: practice, Finishing: f, Place: place, Readings: true}
}

// advised is the subject of a story's reports, with what its readings say and the one verdict.
type advised struct {
	Subject
	advice  verdict.Advice
	verdict verdict.Verdict
}

func judged(t testing.TB, story session.Story) advised {
	t.Helper()
	of := subject(story, 0)
	a, err := of.Practice.Of(story)
	must(t, err)
	of.Practice.Before = a
	return advised{of, a, a.Judge(of.Finishing)}
}

// demoShop is the demo shop's bows by their names.
func demoShop(t testing.TB) map[string]advised {
	t.Helper()
	all := make(map[string]advised)
	for _, story := range demoStories(t) {
		all[story.Bow().Name] = judged(t, story)
	}
	return all
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
	return page(t, documentOf(t, story, number))
}

// page is a document as a page.
func page(t testing.TB, d Document) string {
	t.Helper()
	var b strings.Builder
	must(t, writePage(&b, d))
	return b.String()
}

func tallyOf(t testing.TB, story session.Story) string {
	t.Helper()
	var b strings.Builder
	must(t, Tally(&b, subject(story, 0)))
	return b.String()
}
