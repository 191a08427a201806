package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"bendbook/session"
	csv "bendbook/session/report/table"
)

// Format is a way to write a report.
type Format struct {
	Name   string // for --as
	Says   string // on a screen
	Ending string // of a file's name, with its dot

	Write     func(w io.Writer, of Subject) error // a story; the error may say that there is no such session
	WriteCard func(w io.Writer, d Document) error // nil for a format that no card is written in
}

// Formats returns all formats, the default first.
func Formats() []Format {
	return []Format{
		{"text", "text", ".txt", storyIn(writeText), writeText},
		{"markdown", "Markdown", ".md", storyIn(writeMarkdown), writeMarkdown},
		{"html", "web page", ".html", writeStoryPage, writePage},
		{"csv", "table (CSV)", ".csv", writeCSV, nil},
		{"json", "JSON", ".json", writeJSON, nil},
	}
}

// CardFormats returns the formats that a card can be written in.
func CardFormats() []Format {
	return slices.DeleteFunc(Formats(), func(f Format) bool { return f.WriteCard == nil })
}

// Find returns the format with the name.
func Find(formats []Format, name string) (format Format, ok bool) {
	if i := slices.IndexFunc(formats, func(f Format) bool { return f.Name == name }); i >= 0 {
		return formats[i], true
	}
	return Format{}, false
}

// Names lists the formats' names: text, markdown or html.
func Names(formats []Format) string {
	var names []string
	for _, f := range formats {
		names = append(names, f.Name)
	}
	last := len(names) - 1
	return fmt.Sprintf("%s or %s", strings.Join(names[:last], ", "), names[last])
}

// Part is what follows the bow's name in a story's file name. Session 0 is the whole story.
func (f Format) Part(session int) string {
	if session == 0 {
		return "-story" + f.Ending
	}
	return fmt.Sprintf("-session-%d%s", session, f.Ending)
}

// CardPart is what follows the bow's name in a card's file name.
func (f Format) CardPart() string { return "-card" + f.Ending }

func storyIn(render func(io.Writer, Document) error) func(io.Writer, Subject) error {
	return func(w io.Writer, of Subject) error {
		d, err := Of(of)
		if err != nil {
			return err
		}
		return render(w, d)
	}
}

func writeStoryPage(w io.Writer, of Subject) error {
	of.Readings = true
	return storyIn(writePage)(w, of)
}

func writeCSV(w io.Writer, of Subject) error {
	if _, err := of.then(); err != nil {
		return err
	}
	var lines []session.Line
	for _, sitting := range of.sessions() {
		lines = append(lines, of.Story.LinesIn(sitting)...)
	}
	return csv.Write(w, of.Story.Bow(), lines, of.Place, of.PlainCSV)
}
