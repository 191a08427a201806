package terminal_test

import (
	"bufio"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"bendbook/ui/terminal"
)

var pipeKills = flag.Int("pipekills", 20, "how many times bendbook log - is killed while lines are piped into it")

// TestAKillOfLogInAPipeLosesNothingThatItAnswered pipes notes into the real program and kills it at random instants.
// Every entry that was answered with Saved is in the book afterwards, and none is there twice.
func TestAKillOfLogInAPipeLosesNothingThatItAnswered(t *testing.T) {
	t.Parallel()
	seed := *killSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 1))
	times := *pipeKills
	if testing.Short() {
		times = min(times, 5)
	}
	path := filepath.Join(t.TempDir(), "a.book")
	run := func(in string, args ...string) string {
		t.Helper()
		cmd := exec.Command(terminal.Build(t), append([]string{"--book", path}, args...)...)
		cmd.Stdin = strings.NewReader(in)
		out, err := cmd.Output()
		if err != nil {
			var ended *exec.ExitError
			errors.As(err, &ended)
			t.Fatalf("%v: %v %s", args, err, ended.Stderr)
		}
		return string(out)
	}
	run(killedBow, "import", "-")
	var confirmed []string
	given := 0
	for n := range times {
		cmd := exec.Command(terminal.Build(t), "--book", path, "log", "rowan", "-")
		in, out := pipes(t, cmd)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		// Killed once so many lines were answered, or while one or more are on their way.
		until, ahead := r.IntN(12), 1+r.IntN(4)
		answers := make(chan string, until+ahead)
		go func() {
			defer close(answers)
			for lines := bufio.NewScanner(out); lines.Scan(); {
				if _, text, ok := strings.Cut(lines.Text(), "Saved: Rowan, note: "); ok {
					answers <- strings.TrimSuffix(text, ".")
				}
			}
		}()
		for range until + ahead {
			given++
			if _, err := fmt.Fprintf(in, "note %d of run %d\n", given, n); err != nil {
				t.Fatal(err)
			}
		}
		for range until {
			text, ok := <-answers
			if !ok {
				t.Fatalf("run %d ended before it was killed", n)
			}
			confirmed = append(confirmed, text)
		}
		tarryOnce(r)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for text := range answers {
			confirmed = append(confirmed, text)
		}
		_ = cmd.Wait() // killed
		if r.IntN(4) == 0 || n == times-1 {
			has := run("", "export", "rowan")
			for _, text := range confirmed {
				if count := strings.Count(has, `"text":"`+text+`"`); count != 1 {
					t.Fatalf("%q was answered, and is in the book %d times", text, count)
				}
			}
			for i := range given {
				if strings.Count(has, fmt.Sprintf(`"text":"%d of run `, i+1)) > 1 {
					t.Fatalf("note %d is in the book twice", i+1)
				}
			}
		}
	}
	t.Logf("%d kills, %d lines given, %d answered", times, given, len(confirmed))
	if len(confirmed) < times {
		t.Errorf("%d answers in %d runs are no test", len(confirmed), times)
	}
}

// pipes are what a command reads and what it prints.
func pipes(t *testing.T, cmd *exec.Cmd) (in io.Writer, out io.Reader) {
	t.Helper()
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if out, err = cmd.StdoutPipe(); err != nil {
		t.Fatal(err)
	}
	return in, out
}
