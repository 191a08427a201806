package terminal_test

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
)

var pipeKills = flag.Int("pipekills", 20, "how many times bendbook log - is killed while lines are piped into it")

// TestAKillOfLogInAPipeLosesNothingThatItAnswered pipes notes into the real program and kills it at random
// instants. Every entry that was answered with Saved is in the book afterwards, and none is there twice.
func TestAKillOfLogInAPipeLosesNothingThatItAnswered(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(seeded(t), 1))
	times := *pipeKills
	if testing.Short() {
		times = min(times, 5)
	}
	path := filepath.Join(t.TempDir(), "a.book")
	into := bookAt(t, path, "import", "-")
	into.Stdin = strings.NewReader(killedBow)
	if out, err := into.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var confirmed []string
	given := 0
	for n := range times {
		cmd := bookAt(t, path, "log", "rowan", "-")
		in, err := cmd.StdinPipe()
		out, err2 := cmd.StdoutPipe()
		if err := errors.Join(err, err2, cmd.Start()); err != nil {
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
		tarry(r)
		if err := cmd.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for text := range answers {
			confirmed = append(confirmed, text)
		}
		_ = cmd.Wait() // killed
		if r.IntN(4) == 0 || n == times-1 {
			has, err := bookAt(t, path, "export", "rowan").Output()
			if err != nil {
				t.Fatal(err)
			}
			for _, text := range confirmed {
				if count := bytes.Count(has, []byte(`"text":"`+text+`"`)); count != 1 {
					t.Fatalf("%q was answered, and is in the book %d times", text, count)
				}
			}
			for i := range given {
				if bytes.Count(has, fmt.Appendf(nil, `"text":"note %d of run `, i+1)) > 1 {
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
