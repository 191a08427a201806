package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	csv "bendbook/session/report/table"
)

// Format is a way to write a report.
type Format struct {
	Name   string // as it is asked for
	Says   string // as it is shown
	Ending string // of a file's name, with its point

	Write     func(w io.Writer, of Subject) error // a story; the error may say that there is no such session
	WriteCard func(w io.Writer, d Document) error // nil for a format that no card is written in
}

// Formats are all of them, the usual one first.
func Formats() []Format {
	return []Format{
		{"text", "text", ".txt", storyIn(writeText), writeText},
		{"markdown", "Markdown", ".md", storyIn(writeMarkdown), writeMarkdown},
		{"html", "web page", ".html", storyIn(writePage), writePage},
		{"csv", "table (CSV)", ".csv", writeCSV, nil},
		{"json", "JSON", ".json", writeJSON, nil},
	}
}

// CardFormats are those that a card is written in.
func CardFormats() []Format {
	return slices.DeleteFunc(Formats(), func(f Format) bool { return f.WriteCard == nil })
}

// Find returns the one of some formats that has a name.
func Find(formats []Format, name string) (format Format, ok bool) {
	if i := slices.IndexFunc(formats, func(f Format) bool { return f.Name == name }); i >= 0 {
		return formats[i], true
	}
	return Format{}, false
}

// Names are the names of formats in words: text, markdown or html.
func Names(formats []Format) string {
	var names []string
	for _, f := range formats {
		names = append(names, f.Name)
	}
	last := len(names) - 1
	return fmt.Sprintf("%s or %s", strings.Join(names[:last], ", "), names[last])
}

// Part is the end of a story's file name, behind the bow's, for a session's number or 0 for the whole story.
func (f Format) Part(session int) string {
	if session == 0 {
		return "-story" + f.Ending
	}
	return fmt.Sprintf("-session-%d%s", session, f.Ending)
}

// CardPart is the end of a card's file name, behind the bow's.
func (f Format) CardPart() string { return "-card" + f.Ending }

// storyIn writes a story as the document that a format renders.
func storyIn(render func(io.Writer, Document) error) func(io.Writer, Subject) error {
	return func(w io.Writer, of Subject) error {
		d, err := Of(of)
		if err != nil {
			return err
		}
		return render(w, d)
	}
}

func writeCSV(w io.Writer, of Subject) error {
	if _, err := of.then(); err != nil {
		return err
	}
	lines := of.Story.Lines
	if of.Session != 0 {
		lines = of.Story.LinesIn(of.sessions()[0])
	}
	return csv.Write(w, of.Story.Bow(), lines, of.Place)
}
