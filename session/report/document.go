package report

import (
	"fmt"
	"slices"
	"strings"

	"bendbook/session"
)

// Document is a report before it has a look.
type Document struct {
	Title string
	Facts []fact
	Parts []part

	// What a page has beside that.
	Lead               string // a line under the title
	Figures            []fact // those that are written large
	Findings, Cautions []string
	Pictures           []picture
	Passes             *Table
	Foot               string
	Open               bool // show the parts at once, not on a click
}

// fact is a name with its value; a name may be missing.
type fact struct{ Name, Value, Beside string }

// part is a run of blocks under a heading; the first may have none.
type part struct {
	Heading string
	Blocks  []block
	Figured bool // a page leaves it out, for its figures, findings and cautions tell it
}

// block has one of its fields set.
type block struct {
	Heading string
	Text    string
	List    []string
	Table   *Table
}

// Table is figures in rows under a head; its first column is left-aligned, the others right-aligned.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string // each as long as Head
}

// add puts blocks behind the last part.
func (d *Document) add(blocks ...block) {
	if len(d.Parts) == 0 {
		d.Parts = append(d.Parts, part{})
	}
	last := &d.Parts[len(d.Parts)-1]
	last.Blocks = append(last.Blocks, blocks...)
}

// sentences are the points of a list.
type sentences []string

func (s *sentences) addf(format string, args ...any) { *s = append(*s, fmt.Sprintf(format, args...)) }

// lines are the facts as points of a list: "Wood: ash".
func lines(facts []fact) []string {
	var all []string
	for _, f := range facts {
		all = append(all, strings.TrimPrefix(f.Name+": "+f.Value, ": "))
	}
	return all
}

// Of is the document of a story or of one session, or the error says that there is no such session.
func Of(of Subject) (Document, error) {
	then, err := of.then()
	if err != nil {
		return Document{}, err
	}
	d := Document{
		Title: session.NameOf(of.Story.Bow()), Facts: facts(of.Story), Lead: "The whole story",
		Foot: foot(then, of.Place), Open: of.Session != 0,
	}
	if d.Open {
		number, all := of.Session, len(of.Story.Sessions)
		d.Lead = fmt.Sprintf("Session %d of %d, and the bow as it stood after it", number, all)
	}
	wasRead := func(p session.Pass) bool { return len(p.Poses()) > 0 }
	if slices.ContainsFunc(of.Story.Passes, wasRead) {
		d.add(block{Text: howToRead})
	}
	a, err := of.Practice.Of(then)
	if err == nil {
		d.say(then, a)
	} else {
		// The readings of a record that makes no bow can still be shown.
		d.Cautions = append(d.Cautions, "What the readings say cannot be told: "+err.Error()+".")
	}
	for _, sitting := range of.sessions() {
		d.session(of.Story, sitting, of.Place)
	}
	if len(of.sessions()) == 0 {
		d.add(block{Text: "Nothing has been entered yet."})
	}
	d.Pictures = pictures(then, a)
	d.Passes = passTable(then)
	return d, nil
}
