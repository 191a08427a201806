package terminal_test

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"bendbook/storage"
	"bendbook/ui/terminal"
)

// bowLine is the record of a bow of that name, on a line.
func bowLine(name string) string {
	return `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"` + name + `","name":"` + name +
		`","limbs":{"upper":{"length":34},"lower":{"length":33}}},"entries":[]}` + "\n"
}

// An import that waits for more is broken off by a signal: what it told of is in the book, which is whole and
// free.
func TestAnImportThatIsInterruptedLeavesTheBookWhole(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no process can be interrupted from outside here")
	}
	path := filepath.Join(t.TempDir(), "shop.book")
	cmd := exec.Command(terminal.Build(t), "--book", path, "import", "-")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	stderr, err := cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	var stdout bytes.Buffer
	cmd.Stdout = &stdout
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	defer cmd.Process.Kill() // where the test has failed already; else it has ended
	if _, err := io.WriteString(in, bowLine("First")+bowLine("Second")+bowLine("Third")[:40]); err != nil {
		t.Fatal(err)
	}
	said := bufio.NewReader(stderr)
	for _, want := range []string{"First: new bow, 0 entries\n", "Second: new bow, 0 entries\n"} {
		if got, err := said.ReadString('\n'); got != want {
			t.Fatalf("said %q, want %q (%v)", got, want, err)
		}
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	rest, err := io.ReadAll(said)
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); cmd.ProcessState.ExitCode() != 1 {
		t.Errorf("ended with %v", err)
	}
	const want = "bendbook: standard input: interrupted; the bows that were told of are in the book, the others are not\n"
	if got := string(rest); got != want || stdout.Len() > 0 {
		t.Errorf("said %q, want %q; on standard output %q", got, want, stdout.String())
	}
	book, err := storage.Open(path, storage.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if report, err := storage.Check(path, storage.Options{}); err != nil || !report.Whole() {
		t.Errorf("check: %v, %v", report.Lines(), err)
	}
	for name, want := range map[string]bool{"First": true, "Second": true, "Third": false} {
		if _, got, err := book.Bow(name); got != want || err != nil {
			t.Errorf("%s in the book: %v, want %v (%v)", name, got, want, err)
		}
	}
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*"))
	if err != nil || len(left) != 3 || left[1] != path+".copies" || left[2] != path+".journal" {
		t.Errorf("left behind: %s, %v", strings.Join(left, " "), err)
	}
}
