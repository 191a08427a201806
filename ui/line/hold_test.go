package line

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"
	"time"

	"bendbook/session"
	"bendbook/session/booktest"
)

// paced are lines that come each some time after the one before; the clock goes on when the line is asked for.
type paced struct {
	clock *time.Time
	lines []said
}

// said is a line, and how long after the one before it comes.
type said struct {
	after time.Duration
	text  string
}

func (p *paced) Read(into []byte) (int, error) {
	if len(p.lines) == 0 {
		return 0, io.EOF
	}
	next := p.lines[0]
	p.lines = p.lines[1:]
	*p.clock = p.clock.Add(next.after)
	return copy(into, next.text+"\n"), nil
}

// atTheTree says lines at the bench of a new bow, and returns what was answered, what the book says of the last pull, and how it ended.
func atTheTree(t *testing.T, lines ...said) (answered, last string, err error) {
	t.Helper()
	const bow = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"e","name":"Elm",` +
		`"limbs":{"upper":{"length":34,"stations":[6]},"lower":{"length":34,"stations":[6]}}}}`
	now := time.Date(2027, 2, 1, 9, 0, 0, 0, time.UTC)
	shop := session.Open(booktest.New(), session.Options{Now: func() time.Time { return now }})
	if err := shop.Import(strings.NewReader(bow), func(session.Imported) {}); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	in := &paced{&now, append([]said{{0, "o elm"}}, lines...)}
	err = Run(context.Background(), Desk{Shop: shop, Place: time.UTC}, in, &out)
	rows, rackErr := shop.Rack()
	if rackErr != nil {
		t.Fatal(rackErr)
	}
	story, storyErr := shop.Story(rows[0].Bow.ID)
	if storyErr != nil {
		t.Fatal(storyErr)
	}
	if pull, ok := story.LastPull(); ok {
		last = session.Say(story.Bow(), pull)
	}
	return out.String(), last, err
}

func TestTheHoldClockRunsFromTheWordDrawnToTheWordDown(t *testing.T) {
	const ms = time.Millisecond
	for name, c := range map[string]struct {
		lines []said
		want  []string // that is said
		last  string   // what the pull says
		bad   string   // why a script ends with 1; "" where all was taken
	}{
		"drawn and down":      {[]said{{0, "drawn"}, {3240 * ms, "down"}, {0, "12"}, {0, "20"}, {0, ".save"}}, []string{"after 5 s at the longest", "Held 3.2 s; it is kept with the pull."}, "pull to 12 in: 20.0 lb, held 3.2 s", ""},
		"by the letter":       {[]said{{0, "h"}, {2000 * ms, "down 12"}, {0, ".save"}}, nil, "pull to 12 in, held 2 s", ""},
		"a draw ends it":      {[]said{{0, "drawn"}, {1500 * ms, "12"}, {0, ".save"}}, []string{"Held 1.5 s"}, "pull to 12 in, held 1.5 s", ""},
		"begun anew":          {[]said{{0, "drawn"}, {9000 * ms, "drawn"}, {1000 * ms, "down 12"}, {0, ".save"}}, nil, "pull to 12 in, held 1 s", ""},
		"looked at":           {[]said{{0, "drawn"}, {4000 * ms, ""}, {1000 * ms, ""}, {1000 * ms, "down 12"}, {0, ".save"}}, []string{"Drawn for 4 s.\n", "Drawn for 5 s. Let it down.", "Held 6 s; it is kept with the pull. Longer than 5 s"}, "pull to 12 in, held 6 s", ""},
		"another entry first": {[]said{{0, "drawn"}, {1000 * ms, "n A tick."}, {1000 * ms, "down 12"}, {0, ".save"}}, nil, "pull to 12 in, held 2 s", ""},
		"once only":           {[]said{{0, "drawn"}, {1000 * ms, "down 12"}, {0, ".save"}, {0, "13"}, {0, ".save"}}, nil, "pull to 13 in", ""},
		"forgotten":           {[]said{{0, "drawn"}, {time.Hour, "down 12"}, {0, ".save"}}, []string{"is not filled in: the time held is above 0"}, "pull to 12 in", "is not filled in"},
		"never drawn":         {[]said{{0, "down"}}, []string{"no clock runs; drawn starts it"}, "", "no clock runs"},
		"in the form":         {[]said{{0, "12"}, {0, ".held 3,25 s"}, {0, "20"}, {0, ".save"}}, []string{"Held 3.3 s; it is kept with the pull."}, "pull to 12 in: 20.0 lb, held 3.3 s", ""},
		"no time":             {[]said{{0, "12"}, {0, ".held"}, {0, ".held long"}, {0, ".held 0"}, {0, ".save"}}, []string{"seconds"}, "pull to 12 in", "line 3 was not taken"},
		"in another form":     {[]said{{0, "b"}, {0, ".held 3"}, {0, ".drop"}}, []string{"only a pull has a time held"}, "", "only a pull"},
	} {
		t.Run(name, func(t *testing.T) {
			answered, last, err := atTheTree(t, c.lines...)
			for _, want := range c.want {
				if !strings.Contains(answered, want) {
					t.Errorf("%q is not said:\n%s", want, answered)
				}
			}
			if last != c.last {
				t.Errorf("the last pull is %q, want %q:\n%s", last, c.last, answered)
			}
			if (err != nil) != (c.bad != "") || err != nil && !strings.Contains(err.Error(), c.bad) {
				t.Errorf("it ended with %v, want %q", err, c.bad)
			}
		})
	}
}
