package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"bendbook/model/measure"
	"bendbook/model/plain"
	"bendbook/session"
	"bendbook/session/verdict"
)

// document is a story as JSON: the bow and its entries as in the record, with what follows from them.
type document struct {
	Format   string           `json:"format"`
	Version  int              `json:"version"`
	Verdict  *verdict.Verdict `json:"verdict"` // null for a bow at the tree whose readings make no bow
	Units    measure.Units    `json:"units"`
	Bow      json.RawMessage  `json:"bow"`
	Stage    string           `json:"stage"`
	Weight   *weight          `json:"weight"`
	Sessions []sitting        `json:"sessions"`
	Advice   json.RawMessage  `json:"advice"` // null where the readings make no bow
}

type weight struct {
	Draw float64 `json:"draw"`
	Peak float64 `json:"peak"`
	Pass int     `json:"pass"`
}

type sitting struct {
	Number  int     `json:"number"`
	From    string  `json:"from,omitempty"`
	To      string  `json:"to,omitempty"`
	Entries []entry `json:"entries"`
}

type entry struct {
	Pass  int             `json:"pass"`
	Says  string          `json:"says"`
	Void  *string         `json:"void,omitempty"` // why the entry does not count
	Entry json.RawMessage `json:"entry"`
}

func writeJSON(w io.Writer, of Subject) error {
	// JSON keeps the record's units, whatever units the screen shows.
	of.Story = of.Story.ShownIn(measure.Units{})
	// Stage, weight and advice are as of the end of the session; its entries are as they stand today.
	then, err := of.then()
	if err != nil {
		return err
	}
	d := document{
		Format: "bendbook/summary", Version: 1, Units: of.Story.Bow().Units,
		Bow: of.Story.Desc.Doc, Stage: then.Stage(), Sessions: []sitting{},
	}
	if pull, pass, ok := then.Weight(); ok {
		d.Weight = &weight{pull.Draw.In(d.Units.Length), pull.Peak.Or(0).In(d.Units.Force), pass}
	}
	for _, s := range of.sessions() {
		one := sitting{Number: s.Number, Entries: []entry{}}
		if !s.From.IsZero() {
			one.From, one.To = s.From.In(of.Place).Format(time.RFC3339), s.To.In(of.Place).Format(time.RFC3339)
		}
		for _, line := range of.Story.LinesIn(s) {
			e := entry{Pass: line.Pass, Says: session.Say(of.Story.Bow(), line.Entry.What), Entry: line.Doc}
			if !line.Counts() {
				e.Void = &line.Voided.Why
			}
			one.Entries = append(one.Entries, e)
		}
		d.Sessions = append(d.Sessions, one)
	}
	a, err := of.Practice.Of(then)
	v := of.verdict(then, a, err)
	if v.Do != "" {
		d.Verdict = &v
	}
	if err == nil {
		var b bytes.Buffer
		if err := a.Write(&b, v); err != nil {
			return err
		}
		d.Advice = b.Bytes()
	}
	enc := json.NewEncoder(plain.JSONWriter{To: w})
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(d); err != nil {
		return fmt.Errorf("writing the summary: %w", err)
	}
	return nil
}
