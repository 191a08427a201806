package report

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"

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
			if err := form.Write(&none, subject(story, len(story.Sessions)+1)); err == nil || !strings.Contains(err.Error(),
				"there is no session") || none.Len() > 0 {
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

// TestJSONHoldsEveryEntryAsTheRecordHasIt, its figures in the bow's own units.
func TestJSONHoldsEveryEntryAsTheRecordHasIt(t *testing.T) {
	compact := func(doc []byte) string { return strings.Join(strings.Fields(string(doc)), "") }
	for _, story := range demoStories(t) {
		var b bytes.Buffer
		form, _ := Find(Formats(), "json")
		must(t, form.Write(&b, subject(story, 0)))
		var d struct {
			Format   string
			Bow      json.RawMessage
			Weight   struct{ Draw, Peak float64 }
			Sessions []struct {
				Number  int
				Entries []struct {
					Says  string
					Void  *string
					Entry json.RawMessage
				}
			}
			Advice struct{ Format string }
		}
		must(t, json.Unmarshal(b.Bytes(), &d))
		if d.Format != jsonFormat || d.Advice.Format != "bendbook/advice" ||
			len(d.Sessions) != len(story.Sessions) {
			t.Errorf("%s: format %q, advice %q, %d sessions", story.Bow().Name, d.Format, d.Advice.Format,
				len(d.Sessions))
		}
		n := 0
		for _, s := range d.Sessions {
			for _, e := range s.Entries {
				if compact(e.Entry) != compact(story.Lines[n].Doc) || e.Says == "" ||
					(e.Void == nil) != story.Lines[n].Counts() {
					t.Errorf("%s: entry %d is %s", story.Bow().Name, n, e.Entry)
				}
				n++
			}
		}
		if n != len(story.Lines) {
			t.Errorf("%s: %d entries of %d", story.Bow().Name, n, len(story.Lines))
		}
		pull, _, _ := story.Weight()
		if d.Weight.Draw != pull.Draw.In(story.Bow().Units.Length) ||
			d.Weight.Peak != pull.Peak.Or(0).In(story.Bow().Units.Force) {
			t.Errorf("%s: it weighs %v", story.Bow().Name, d.Weight)
		}
	}
}

// TestTheTextTellsWhoeverNeverSawTheScreen what its figures are and what they say: the demo shop's Ash for
// Wren, whose upper limb was made too stiff between 13 and 23 in.
func TestTheTextTellsWhoeverNeverSawTheScreen(t *testing.T) {
	for _, story := range demoStories(t) {
		var b bytes.Buffer
		must(t, Formats()[0].Write(&b, subject(story, 0)))
		said := strings.Join(strings.Fields(b.String()), " ")
		wants := []string{"How to read the figures: a place on a limb is named by", "What the readings say", "Session 1, "}
		switch story.Bow().Name {
		case "Hickory for Tamsin": // a weighing goes before any forecast
			wants = append(wants, "Drawn 28 in it weighed 36.2 lb when it was finished.")
		case "Ash for Wren":
			wants = append(wants,
				"Upper limb, 17 to 25 in: bends 20 % less than the aim (99 % sure it is less).",
				"Next pull: no farther than 24 in (at most 2 in beyond the longest so far).",
				"Take 27 % off the upper limb, 18 to 28 in")
			fallthrough
		default:
			wants = append(wants, "it is expected to weigh", "nine times in ten between")
		}
		for _, want := range wants {
			if !strings.Contains(said, want) {
				t.Errorf("%s: the text does not say %q", story.Bow().Name, want)
			}
		}
		if handedOver := story.Stage() == "handed over"; handedOver && strings.Contains(said, "Next pull") {
			t.Errorf("%s is handed over, and yet has a next pull", story.Bow().Name)
		}
	}
}

func TestNamesOfFiles(t *testing.T) {
	for name, want := range map[string]string{
		"Ash for Wren": "ash-for-wren", "Zoë's élm": "zoe-s-elm", "../../etc/passwd": "etc-passwd",
		"弓": "bow", "CON": "con-bow", "com1": "com1-bow", "console": "console", "\u202egpj.exe": "gpj-exe",
	} {
		if got := Filename(name, "bow"); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
}

// TestAnyNameIsSafe on every system: letters, digits and single dashes, of no great length, no device.
func TestAnyNameIsSafe(t *testing.T) {
	safe := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	reserved := regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.SampledFrom([]rune("conCON1./\\ -aüß")))).Draw(t, "name")
		if got := Filename(name, "bow"); !safe.MatchString(got) || len(got) > longestName+len("-bow") || reserved.MatchString(got) {
			t.Fatalf("%q becomes %q", name, got)
		}
	})
}
