package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"html"
	"strings"
	"testing"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/model/record"
	"bendbook/session"
	"bendbook/session/verdict"
)

// written is a subject's document with its page.
func written(t testing.TB, of Subject) (Document, string) {
	t.Helper()
	d, err := Of(of)
	must(t, err)
	return d, page(t, d)
}

// unspanned is a page without the marks that keep days and measures on one line.
func unspanned(page string) string {
	return strings.NewReplacer(`<span class="whole">`, "", "</span>", "").Replace(page)
}

// afterTitle is what follows the title of a report, in one line.
func afterTitle(t testing.TB, said, title string) string {
	t.Helper()
	_, rest, found := strings.Cut(said, title)
	if !found {
		t.Fatalf("there is no title %s in\n%s", title, said)
	}
	return strings.Join(strings.Fields(strings.TrimLeft(rest, "=\n")), " ")
}

// TestTheVerdictComesFirst in every report on a bow, before its facts and figures, and is the one of the bench.
func TestTheVerdictComesFirst(t *testing.T) {
	for name, of := range demoShop(t) {
		v := of.verdict
		d, page := written(t, of.Subject)
		says := strings.TrimSpace(v.Say + " " + v.Why)
		if len(v.Say) < 10 {
			t.Fatalf("%s: the verdict is %q", name, v.Say)
		}
		for form, said := range map[string]string{"text": d.TextIn(paperWidth), "Markdown": d.Markdown()} {
			want := says
			if form == "Markdown" {
				want = escape(says)
			}
			if after := afterTitle(t, said, name); !strings.HasPrefix(after, want) {
				t.Errorf("%s: the %s begins %q, want %q", name, form, after[:200], want)
			}
		}
		_, main, _ := strings.Cut(page, "<main>")
		first := tag.ReplaceAllString(unspanned(main[:strings.Index(main, "</section>")]), " ")
		if got := strings.Join(strings.Fields(html.UnescapeString(first)), " "); got != says {
			t.Errorf("%s: the page begins %q, want %q", name, got, says)
		}
		var b bytes.Buffer
		must(t, writeJSON(&b, of.Subject))
		type told struct{ Do, Say, Why string }
		var doc struct {
			Verdict told
			Advice  struct{ Verdict told }
		}
		must(t, json.Unmarshal(b.Bytes(), &doc))
		if want := (told{string(v.Do), v.Say, v.Why}); doc.Verdict != want || doc.Advice.Verdict != want {
			t.Errorf("%s: the JSON says %+v and %+v, want %+v", name, doc.Verdict, doc.Advice.Verdict, want)
		}
		if strings.Index(b.String(), `"verdict"`) > strings.Index(b.String(), `"bow"`) {
			t.Errorf("%s: the bow comes before the verdict in the JSON", name)
		}
	}
}

// TestAReportOfASessionHasTheVerdictOfThen: after the first sitting with the demo shop's Hickory nothing was
// handed over yet.
func TestAReportOfASessionHasTheVerdictOfThen(t *testing.T) {
	hickory := demoShop(t)["Hickory for Tamsin"]
	if hickory.verdict.Word != "HANDED OVER" {
		t.Fatalf("the verdict now is %q", hickory.verdict.Say)
	}
	then := documentOf(t, hickory.Story, 1)
	want := judged(t, hickory.Story.Until(hickory.Story.Sessions[0])).verdict
	if then.Now != want || want.Do == verdict.None {
		t.Errorf("the first session's report says %q, then it was %q", then.Now.Say, want.Say)
	}
}

// leftUneven is a bow that was finished though its tips are stiff: varnished once, and handed over.
func leftUneven(t *testing.T) (varnished, handed session.Story) {
	t.Helper()
	onTree := situation(t, "nocks on, and the tips are a third stiff")
	step := func(name string) model.Event { return model.Finish{Step: name} }
	events := []model.Event{step("filed"), step("scraped"), model.Finish{Step: "sanded", Grit: measure.Some(240)},
		pull(28, 41, nil, nil), model.Finish{Step: "marked", Text: "40 lb @ 28 in"}, step("handle"),
		model.Finish{Step: "varnish", Coat: measure.Some(1)}}
	return withEvents(t, onTree, events...), withEvents(t, onTree, append(events, step(model.HandedOver))...)
}

// TestAFinishedBowsReportsSayNothingOfTheTree: no findings, no cautions, no stop line, and no forecast beside
// the weighing; neither while a bow is being finished, also where it cracked, nor after it was handed over or
// came back.
func TestAFinishedBowsReportsSayNothingOfTheTree(t *testing.T) {
	varnished, handed := leftUneven(t)
	for does, story := range map[verdict.Do]session.Story{
		verdict.None: handed, verdict.Finish: withEvents(t, handed, model.Rack{InHand: true}),
		verdict.Stop: withEvents(t, varnished, model.Note{Text: "Crack at the handle"}), "": varnished,
	} {
		of := judged(t, story)
		a, v := of.advice, of.verdict
		if !a.Weighed.Known() || v.Do != does && does != "" {
			t.Fatalf("%s: weighed %v, told %q", story.Stage(), a.Weighed, v.Say)
		}
		if len(a.Findings) == 0 {
			t.Fatal("the bow had no stiff or weak spot on the tree, so this test can't fail")
		}
		d, page := written(t, of.Subject)
		for _, said := range []string{d.TextIn(1000), html.UnescapeString(page)} {
			said = unspanned(said)
			for _, tree := range append([]string{"Forecast", "it should pull", "Stop line", "too stiff", "too weak",
				"Stiff and weak spots", "Take care", "off the aim is", noneShows}, a.Cautions...) {
				if strings.Contains(said, tree) {
					t.Errorf("%s: a report says %q", story.Stage(), tree)
				}
			}
			if !strings.Contains(said, "Weighed when finished: 41.0 lb at 28 in") {
				t.Errorf("%s: a report does not say what it weighs", story.Stage())
			}
		}
	}
}

// TestNoReportDrawsFartherThanTheVerdict: a stop line that is told lies no farther out than the verdict allows.
func TestNoReportDrawsFartherThanTheVerdict(t *testing.T) {
	hinged := situation(t, "a hinge at 20 in of draw")
	for _, story := range append(demoStories(t), hinged) {
		of := judged(t, story)
		v := of.verdict
		next, ok := of.advice.Next.Get()
		if !ok || next.Draw <= v.Most {
			if story.Bow().ID == hinged.Bow().ID {
				t.Errorf("the verdict doesn't hold a hinged bow back: %+v, next %+v", v, next)
			}
			continue
		}
		d, err := Of(of.Subject)
		must(t, err)
		beyond := fmt.Sprintf("Stop line: %s", story.Bow().Ruler().WithUnit(measure.Length(next.Draw)))
		if strings.Contains(d.TextIn(1000), beyond) {
			t.Errorf("%s: the verdict allows %v in, the text has a stop line at %v",
				story.Bow().Name, v.Most, next.Draw)
		}
	}
}

// withEvents is a story with further events.
func withEvents(t testing.TB, story session.Story, events ...model.Event) session.Story {
	t.Helper()
	var items []record.Item
	for i, event := range events {
		key := record.Key{0: 0x7f, 14: byte(len(story.Lines)), 15: byte(i)} // after those of the story
		item, err := record.NewItem(model.Entry{ID: key.String(), At: today, What: event}, story.Bow().Units)
		must(t, err)
		item.Key = key
		items = append(items, item)
	}
	return story.With(items...)
}
