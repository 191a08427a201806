package report

import (
	"strings"
	"testing"

	"github.com/rivo/uniseg"
	"pgregory.net/rapid"
)

// TestMarkdownTakesTextForText gives each place text that would be something else.
func TestMarkdownTakesTextForText(t *testing.T) {
	for _, c := range []struct{ text, point, cell string }{
		{"plain", "plain", "plain"},
		{"**bold** _it_ ~~gone~~", `\*\*bold\*\* \_it\_ \~\~gone\~\~`, `\*\*bold\*\* \_it\_ \~\~gone\~\~`},
		{"<b>&amp;</b>", `\<b\>\&amp;\</b\>`, `\<b\>\&amp;\</b\>`},
		{"[x](y) ![z](w)", `\[x\](y) !\[z\](w)`, `\[x\](y) !\[z\](w)`},
		{"a|b", `a\|b`, `a\|b`}, {"`x` \\", "\\`x\\` \\\\", "\\`x\\` \\\\"}, {"# head", `\# head`,
			`\# head`}, {"> said", `\> said`, `\> said`},
		{"- item", `\- item`, "- item"}, {"+1/4", `\+1/4`, "+1/4"}, {"---", `\---`, "---"},
		{"1. first", `1\. first`, "1. first"}, {"1.5 in", "1.5 in", "1.5 in"},
	} {
		table := &table{Head: []string{c.text}, Rows: [][]string{{c.text}}}
		d := Document{Title: "t", Parts: []part{{Blocks: []block{{List: []string{c.text}}, {Text: c.text},
			{Table: table}}}}}
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
		text := strings.Join(rapid.SliceOf(rapid.StringOfN(rapid.SampledFrom([]rune("ab弓é🏹")), 0, 90, -1)).Draw(t,
			"words"), " ")
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
