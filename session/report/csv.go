package report

import (
	"io"

	"bendbook/session/report/table"
)

func writeCSV(w io.Writer, of Subject) error {
	if _, err := of.then(); err != nil {
		return err
	}
	lines := of.Story.Lines
	if of.Session != 0 {
		lines = of.Story.LinesIn(of.sessions()[0])
	}
	return table.Write(w, of.Story.Bow(), lines, of.Place)
}
