package report

import (
	"strings"
	"testing"
)

// TestACardIsItsDocumentAndNothingElse: facts, words, lists and tables, all of it to be seen at once.
func TestACardIsItsDocumentAndNothingElse(t *testing.T) {
	card := func(text string) string {
		var b strings.Builder
		table := &table{Caption: text + ":", Head: []string{text, text}, Rows: [][]string{{text, text}}}
		must(t, writePage(&b, Document{
			Open: true, Title: text, Facts: []fact{{Name: "Wood", Value: text}, {Value: text}},
			Parts: []part{
				{Blocks: []block{{Text: text}}},
				{Heading: text, Blocks: []block{{List: []string{text}}, {Heading: text}, {Table: table}}},
			},
		}))
		return b.String()
	}
	html := card("yew & horn")
	for _, want := range []string{
		"<title>yew &amp; horn</title>", "<dt>Wood</dt><dd dir=\"auto\">yew &amp; horn</dd>",
		"<p dir=\"auto\">yew &amp; horn</p>", "<details open><summary><h2>yew &amp; horn</h2>",
		"<li dir=\"auto\">yew &amp; horn</li>", "<h3>yew &amp; horn</h3>", "<caption>yew &amp; horn</caption>",
		"<th scope=\"row\">yew &amp; horn</th><td dir=\"auto\">yew &amp; horn</td>",
	} {
		if !strings.Contains(html, want) {
			t.Errorf("the card has no %s:\n%s", want, html)
		}
	}
	if strings.Contains(html, "<svg") || strings.Contains(html, "<footer") {
		t.Error("the card has more than its document")
	}
	tags := func(html string) string { return strings.Join(tag.FindAllString(html, -1), "") }
	for _, text := range hostile {
		if tags(card(text)) != tags(html) {
			t.Errorf("%q: the card has other elements than it should", text)
		}
	}
}

// TestTheTallySheetAsksInTheOrderOfTheForms, with the stations of the bow.
func TestTheTallySheetAsksInTheOrderOfTheForms(t *testing.T) {
	for _, story := range demoStories(t) {
		html := tallyOf(t, story)
		bow, at := story.Bow(), 0
		next := func(what string) {
			t.Helper()
			i := strings.Index(html[at:], what)
			if i < 0 {
				t.Fatalf("%s: behind byte %d there is no %s", bow.Name, at, what)
			}
			at += i + len(what)
		}
		next("draw <small>")
		next("peak <small>")
		for side, name := range []string{"upper limb", "lower limb"} {
			next(name)
			for _, station := range bow.Limbs[side].Stations {
				next(">" + bow.Ruler().Print(station) + "</th><td></td><td></td><td></td><td></td>")
			}
		}
		next("brace height <small>")
		next("block length <small>")
		next("Scraped")
	}
}
