package terminal_test

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"bendbook/model/plain"
	"bendbook/storage"
	"bendbook/ui/terminal"
)

// TestScripts runs the command line as its users do; testdata/script is written to be read. Beside the
// commands of testscript the scripts have
//
//	bendbook ARGS            run it; it must end with 0
//	exit N bendbook ARGS     run it; it must end with N and say why in one line
//	hold BOOK                have the book open, as another Bendbook would, until the script ends
//	mode MODE FILE           the file or folder must have these rights (octal), where the system has such rights
//	record-of MIB FILE       make a record that is about so many MiB long
//
// and whatever Bendbook prints must be fit for a terminal. UPDATE_SCRIPTS=1 in the environment writes what it
// prints now into the scripts; look at the difference before it is kept.
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("each command is on one goroutine, and there are hundreds")
	}
	program := filepath.Dir(terminal.Build(t))
	testscript.Run(t, testscript.Params{
		Dir:                "testdata/script",
		RequireUniqueNames: true,
		UpdateScripts:      os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("PATH", program+string(os.PathListSeparator)+os.Getenv("PATH"))
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Setenv("LOCALAPPDATA", filepath.Join(env.WorkDir, "data"))
			env.Setenv("BENDBOOK", "")
			env.Setenv("TZ", "UTC")
			env.Setenv("ESC", "\x1b")
			return nil
		},
		Condition: func(name string) (bool, error) {
			if name == "root" {
				return os.Geteuid() == 0, nil
			}
			return false, fmt.Errorf("no condition %q", name)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"bendbook":  func(ts *testscript.TestScript, neg bool, args []string) { bendbook(ts, neg, 0, args) },
			"exit":      exit,
			"hold":      hold,
			"mode":      mode,
			"record-of": recordOf,
		},
	})
}

func exit(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 2 || args[1] != "bendbook" {
		ts.Fatalf("usage: exit N bendbook ARGS")
	}
	code, err := strconv.Atoi(args[0])
	ts.Check(err)
	bendbook(ts, neg, code, args[2:])
}

// bendbook runs the program, which must end with the given code.
func bendbook(ts *testscript.TestScript, neg bool, want int, args []string) {
	if neg {
		ts.Fatalf("say what it ends with: exit N bendbook")
	}
	got := 0
	if err := ts.Exec("bendbook", args...); err != nil {
		var ended *exec.ExitError
		if !errors.As(err, &ended) {
			ts.Fatalf("%v", err)
		}
		got = ended.ExitCode()
	}
	stdout, stderr := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	if got != want {
		ts.Fatalf("ended with %d, want %d", got, want)
	}
	// A table begins with the mark that spreadsheets know UTF-8 by; a terminal shows nothing of it.
	for _, line := range strings.Split(strings.TrimPrefix(stdout, "\ufeff")+stderr, "\n") {
		if fit := strings.TrimLeft(strings.ReplaceAll(line, "\t", " "), " "); len(args) > 0 && args[0] != "completion" && squeeze(fit) != plain.Line(fit) {
			ts.Fatalf("not fit for a terminal: %q", line)
		}
	}
	complaints := 0
	for line := range strings.Lines(stderr) {
		if strings.HasPrefix(line, "bendbook: ") {
			complaints++
		}
	}
	if want := min(want, 1); complaints != want {
		ts.Fatalf("%d lines say what is wrong, want %d", complaints, want)
	}
	if want == 2 && (stdout != "" || strings.Count(stderr, "\n") != 1) {
		ts.Fatalf("wrong usage printed more than its one line")
	}
}

// squeeze is a line with single blanks and none at its end, as package plain leaves it.
func squeeze(line string) string {
	return strings.Join(strings.FieldsFunc(line, func(r rune) bool { return r == ' ' }), " ")
}

func hold(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: hold BOOK")
	}
	book, err := storage.Open(ts.MkAbs(args[0]), storage.Options{})
	ts.Check(err)
	ts.Defer(func() { ts.Check(book.Close()) })
}

func mode(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: mode MODE FILE")
	}
	info, err := os.Stat(ts.MkAbs(args[1]))
	ts.Check(err)
	if got := fmt.Sprintf("%o", info.Mode().Perm()); got != args[0] && os.PathSeparator == '/' {
		ts.Fatalf("%s has mode %s, want %s", args[1], got, args[0])
	}
}

func recordOf(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: record-of MIB FILE")
	}
	size, err := strconv.Atoi(args[0])
	ts.Check(err)
	var b strings.Builder
	b.WriteString(`{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"much",` +
		`"name":"Much written about","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[`)
	words := strings.Repeat("scraped and looked again, ", 40)
	for n := 0; b.Len() < size<<20; n++ {
		if n > 0 {
			b.WriteByte(',')
		}
		fmt.Fprintf(&b, `{"id":"%d","kind":"note","text":"%d %s"}`, n, n, words)
	}
	b.WriteString("]}\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), []byte(b.String()), 0o600))
}

// TestEveryCommandHasAScript keeps the scripts complete.
func TestEveryCommandHasAScript(t *testing.T) {
	out, err := exec.Command(terminal.Build(t), "__completeNoDesc", "").Output()
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range strings.Fields(string(out)) {
		if name[0] != ':' && !slices.ContainsFunc(files, func(f string) bool { return strings.HasPrefix(filepath.Base(f), name) }) {
			t.Errorf("no script tells about the command %s", name)
		}
	}
}
