package command

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"bendbook/model"
	"bendbook/model/record"
	"bendbook/session/form"
	"bendbook/ui/command/topics"
)

// Who asks for help on a line, a record or a table finds every kind of entry there.
func TestHelpNamesEveryKindOfEntry(t *testing.T) {
	for _, kind := range form.Kinds() {
		if !strings.Contains(topics.Text("log"), strings.Fields(kind.Name)[0]) {
			t.Errorf("help log doesn't name %s", kind.Name)
		}
	}
	noRow := map[model.Kind]bool{model.KindVoid: true, model.KindEdit: true, model.KindRack: true}
	for _, kind := range model.Kinds() {
		if !strings.Contains(topics.Text("record"), "`"+string(kind)+"`") {
			t.Errorf("help record doesn't name %s", kind)
		}
		if !noRow[kind] && !strings.Contains(topics.Text("table"), string(kind)) {
			t.Errorf("help table doesn't name %s", kind)
		}
	}
}

// A topic fits a window of 80 columns and is read in a few minutes.
func TestTopicsAreShort(t *testing.T) {
	files, err := filepath.Glob("topics/*.md")
	if err != nil || len(files) != len(topics.Names()) {
		t.Errorf("%d files, %d topics (%v)", len(files), len(topics.Names()), err)
	}
	for _, name := range topics.Names() {
		lines := strings.Split(topics.Text(name), "\n")
		if len(lines) > 60 {
			t.Errorf("%s has %d lines", name, len(lines))
		}
		for _, line := range lines {
			if utf8.RuneCountInString(line) > 80 {
				t.Errorf("%s: %s", name, line)
			}
		}
	}
}

var (
	spans    = regexp.MustCompile("`(bendbook(?: [^`]*)?)`")
	commands = regexp.MustCompile("(?m)^(?:    )?(bendbook [a-z-].*?)(?: {2,}.*)?$")
)

type whole struct{}

func (whole) Lines() []string { return []string{"all is well"} }
func (whole) Whole() bool     { return true }

// Every command in the README and in the topics is understood.
func TestTheExamplesOfReadmeAndTopicsRun(t *testing.T) {
	readme, err := os.ReadFile(filepath.Join("..", "..", "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	texts := map[string]string{"README": string(readme)}
	for _, name := range topics.Names() {
		texts[name] = topics.Text(name)
	}
	places := strings.NewReplacer("[BOW | --all]", "--all", "[--json]", "--json", "[--book FILE] [--read-only]", "--book b",
		"FILE...", "bow.json", "FILE", "bow.json", "NEW", "new.book", "NAME", "ash", "BOW ...", "ash exercise 20", "BOW", "ash", "\n", " ")
	ran := 0
	for name, text := range texts {
		for _, found := range append(spans.FindAllStringSubmatch(text, -1), commands.FindAllStringSubmatch(text, -1)...) {
			for _, line := range strings.Split(found[1], ", ") {
				args := strings.Fields(places.Replace(line))
				if args[0] == "bendbook" {
					args = args[1:]
				}
				d := withAsh(t)
				d.ReadFile = func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(ash)), nil }
				d.WriteFile = func(_ string, _ Over, write func(io.Writer) error) error { return write(io.Discard) }
				path, pair := func(string) (Account, error) { return whole{}, nil }, func(_, _ string) (Account, error) { return whole{}, nil }
				d.Keeping = Keeping{Check: path, Copies: path, Rescue: pair,
					Backup:  func(_, _ string, _ bool) (Account, error) { return whole{}, nil },
					Restore: func(_, _ string, _ bool) (Account, error) { return whole{}, nil }}
				code := d.run("", args...)
				// A command that is only named lacks what it needs.
				if said := d.err.String(); code == exitUsage && len(args) != 1 || strings.Contains(said, "there is no command") {
					t.Errorf("%s: %s: %s", name, line, said)
				}
				ran++
			}
		}
	}
	if ran < 50 {
		t.Errorf("only %d examples ran", ran)
	}
	_, doc, _ := strings.Cut(topics.Text("record"), "```json\n")
	doc, _, _ = strings.Cut(doc, "```")
	if r, err := record.Parse([]byte(doc)); err != nil || len(r.Items) != 2 {
		t.Errorf("the record of the topic: %v", err)
	}
}
