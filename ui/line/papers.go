package line

import (
	"path/filepath"
	"strconv"
	"strings"

	"bendbook/model/say"
	"bendbook/session"
	"bendbook/session/filename"
	"bendbook/session/page"
	"bendbook/session/paper"
	"bendbook/session/summary"
)

// Summaries and cards, read aloud or written to a file.

// sayDocument reads a document: a point a line, and each row of a table in words.
func (t *talk) sayDocument(d summary.Document) {
	t.say(d.Title)
	for _, block := range d.Blocks {
		switch block := block.(type) {
		case summary.Heading:
			t.say(block.Text + ":")
		case summary.Paragraph:
			t.say(spoken(string(block)))
		case summary.List:
			for _, point := range block {
				t.say(spoken(ended(point)))
			}
		case summary.Table:
			if block.Caption != "" {
				t.say(spoken(strings.TrimRight(block.Caption, ":.")) + ":")
			}
			for _, row := range block.Rows {
				t.say(sayRow(block.Head, row))
			}
		}
	}
}

// sayRow is a row of a table in words: at 8: lower 1/2, upper 11/16.
func sayRow(head, row []string) string {
	var parts []string
	for i, cell := range row[1:] {
		if cell != "" && cell != "-" {
			parts = append(parts, strings.TrimSpace(head[i+1]+" "+cell))
		}
	}
	first := strings.TrimSpace(head[0] + " " + row[0])
	if len(parts) == 0 {
		return spoken(first) + "."
	}
	return spoken(first+": "+strings.Join(parts, ", ")) + "."
}

// subject is what a summary is asked of: the last session, the whole bow, or a session by its number.
func (b *bench) subject(asked string) (paper.Subject, error) {
	story := b.atWork.Story()
	of := paper.Subject{Story: story, Session: len(story.Sessions), Practice: b.practice(), Place: b.desk.Place}
	switch asked {
	case "", "last":
	case "all":
		of.Session = 0
	default:
		n, err := strconv.Atoi(asked)
		if err != nil || n < 1 || n > len(story.Sessions) {
			return of, refuse(say.F("%q is no session; expected last, all or a number from 1 to %d", asked, len(story.Sessions)))
		}
		of.Session = n
	}
	return of, nil
}

func (b *bench) summary(asked string) error {
	of, err := b.subject(strings.ToLower(asked))
	if err != nil {
		return err
	}
	doc, err := paper.Document(of)
	if err != nil {
		return err
	}
	b.sayDocument(doc)
	return nil
}

// write writes a summary, or the tally sheet, to a file.
func (b *bench) write(asked string) error {
	which, name := "", "text"
	for _, word := range strings.Fields(strings.ToLower(asked)) {
		if _, isForm := paper.Find(word); isForm || word == "tally" {
			name = word
		} else if which == "" {
			which = word
		} else {
			return refuse(say.F("%q is no form; expected %s, or tally", word, paper.Names()))
		}
	}
	of, err := b.subject(which)
	if err != nil {
		return err
	}
	bow := filename.Of(session.NameOf(b.bow()), "bow")
	var text strings.Builder
	if name == "tally" {
		if err := page.Tally(&text, of.Story); err != nil {
			return err
		}
		return b.save(bow+paper.TallyPart, text.String())
	}
	form, _ := paper.Find(name)
	if err := form.Write(&text, of); err != nil {
		return err
	}
	return b.save(bow+form.Part(of.Session), text.String())
}

// save writes a file and says where it is.
func (t *talk) save(name, text string) error {
	path, err := t.desk.Save(name, []byte(text))
	if err != nil {
		return say.Errorf("%s was not written: %w", name, err)
	}
	t.sayf("Written: %s in %s.", filepath.Base(path), filepath.Dir(path))
	return nil
}
