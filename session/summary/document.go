// Package summary writes what people keep: one session or the whole life of a bow, as text that reads well on paper
// and in an e-mail, and as Markdown. What it says is built once, as a document; how it looks is the renderers' affair.
// It must not reckon: what the readings say comes in with the advice.
package summary

// Document is a summary before it has a look: its blocks from top to bottom.
type Document struct {
	Title  string
	Blocks []Block
}

// Block is a Heading, a Paragraph, a List or a Table.
type Block interface{ block() }

// Heading begins a part of the document.
type Heading struct {
	Level int // 2 for a session, 3 for a pass; the title is 1
	Text  string
}

// Paragraph is a run of words.
type Paragraph string

// List is a row of points.
type List []string

// Table is figures in rows under a head; its first column is left-aligned, the others right-aligned.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string // each as long as Head
}

func (Heading) block()   {}
func (Paragraph) block() {}
func (List) block()      {}
func (Table) block()     {}

func (d *Document) add(blocks ...Block) { d.Blocks = append(d.Blocks, blocks...) }
