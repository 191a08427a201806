package verdict

import (
	"encoding/json"
	"fmt"
	"io"

	"bendbook/model/aim"
	"bendbook/model/plain"
	"bendbook/model/record"
	"bendbook/session"
)

// Write writes what a record says now, with the usual settings and the shape that [Of] takes, as a document of the format bendbook/advice, in the
// record's own units. The error says what in the record makes no bow, or is the writer's.
func Write(w io.Writer, rec record.Record, shape *aim.Aim) error {
	a, err := Of(session.Fold(rec.Description, rec.Items), Usual(), shape)
	if err != nil {
		return err
	}
	return a.Write(w)
}

// Write writes the advice as a document.
func (a Advice) Write(w io.Writer) error {
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(a.document()); err != nil {
		return fmt.Errorf("writing the advice: %w", err)
	}
	return nil
}
