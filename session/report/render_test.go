package report

import (
	"html"
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
)

// TestMarkdownTakesTextForText gives each place text that would be something else.
func TestMarkdownTakesTextForText(t *testing.T) {
	for _, c := range []struct{ text, point, cell string }{
		{"plain", "plain", "plain"},
		{"**bold** _it_ ~~gone~~", `\*\*bold\*\* \_it\_ \~\~gone\~\~`, `\*\*bold\*\* \_it\_ \~\~gone\~\~`},
		{"<b>&amp;</b>", `\<b\>\&amp;\</b\>`, `\<b\>\&amp;\</b\>`},
		{"[x](y) ![z](w)", `\[x\](y) !\[z\](w)`, `\[x\](y) !\[z\](w)`},
		{"a|b", `a\|b`, `a\|b`}, {"`x` \\", "\\`x\\` \\\\", "\\`x\\` \\\\"},
		{"# head", `\# head`, `\# head`}, {"> said", `\> said`, `\> said`},
		{"- item", `\- item`, "- item"}, {"+1/4", `\+1/4`, "+1/4"}, {"---", `\---`, "---"},
		{"1. first", `1\. first`, "1. first"}, {"1.5 in", "1.5 in", "1.5 in"},
	} {
		table := &table{Head: []string{c.text}, Rows: [][]string{{c.text}}}
		blocks := []block{{List: []string{c.text}}, {Text: c.text}, {Table: table}}
		d := Document{Title: "t", Parts: []part{{Blocks: blocks}}}
		want := "# t\n\n- " + c.point + "\n\n" + c.point + "\n\n| " + c.cell + " |\n| :--- |\n| " + c.cell + " |\n"
		if got := d.Markdown(); got != want {
			t.Errorf("%q becomes\n%s\nwant\n%s", c.text, got, want)
		}
	}
}

// TestMarkdownLosesNoText takes the escapes away again.
func TestMarkdownLosesNoText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("a1 .)\\`*_{}[]<>#|~&+-=!"))).Draw(t, "text")
		escaped := escape(text)
		var back strings.Builder
		for i := 0; i < len(escaped); i++ {
			switch c := escaped[i]; {
			case c == '\\':
				i++
				back.WriteByte(escaped[i])
			case strings.IndexByte("`*_[]<>#|~&{}", c) >= 0:
				t.Fatalf("%q leaves %q as it is in %q", text, c, escaped)
			default:
				back.WriteByte(c)
			}
		}
		if back.String() != text {
			t.Fatalf("%q becomes %q and reads %q", text, escaped, back.String())
		}
	})
}

func TestWrapKeepsEveryWordWithinThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.StringOfN(rapid.SampledFrom([]rune("ab弓é🏹")), 0, 90, -1)
		text := strings.Join(rapid.SliceOf(word).Draw(t, "words"), " ")
		wrapped := wrap(paperWidth, text, "- ")
		for line := range strings.Lines(wrapped) {
			if uniseg.StringWidth(strings.TrimSuffix(line, "\n")) > paperWidth {
				t.Fatalf("too wide: %q", line)
			}
		}
		letters := strings.NewReplacer("\n", "", " ", "", "-", "")
		if letters.Replace(wrapped) != letters.Replace(text) {
			t.Fatalf("%q becomes %q", text, wrapped)
		}
	})
}

// TestAPageIsItsDocumentAndNothingElse: facts, words, lists and tables, all of it to be seen at once.
func TestAPageIsItsDocumentAndNothingElse(t *testing.T) {
	const text = "yew & horn"
	table := &table{Caption: text + ":", Head: []string{text, text}, Rows: [][]string{{text, text}}}
	blocks := []block{{Text: text}, {List: []string{text}}, {Heading: text}, {Table: table}}
	html := page(t, Document{Open: true, Title: text, Facts: []fact{{Name: "Wood", Value: text}, {Value: text}},
		Parts: []part{{Heading: text, Blocks: blocks}}})
	for _, want := range []string{
		"<title>*</title>", "<dt>Wood</dt><dd dir=\"auto\">*</dd>", "<dt class=\"alone\" dir=\"auto\">*</dt>",
		"<p dir=\"auto\">*</p>", "<details open><summary><h2>*</h2>", "<li dir=\"auto\">*</li>", "<h3>*</h3>",
		"<caption>*</caption>", "<th>*<td>*",
	} {
		if want = strings.ReplaceAll(want, "*", "yew &amp; horn"); !strings.Contains(html, want) {
			t.Errorf("the page has no %s:\n%s", want, html)
		}
	}
	if strings.Contains(html, "<svg") || strings.Contains(html, "<footer") {
		t.Error("the page has more than its document")
	}
}

// TestTheTallySheetAsksInTheOrderOfTheForms, with the stations of the bow, under what the verdict allows, and with
// last time's readings beside the empty cells.
func TestTheTallySheetAsksInTheOrderOfTheForms(t *testing.T) {
	for _, of := range demoShop(t) {
		story, bow, v := of.Story, of.Story.Bow(), of.verdict
		asks := []string{html.EscapeString(v.Say)}
		if next, ok := of.advice.NextBy(v).Get(); ok && v.Most > 0 {
			asks = append(asks, bow.Ruler().WithUnit(measure.Length(next.Draw))+"</p>", "Stop at",
				bow.Weigher().WithUnit(bow.Rig.StopAt(next.StopAt.Or(0)))+"</p>")
		}
		pull, _ := story.LastPull()
		_, on := story.Strings().Now()
		rows, _, _ := story.Latest(session.Pose{Kind: model.KindPull, From: pull.From, Draw: story.LongestDraw(), On: on})
		asks = append(asks, "draw <small>", "peak <small>")
		for _, side := range model.Sides {
			asks = append(asks, side.String()+" limb")
			for i, station := range bow.Limbs[side].Stations {
				was := known(rows.At(side, i), bow.Ruler().Print)
				asks = append(asks, ">"+bow.Ruler().Print(station)+"</th>",
					`<td class="was">`+was+"</td>"+strings.Repeat("<td></td>", 4))
			}
		}
		rest, found := unspanned(tallyOf(t, story)), true
		for _, asked := range append(asks, "relaxed</th>", "brace height <small>", "block length <small>",
			"Scraped", "depth</th>") {
			if _, rest, found = strings.Cut(rest, asked); !found {
				t.Fatalf("%s: %s is missing, or comes too early", bow.Name, asked)
			}
		}
	}
}
