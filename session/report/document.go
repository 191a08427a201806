package report

import (
	"cmp"
	"fmt"
	"strings"

	"bendbook/model/measure"
	"bendbook/session/verdict"
)

// Document is a report's content. Text, Markdown and the web page are three ways to render it.
type Document struct {
	Title string
	Now   verdict.Verdict // first of all, where its Do says anything
	Facts []fact
	Parts []part

	// What only a page has.
	Kind               string   // a class of its body
	Open               bool     // show the parts at once, not on a click
	Card               bool     // a sheet to keep: its parts stand open, with nothing to click
	Mark               *picture // a small picture without words under the title
	Lead               string   // a line under the title
	Figures            []fact   // those that are written large
	Findings, Cautions []string // findings by the letters that they have in the picture
	Pictures           []picture
	Passes             *table
	Strips             *strips
	Tally              []grid
	Foot               string
}

// fact is a name with its value; a name may be missing.
type fact struct {
	Name, Value, Beside string
	Told                bool // left out of a page, which has it in its lead or its figures
}

// part is a run of blocks under a heading, which may be missing.
type part struct {
	Heading string
	Blocks  []block
	Figured bool // left out of a page, which shows the same as figures, findings and cautions
}

// block has one of its fields set.
type block struct {
	Heading string
	Text    string
	List    []string
	Table   *table
	Strips  *strips
}

// table is figures in rows under a head; its first column is left-aligned, the others right-aligned.
type table struct {
	Caption string
	Head    []string
	Rows    [][]string // each as long as Head
	Words   bool       // the last column has words: left-aligned, wrapped in a text
}

// Title is the caption without the colon that leads to the table in a text.
func (t table) Title() string { return strings.TrimSuffix(t.Caption, ":") }

// picture is a chart with what it shows in words and figures.
type picture struct {
	Name  string // a word without blanks, different for each picture of a page
	Title string
	Says  string // in sentences
	Table table  // in figures
	chart chart
}

// grid is the questions of a form on a tally sheet, a row each, with columns to fill in, and last time's
// answers.
type grid struct {
	Caption, Caution string
	Columns          []string
	Groups           []group
}

// Width is how many columns the grid has with that of the questions.
func (g grid) Width() int { return len(g.Columns) + 1 }

// group is a run of questions under one heading, such as the upper limb, with the unit of all or "".
type group struct {
	Name, Unit string
	Rows       []question
}

// question has a unit of its own where its group has none, and a cell in each column.
type question struct {
	Label, Unit string
	Cells       []answer
}

// answer is room for one, or last time's in grey: "" where there was none.
type answer struct {
	Last bool
	Text string
}

func (d *Document) add(blocks ...block) {
	last := &d.Parts[len(d.Parts)-1]
	last.Blocks = append(last.Blocks, blocks...)
}

// parts are the document's with the verdict and its facts before them, as a list: "Wood: ash".
func (d Document) parts() []part {
	var facts []string
	for _, f := range d.Facts {
		facts = append(facts, strings.TrimPrefix(f.Name+": "+f.Value, ": "))
	}
	first := part{Blocks: []block{{List: facts}}}
	if d.Now.Do != "" {
		first.Blocks = append([]block{{Text: strings.TrimSpace(d.Now.Say + " " + d.Now.Why)}}, first.Blocks...)
	}
	return append([]part{first}, d.Parts...)
}

// sentences are the points of a list.
type sentences []string

func (s *sentences) addf(format string, args ...any) { s.add(fmt.Sprintf(format, args...)) }

func (s *sentences) add(text string) {
	if text != "" {
		*s = append(*s, text)
	}
}

// known says a value; "" where it isn't known.
func known[T any](v measure.Optional[T], say func(T) string) string {
	if value, ok := v.Get(); ok {
		return say(value)
	}
	return ""
}

// dashed says a value, or "-" where it isn't known.
func dashed[T any](v measure.Optional[T], say func(T) string) string {
	return cmp.Or(known(v, say), "-")
}
