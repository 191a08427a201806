package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model"
	"bendbook/session"
)

// TestEveryFormTellsTheBow and the session that is asked for, and knows one that is not.
func TestEveryFormTellsTheBow(t *testing.T) {
	for _, story := range demoStories(t)[:2] {
		for _, form := range Formats() {
			found, ok := Find(Formats(), form.Name)
			if !ok || found.Ending != form.Ending || !strings.Contains(Names(Formats()), form.Name) {
				t.Errorf("%s is not found by its name", form.Name)
			}
			var whole, last, none bytes.Buffer
			must(t, form.Write(&whole, subject(story, 0)))
			must(t, form.Write(&last, subject(story, len(story.Sessions))))
			err := form.Write(&none, subject(story, len(story.Sessions)+1))
			if err == nil || !strings.Contains(err.Error(), "there is no session") || none.Len() > 0 {
				t.Errorf("%s of a session that is not: %v", form.Name, err)
			}
			if last.Len() == 0 || last.Len() >= whole.Len() {
				t.Errorf("%s: the last session takes %d bytes, the whole story %d", form.Name, last.Len(), whole.Len())
			}
			if name := session.NameOf(story.Bow()); form.Name != "csv" && !strings.Contains(whole.String(), name) {
				t.Errorf("%s does not name %s", form.Name, name)
			}
		}
	}
}

// TestJSONHoldsEveryEntryAsTheRecordHasIt.
func TestJSONHoldsEveryEntryAsTheRecordHasIt(t *testing.T) {
	compact := func(doc []byte) string { return strings.Join(strings.Fields(string(doc)), "") }
	for _, story := range demoStories(t) {
		var b bytes.Buffer
		must(t, writeJSON(&b, subject(story, 0)))
		type told struct {
			Says  string
			Void  *string
			Entry json.RawMessage
		}
		var d struct {
			Format   string
			Sessions []struct{ Entries []told }
			Advice   struct{ Format string }
		}
		must(t, json.Unmarshal(b.Bytes(), &d))
		bow := story.Bow()
		if d.Format != "bendbook/summary" || d.Advice.Format != "bendbook/advice" ||
			len(d.Sessions) != len(story.Sessions) {
			t.Errorf("%s: format %q, advice %q, %d sessions", bow.Name, d.Format, d.Advice.Format, len(d.Sessions))
		}
		var entries []told
		for _, s := range d.Sessions {
			entries = append(entries, s.Entries...)
		}
		if len(entries) != len(story.Lines) {
			t.Fatalf("%s: %d entries of %d", bow.Name, len(entries), len(story.Lines))
		}
		for i, e := range entries {
			line := story.Lines[i]
			if compact(e.Entry) != compact(line.Doc) || e.Says == "" || (e.Void == nil) != line.Counts() {
				t.Errorf("%s: entry %d is %s", bow.Name, i, e.Entry)
			}
		}
	}
}

// TestTheTextTellsWhoeverNeverSawTheScreen what its figures are and what they say: the demo shop's Ash for
// Wren is stiff in its upper limb. A weighing goes before any forecast.
func TestTheTextTellsWhoeverNeverSawTheScreen(t *testing.T) {
	for _, of := range demoShop(t) {
		story, a, v := of.Story, of.advice, of.verdict
		d, err := Of(of.Subject)
		must(t, err)
		said := strings.Join(strings.Fields(d.TextIn(paperWidth)), " ")
		wants := []string{" it should pull ", a.SayForecast(v), v.Say}
		switch story.Bow().Name {
		case "Hickory for Tamsin":
			peaks := session.Peaks(counting[model.Pull](story.Lines))
			peak := session.SayPeak(story.Bow(), peaks[len(peaks)-1])
			wants = []string{fmt.Sprintf("Weighed when finished: %s, ordered 36 lb.", peak), v.Say}
		case "Ash for Wren":
			wants = append(wants, "At 28 in it should pull ", "ou want 42 lb on the tree",
				"Upper limb, ", "too stiff")
			for _, f := range a.Findings {
				wants = append(wants, f.Says)
			}
		}
		for _, want := range append(wants, "How to read the tables: a place is its distance",
			"What the readings say", "Session 1, ") {
			if !strings.Contains(said, want) {
				t.Errorf("%s: the text does not say %q", story.Bow().Name, want)
			}
		}
		of.Readings = false
		short, err := Of(of.Subject)
		must(t, err)
		text := short.TextIn(paperWidth)
		lines, all := strings.Count(text, "\n"), strings.Count(d.TextIn(paperWidth), "\n")
		if lines*2 > all && len(story.Lines) > 10 || strings.Contains(text, "How to read") {
			t.Errorf("%s: without its readings the text is no shorter:\n%s", story.Bow().Name, text)
		}
		pull, pass, _ := story.Weight()
		row := fmt.Sprintf(`(?m)^  %d +%s `, pass, session.SayPeak(story.Bow(), pull))
		if !regexp.MustCompile(row).MatchString(text) {
			t.Errorf("%s: no pass in the table is %s:\n%s", story.Bow().Name, row, text)
		}
		if handedOver := story.Stage() == "handed over"; handedOver && strings.Contains(said, "Stop line") {
			t.Errorf("%s is handed over, and yet has a stop line", story.Bow().Name)
		}
	}
}

// TestAnyNameIsSafe on every system: letters, digits and single dashes, of no great length, no device.
func TestAnyNameIsSafe(t *testing.T) {
	for name, want := range map[string]string{
		"Ash for Wren": "ash-for-wren", "Zoë's élm": "zoe-s-elm", "../../etc/passwd": "etc-passwd",
		"弓": "bow", "CON": "con-bow", "com1": "com1-bow", "console": "console", "\u202egpj.exe": "gpj-exe",
	} {
		if got := Filename(name, "bow"); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
	safe := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	reserved := regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)
	rapid.Check(t, func(t *rapid.T) {
		odd := rapid.StringOf(rapid.SampledFrom([]rune("conCON1./\\ -aüß")))
		name := rapid.OneOf(rapid.String(), odd).Draw(t, "name")
		got := Filename(name, "bow")
		if !safe.MatchString(got) || len(got) > longestName+len("-bow") || reserved.MatchString(got) {
			t.Fatalf("%q becomes %q", name, got)
		}
	})
}
