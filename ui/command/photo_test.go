package command

import (
	"bytes"
	"image/png"
	"io"
	"os"
	"strings"
	"testing"

	"bendbook/session/shop"
)

// A picture fills a pull that log would take, is compared with the rule, and saves nothing unasked.
func TestAPictureBecomesAPull(t *testing.T) {
	const kept = "../../testdata/photo/drawn.jpg"
	d := newDesk()
	record := `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},
		"bow":{"id":"1","name":"Rowan","handle":4,"limbs":{
		"upper":{"length":31.347,"stations":[4,8,12,16,20,24,28]},"lower":{"length":31.31,"stations":[4,8,12,16,20,24,28]}}},
		"entries":[{"kind":"braced","height":6},
		{"kind":"pull","draw":20,"peak":38,"upper":[0.1875,0.6875,1.5625,2.75],"lower":[0.1875,0.75,1.75,3]}]}`
	written := map[string]*bytes.Buffer{}
	d.ReadFile = func(name string) (io.ReadCloser, error) { return os.Open(name) }
	d.WriteFile = func(name string, _ Over, write func(io.Writer) error) error {
		written[name] = new(bytes.Buffer)
		return write(written[name])
	}
	run := func(want int, args ...string) string {
		t.Helper()
		return d.does(t, want, "", args...)
	}
	d.does(t, exitDone, record, "import", "-")

	out := run(exitDone, "photo", "rowan", kept, "--peak", "38.4")
	says(t, out, "13 of 14 stations are filled in. Not seen: upper 20.",
		"Nothing is saved. --save adds it to the book.")
	if n := strings.Count(run(exitDone, "export", "rowan"), `"kind"`); n != 2 {
		t.Errorf("%d entries where nothing was saved", n)
	}
	shown := strings.TrimSuffix(kept, ".jpg") + ".read.png"
	if _, err := png.Decode(written[shown]); err != nil {
		t.Errorf("how it was read: %v", err)
	}

	// The line that it prints is one that log takes.
	line := strings.Split(strings.TrimSpace(strings.Split(out, "\n")[1]), " ")
	says(t, run(exitDone, append([]string{"log", "--sure", "rowan"}, line...)...), "13 readings off a photograph")
	run(exitDone, "log", "rowan", "undo")

	says(t, run(exitDone, "photo", "rowan", kept, "--draw", "20", "--peak", "38.4", "--save", "--sure"),
		"Saved: Rowan, pull to 20 in: 38.4 lb, 13 readings off a photograph to the line.")
	says(t, run(exitDone, "export", "rowan"), `"by":"photo"`)

	says(t, run(exitDone, "photo", "rowan", kept, "--draw", "20", "--check"), "Median difference: 0.0")

	// What is wrong is one sentence, and what to do.
	for _, c := range []struct{ args, says string }{
		{"photo rowan ../../testdata/photo/drawn.json", "isn't a JPEG or PNG picture. Save it as one of these"},
		{"photo rowan " + shown, "no such file"},
		{"photo oak " + kept, "oak"},
		{"photo rowan " + kept + " --save --check", "--check saves nothing"},
	} {
		code := exitFailed
		if strings.Contains(c.args, "--check") {
			code = exitUsage
		}
		says(t, run(code, strings.Fields(c.args)...), c.says)
	}
}

// The sheet has the usual marks where there is no book yet, but not where one was named.
func TestTheSheetOfMarksNeedsNoBook(t *testing.T) {
	d := newDesk()
	d.OpenBook = func(path string, _ bool) (shop.Book, func() error, error) {
		return nil, nil, NoBookError(path)
	}
	if code := Run(d.World, []string{"marks", "--book", "typo.book"}); code != exitFailed || d.out.Len() > 0 {
		t.Errorf("a book that was named and isn't there: %d %s", code, d.err.String())
	}
	if code := Run(d.World, []string{"marks"}); code != exitDone || strings.Count(d.out.String(), "<svg") != 6 {
		t.Errorf("%d: %s", code, d.err.String())
	}
}
