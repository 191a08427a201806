package page

import (
	"embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"time"

	"bendbook/model"
	"bendbook/model/measure"
	"bendbook/session"
	"bendbook/session/advice"
	"bendbook/session/picture"
	"bendbook/session/summary"
)

//go:embed page.html style.css
var files embed.FS

var pages = template.Must(template.New("page.html").Funcs(template.FuncMap{"style": style, "text": text}).ParseFS(files, "page.html"))

// style is the pages' style sheet, which is part of this program and needs no escaping.
func style() (template.CSS, error) {
	css, err := files.ReadFile("style.css")
	return template.CSS(css), err
}

// text says a text that stands in the template itself.
func text(name string) (string, error) {
	word, ok := map[string]string{
		"language": "en", // the code of the language that all is said in (BCP 47)
		"figures":  "The figures that matter",
		"findings": "Where it does not bend as wanted",
		"cautions": "To be heeded",
		"pictures": "Pictures",
		"table":    "The same in figures",
		"scraped":  "Scraped, before the pulls above",
		"notes":    "Notes",
		"limb":     "limb", "from": "from", "to": "to", "tool": "tool", "strokes": "strokes", "exercised": "exercised, pulls",
	}[name]
	if !ok {
		return "", fmt.Errorf("the page has no text %q", name)
	}
	return word, nil
}

// page is what the template writes.
type page struct {
	Title    string
	Kind     string // summary, card or tally: a class of the body
	Lead     string // a line under the title; "" for none
	Facts    []fact
	Figures  []figure
	Findings []string
	Cautions []string
	Pictures []drawn
	Passes   *table
	Parts    []part
	Tally    *tally
	Foot     string
}

// fact is a name with its value.
type fact struct{ Name, Value string }

// figure is a fact that is written large.
type figure struct {
	fact
	Beside string
}

// drawn is a picture with its words and its table.
type drawn struct {
	SVG   template.HTML
	Title string
	Says  string
	Table table
}

// table is a summary's table; its first column heads its rows.
type table struct {
	Caption string
	Head    []string
	Rows    [][]string
}

// part is one session of the story, which opens on a click.
type part struct {
	Heading string
	Open    bool
	Blocks  []block
}

// block is one block of a summary; one of its fields is set.
type block struct {
	Heading   string
	Paragraph string
	List      []string
	Table     *table
}

// Summary writes a bow's summary as a page: the whole story where number is 0, else one session of it by its number, and
// the bow as it stood then, by the shop's practice. Times are told in the given place's time. The error is the writer's, or says that there is
// no such session.
func Summary(w io.Writer, story session.Story, number int, practice advice.Practice, place *time.Location) error {
	doc := summary.Whole(story, place)
	lead := "The whole story"
	if number != 0 {
		var err error
		if doc, err = summary.One(story, number, place); err != nil {
			return err
		}
		sitting := story.Sessions[number-1]
		lead = fmt.Sprintf("Session %d of %d, and the bow as it stood after it", number, len(story.Sessions))
		story = story.Until(sitting)
	}
	p := page{Title: doc.Title, Kind: "summary", Lead: lead, Foot: foot(story, place)}
	p.blocks(doc)
	for i := range p.Parts {
		p.Parts[i].Open = number != 0
	}
	// What a record says that makes no bow is told as a caution; the readings stay readable.
	a, err := practice.Of(story)
	if err != nil {
		p.Cautions = append(p.Cautions, fmt.Sprintf("What the readings say cannot be told: %v.", err))
	} else {
		p.say(story, a)
	}
	if err := p.draw(picture.All(story, a)); err != nil {
		return err
	}
	p.passes(story)
	return p.write(w)
}

// Card writes a short document, such as what is handed over with a bow, as a page.
func Card(w io.Writer, doc summary.Document) error {
	p := page{Title: doc.Title, Kind: "card"}
	p.blocks(doc)
	for i := range p.Parts {
		p.Parts[i].Open = true
	}
	return p.write(w)
}

func (p page) write(w io.Writer) error { return pages.Execute(w, p) }

// foot says what the page was made from: nothing of it hangs on the day on which it is written.
func foot(story session.Story, place *time.Location) string {
	if last := story.LastAt(); !last.IsZero() {
		return fmt.Sprintf("Written by Bendbook, as of %s.", last.In(place).Format("2006-01-02 15:04"))
	}
	return "Written by Bendbook."
}

// blocks puts a document into the page: what stands before its first session as facts, the sessions as parts.
func (p *page) blocks(doc summary.Document) {
	for _, b := range doc.Blocks {
		if heading, isHeading := b.(summary.Heading); isHeading && heading.Level <= 2 {
			p.Parts = append(p.Parts, part{Heading: heading.Text})
			continue
		}
		if len(p.Parts) == 0 {
			if list, isList := b.(summary.List); isList && len(p.Facts) == 0 {
				p.Facts = facts(list)
				continue
			}
			p.Parts = append(p.Parts, part{Open: true})
		}
		last := &p.Parts[len(p.Parts)-1]
		last.Blocks = append(last.Blocks, blockOf(b))
	}
}

// facts parts "Wood: ash" into a name and its value.
func facts(list summary.List) []fact {
	var all []fact
	for _, line := range list {
		name, value, isPair := strings.Cut(line, ": ")
		if !isPair {
			name, value = "", line
		}
		all = append(all, fact{name, value})
	}
	return all
}

func blockOf(b summary.Block) block {
	switch b := b.(type) {
	case summary.Heading:
		return block{Heading: b.Text}
	case summary.Paragraph:
		return block{Paragraph: string(b)}
	case summary.List:
		return block{List: b}
	case summary.Table:
		return block{Table: &table{strings.TrimSuffix(b.Caption, ":"), b.Head, b.Rows}}
	}
	return block{}
}

// say puts what the readings say into the page: large figures, findings, cautions.
func (p *page) say(story session.Story, a advice.Advice) {
	bow := story.Bow()
	rule, scale := bow.Ruler(), bow.Weigher()
	add := func(name, value, beside string) { p.Figures = append(p.Figures, figure{fact{name, value}, beside}) }
	if pull, pass, ok := story.Weight(); ok {
		add("Weighed", scale.WithUnit(pull.Peak.Or(0)), fmt.Sprintf("at %s, pass %d", rule.WithUnit(pull.Draw), pass))
	}
	if f, ok := a.Weight.Get(); ok {
		add(fmt.Sprintf("Forecast at %s %s", rule.Short(measure.Length(f.Draw)), string(rule.Unit)), scale.WithUnit(measure.Force(f.Force.Estimate)),
			fmt.Sprintf("nine times in ten %s to %s", scale.Print(measure.Force(f.Force.Low)), scale.Print(measure.Force(f.Force.High))))
	}
	if weight, known := bow.Order.Weight.Get(); known {
		beside := ""
		if draw, known := bow.Order.Draw.Get(); known {
			beside = fmt.Sprintf("at %s %s %s", rule.Short(draw), string(rule.Unit), session.SayDrawTo(bow.Order.DrawTo))
		}
		add("Ordered", session.SayOrdered(bow, weight), beside)
	}
	if tiller, ok := story.TillerOf(len(story.Passes) - 1); ok {
		if gap, ok := tiller.AtAim(); ok {
			beside := "upper gap less lower gap, braced"
			if aim, known := tiller.Aim.Get(); known {
				beside = fmt.Sprintf("upper gap less lower gap, braced; wanted %s", rule.PrintSigned(aim))
			}
			add(fmt.Sprintf("Tiller at %s %s", rule.Short(tiller.AimAt), string(rule.Unit)), rule.PrintSigned(gap.Difference)+" "+string(rule.Unit), beside)
		}
	}
	for _, f := range a.Findings {
		p.Findings = append(p.Findings, f.Says)
	}
	p.Cautions = append(p.Cautions, a.Cautions...)
}

func (p *page) draw(pictures []picture.Picture) error {
	for _, pic := range pictures {
		svg, err := pic.SVG()
		if err != nil {
			return fmt.Errorf("drawing %s: %w", pic.Name, err)
		}
		p.Pictures = append(p.Pictures, drawn{svg, pic.Title, pic.Says, table{pic.Title, pic.Table.Head, pic.Table.Rows}})
	}
	return nil
}

// passes is the story in a line a pass: what came off, and what the bow weighed then.
func (p *page) passes(story session.Story) {
	bow := story.Bow()
	t := table{Caption: "Pass by pass", Head: []string{"pass", "taken off", "longest pull", "tiller"}}
	for n, pass := range story.Passes {
		row := []string{fmt.Sprint(n), takenOff(bow, pass), "-", "-"}
		if pull, ok := pass.LongestPull(); ok {
			row[2] = session.SayPeak(bow, pull)
		}
		if tiller, ok := story.TillerOf(n); ok && tiller.Pass == n {
			if gap, ok := tiller.AtAim(); ok {
				row[3] = bow.Ruler().PrintSigned(gap.Difference)
			}
		}
		t.Rows = append(t.Rows, row)
	}
	p.Passes = &t
}

// takenOff says where wood came off in a pass, with strokes where they were counted.
func takenOff(bow model.Bow, pass session.Pass) string {
	if len(pass.Scrapes) == 0 {
		return "nothing: as it first came to the tree"
	}
	rule := bow.Ruler()
	var parts []string
	for _, s := range pass.Scrapes {
		said := fmt.Sprintf("%s %s to %s", s.Limb, rule.Short(s.From), rule.Short(s.To))
		if strokes, known := s.Strokes.Get(); known {
			said = fmt.Sprintf("%s %s to %s (%d strokes)", s.Limb, rule.Short(s.From), rule.Short(s.To), strokes)
		}
		parts = append(parts, said)
	}
	return strings.Join(parts, ", ")
}
