package ui

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/x/ansi"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/report"
	"bendbook/session/shop"
	"bendbook/session/verdict"
	"bendbook/ui/command"
	"bendbook/ui/look"
)

var stories = flag.Int("stories", 12, "how many random stories every surface must tell with one voice")

// demoBows are the demo shop's records.
func demoBows(t testing.TB) []record.Record {
	t.Helper()
	var all []record.Record
	in := record.NewReader(bytes.NewReader(demoRecords()))
	for {
		rec, err := in.Next()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, rec)
	}
}

// randomBow brings the beginning of a demo bow's story into the book, and a few entries behind it.
func randomBow(h *hands, r *rand.Rand, from []record.Record) *shop.Bench {
	h.t.Helper()
	rec := from[r.IntN(len(from))]
	items := rec.Items[:r.IntN(len(rec.Items)+1)]
	if r.IntN(3) == 0 {
		items = rec.Items
	}
	bow := rec.Description.Bow
	switch r.IntN(8) {
	case 0:
		bow.Order = model.Order{}
	case 1:
		bow.Order.Weight = measure.Some(measure.Force(20 + 40*r.Float64()))
	}
	atWork := h.newBow(bow)
	for _, item := range items {
		// What can't be added to another description is left out.
		if err := atWork.Add(item.Entry.What, ""); err != nil {
			continue
		}
	}
	for range r.IntN(5) {
		if err := atWork.Add(randomEvent(r, atWork.Story()), ""); err != nil {
			continue
		}
	}
	return atWork
}

// randomEvent is an entry that changes what there is to do.
func randomEvent(r *rand.Rand, story session.Story) model.Event {
	longest := story.LongestDraw()
	pull := model.Pull{Draw: longest + measure.Length(r.IntN(3)), Peak: measure.Some(measure.Force(20 + 30*r.Float64()))}
	if last, ok := story.LastPull(); ok && r.IntN(2) == 0 {
		pull = last
	}
	side := model.Sides[r.IntN(2)]
	from := measure.Length(4 + r.IntN(20))
	steps := []string{"horn nocks fitted", "filed", "sanded", "marked", "varnish", "strung", model.HandedOver}
	all := []model.Event{
		pull, pull, pull,
		model.Braced{Height: measure.Some(measure.Length(5 + r.IntN(3)))},
		model.Scrape{Limb: side, From: from, To: from + 6, Tool: "scraper", Strokes: measure.Some(10)},
		model.Exercise{Pulls: 20},
		model.Heat{Limb: side, From: from, To: from + 6, Why: "setback"},
		model.Note{Text: "crack on the back at 12"}, model.Note{Text: "sound"},
		model.Moisture{Where: model.ShopAir, Content: measure.Some(0.07 + 0.08*r.Float64())},
		model.Rack{InHand: r.IntN(2) == 0},
		model.Finish{Step: steps[r.IntN(len(steps))]}, model.Finish{Step: steps[r.IntN(len(steps))]},
	}
	return all[r.IntN(len(all))]
}

// orders are sentences that say what to do with a bow; only the verdict may.
var orders = regexp.MustCompile(`(?i:\bnext:|\bnext pull|waits for|\btake [^.]{0,40}\boff\b|\bat most \d)|` +
	`\b(Scrape|Stop|Draw|Exercise|Leave|Read|Thin|Take|Brace) ` +
	`(it|the|to|both|no|pulling|scraping|there|at|long|twenty)\b|put the scraper away`)

func oneLine(text string) string { return strings.Join(strings.Fields(ansi.Strip(text)), " ") }

// oneVoice fails unless a text holds the verdict's sentence, and nothing else that says what to do.
func oneVoice(t *testing.T, where, text string, v verdict.Verdict, allowed ...string) {
	t.Helper()
	rest := oneLine(text)
	if !strings.Contains(rest, oneLine(v.Say)) {
		t.Errorf("%s doesn't say %q:\n%s", where, v.Say, text)
	}
	// The last sentences of why are left out where there's no room.
	for _, said := range append([]string{v.Say, v.Why}, allowed...) {
		for sentence := range strings.SplitAfterSeq(oneLine(said), ". ") {
			rest = strings.ReplaceAll(rest, strings.TrimSpace(sentence), "")
		}
	}
	if other := orders.FindString(rest); other != "" {
		t.Errorf("%s says %q beside the verdict %q (%s):\n%s", where, other, v.Say, v.Rule, text)
	}
}

// At any moment a bow has one verdict: bench, across the shop, rack, summary and log say it, and nothing beside
// them says anything else.
func TestEverySurfaceTellsTheOneVerdict(t *testing.T) {
	t.Parallel()
	rules := make(map[string]int)
	randomStories(t, nil, func(h *hands, _ session.Story, v verdict.Verdict) { rules[v.Rule]++ })
	t.Logf("rules: %v", rules)
	if len(rules) < 5 && *stories >= 24 {
		t.Errorf("only %v were met", rules)
	}
}

// randomStories are told by every surface: each is the only bow of a book, to which further adds and at which
// more looks besides.
func randomStories(t *testing.T, further func(*rand.Rand, *shop.Bench),
	more func(*hands, session.Story, verdict.Verdict)) {
	seed, bows := seeded(t), demoBows(t)
	for i := range *stories {
		r := rand.New(rand.NewPCG(seed, uint64(i)))
		h := handsOn(t)
		atWork := randomBow(h, r, bows)
		if further != nil {
			further(r, atWork)
		}
		story := atWork.Story()
		h.open(look.NoColour, 80, 24)
		rows, err := h.shop.Rack()
		if err != nil || rows[0].Verdict.Do == "" {
			t.Fatalf("the rack knows no verdict: %v", err)
		}
		v := rows[0].Verdict
		h.oneVoice(t, story, v)
		h.oneVoiceInLog(t, story, v)
		more(h, story, v)
		if t.Failed() {
			t.Fatalf("story %d of the seed %d: rule %q", i, seed, v.Rule)
		}
	}
}

// oneVoice looks at the screens of the only bow of the book.
func (h *hands) oneVoice(t *testing.T, story session.Story, v verdict.Verdict) {
	t.Helper()
	h.press("enter")
	b := h.bench()
	if b.verdict.Do != v.Do || b.verdict.Say != v.Say {
		t.Errorf("the bench goes by %+v, the rack by %+v", b.verdict, v)
	}
	stop := b.advice.SayStop(v)
	oneVoice(t, "the bench", h.app.View(), v, stop, "Stand clear; ease down at a crack.")
	if !tillers(v) && strings.Contains(h.app.View(), "Stop line") {
		t.Errorf("%q, and yet there is a stop line:\n%s", v.Say, h.app.View())
	}
	if v.Do == verdict.Draw {
		for _, f := range b.advice.Findings {
			if f.Hinge && f.Chance >= 0.9 && f.Deviation.Estimate >= 0.15 {
				t.Errorf("%q, where there is a hinge: %s", v.Say, f.Says)
			}
		}
	}
	h.press("z")
	if view := h.app.View(); highest(view, v.Word) == 0 {
		t.Errorf("%q isn't seen across the shop:\n%s", v.Word, view)
	}
	if at, ok := b.verdict.Stretch.Get(); ok {
		place := strings.Replace(b.advice.SayPlaces(at.From, at.To), "–", "-", 1)
		if view := h.app.View(); highest(view, place) == 0 {
			t.Errorf("where to work isn't seen across the shop, %q:\n%s", place, view)
		}
	}
	h.press("z", "esc")
	oneVoice(t, "the rack", h.app.View(), v, strings.TrimSuffix(v.Say, "."), session.Capital(strings.ToLower(v.Word)))
	f, err := h.shop.Finishing(story)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := report.Of(report.Subject{Story: story, Practice: h.shop.PracticeFor(story.Bow()), Finishing: f, Place: time.UTC})
	if err != nil {
		t.Fatal(err)
	}
	oneVoice(t, "the summary", doc.TextIn(72), v, stop)
}

// drawing is whatever asks for a draw, or tells how far one may go.
var drawing = regexp.MustCompile(`\b[Dd]raw (it )?(to|again|once|another)\b|\bPULL \d|[Nn]ext pull|` +
	`Stop line|([Ee]xercise|[Ss]hoot|[Bb]race|[Hh]ang|[Hh]and|[Pp]ull) it\b`)

// After a crack that wasn't mended no surface proposes a draw, each says why, and there is no card.
func TestNoSurfaceDrawsACrackedBow(t *testing.T) {
	t.Parallel()
	var crack model.Crack
	randomStories(t, func(r *rand.Rand, atWork *shop.Bench) {
		side, place := model.Sides[r.IntN(2)], measure.Length(2+r.IntN(20))
		crack = model.Crack{Limb: side, Place: measure.Some(place), What: model.Flaws()[r.IntN(4)]}
		events := []model.Event{crack}
		for range r.IntN(5) {
			events = append(events, randomEvent(r, atWork.Story()))
		}
		for _, event := range append(events, model.Mended{Limb: 1 - side, Place: crack.Place, How: "bound"}) {
			_ = atWork.Add(event, "") // what can't have happened is left out
		}
	}, func(h *hands, story session.Story, v verdict.Verdict) {
		if v.Rule != "crack" {
			t.Errorf("the verdict is %+v", v)
		}
		says := crack.Say(story.Bow())
		silent := func(where, text string) {
			if said := drawing.FindString(oneLine(text)); said != "" || !strings.Contains(oneLine(text), says) {
				t.Errorf("%s says %q of a bow with a %s:\n%s", where, said, says, text)
			}
		}
		silent("the rack", h.app.View())
		h.press("enter")
		silent("the bench", h.app.View())
		h.press("p")
		if view := oneLine(h.app.View()); !strings.Contains(view, "Don't draw it: "+says) {
			t.Errorf("the form of a pull doesn't warn:\n%s", view)
		}
		f, err := h.shop.Finishing(story)
		if err != nil || !strings.Contains(report.Card(story, f, nil).TextIn(200), "No card. Don't draw it: "+says) {
			t.Errorf("there is a card (%v)", err)
		}
		practice := h.shop.PracticeFor(story.Bow())
		doc, err := report.Of(report.Subject{Story: story, Practice: practice, Finishing: f, Place: time.UTC})
		if err != nil {
			t.Fatal(err)
		}
		silent("the summary", doc.TextIn(200))
		advice, err := practice.Of(story)
		if err != nil {
			t.Fatal(err)
		}
		var page bytes.Buffer
		if err := advice.Write(&page, advice.Judge(f)); err != nil || !regexp.MustCompile(
			`"next_pull":\s*null`).Match(page.Bytes()) {
			t.Errorf("advise has a next pull (%v)", err)
		}
		silent("advise", page.String())
	})
}

// oneVoiceInLog logs a note, which changes nothing, and looks at the answer.
func (h *hands) oneVoiceInLog(t *testing.T, story session.Story, v verdict.Verdict) {
	t.Helper()
	var out, failed bytes.Buffer
	code := command.Run(command.World{
		Out: &out, Err: &failed, Now: func() time.Time { return morning }, Place: time.UTC,
		Watch: func() (context.Context, func()) { return context.Background(), func() {} },
		OpenBook: func(string, bool) (shop.Book, func() error, error) {
			return h.book, func() error { return nil }, nil
		},
	}, []string{"log", story.Bow().ID, "note", "seen"})
	if code != 0 {
		t.Fatalf("log ended with %d: %s", code, failed.String())
	}
	oneVoice(t, "log", out.String(), v)
	if want := fmt.Sprintf("%s: %s", session.NameOf(story.Bow()), v.Say); !strings.Contains(out.String(), want) {
		t.Errorf("log says\n%s, want %q", out.String(), want)
	}
}
