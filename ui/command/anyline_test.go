package command

import (
	"io"
	"io/fs"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"bendbook/model/plain"
)

// Whatever stands on the command line, it ends with one of the three codes, and one line says why unless it
// is 0.
func TestAnyCommandLineEndsInAnOrderlyWay(t *testing.T) {
	words := rapid.OneOf(
		rapid.SampledFrom([]string{
			"list", "log", "import", "export", "pull", "note", "undo", "summary", "version", "help", "completion", "demo", "strung", "bash", "zsh", "-", "--", "1", "oak",
			"--json", "--json=x", "--book", "--book=", "--book=b", "-o", "-ox", "-o-", "--output", "--force", "--as", "--as=markdown",
			"--all", "--bow", "--bow=1", "--dry-run", "--yes", "--as=html", "--as=csv", "--as=json", "tally", "--sure", "--session", "--session=last", "--read-only", "-h", "--help", "-v", "--version", "--no-such", "-x", "-xyz", "--=", "---", "",
		}),
		rapid.String(),
	)
	rapid.Check(t, func(t *rapid.T) {
		d := newDesk()
		if code := d.run(hostile, "import", "-"); code != exitDone {
			t.Fatal(code, d.err.String())
		}
		d.ReadFile = func(name string) (io.ReadCloser, error) {
			return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
		}
		d.WriteFile = func(name string, _ Over, _ func(io.Writer) error) error {
			return &fs.PathError{Op: "open", Path: name, Err: fs.ErrExist}
		}
		code := d.run("", rapid.SliceOfN(words, 0, 5).Draw(t, "args")...)
		said := strings.TrimSuffix(d.err.String(), "\n")
		switch {
		case code < exitDone || code > exitUsage:
			t.Fatalf("ended with %d", code)
		case code == exitDone && said != "":
			t.Fatalf("went well, and yet said %q", said)
		case code != exitDone && (!strings.HasPrefix(said, "bendbook: ") || plain.Line(said) != said):
			t.Fatalf("ended with %d and said %q", code, said)
		case code == exitUsage && (d.out.Len() > 0 || !strings.Contains(said, "; see bendbook help")):
			t.Fatalf("was used in a wrong way, said %q and printed %q", said, d.out.String())
		}
	})
}
