package terminal_test

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"bendbook/model"
	"bendbook/session/form"
	"bendbook/session/shop"
	"bendbook/storage"
	"bendbook/ui/terminal"
)

var (
	kills    = flag.Int("kills", 50, "how many times the program is killed while something is typed")
	killSeed = flag.Uint64("seed", 0, "seed of the instants at which it is killed; 0 takes one from the clock")
)

// killedBow is a bow on a known string, whose pull asks for eight values.
const killedBow = `{"format":"bendbook/record","version":1,"units":{"length":"in","force":"lbf"},"bow":{"id":"b1","name":"Rowan",
	"limbs":{"upper":{"length":33.5,"stations":[8,12,20]},"lower":{"length":33.5,"stations":[8,12,20]}}},
	"entries":[{"id":"s","kind":"string","length":65}]}`

// pullValues are what each pull is typed as: the same readings, which nobody doubts, spelled in one of two
// ways, so that what is found tells which pull it came from.
func pullValues(n int) []string {
	return [][]string{
		{"18", "23.9", "3/8", "1 1/16", "3 3/8", "7/16", "1 1/16", "3 3/16"},
		{"18 in", "23.9 lb", "0.375", "1-1/16", "3.375", "7/16 in", "1.0625", "3-3/16"},
	}[n%2]
}

// TestAKillAtAnyInstantLosesNothingThatTheScreenConfirmed types pulls into the real program and kills it at
// random instants: between keys, in the middle of what a key begins, also of a write. Afterwards the book
// is whole and has each value that the screen had gone on from; and the program, started again, goes on
// from there.
func TestAKillAtAnyInstantLosesNothingThatTheScreenConfirmed(t *testing.T) {
	t.Parallel()
	seed := seeded(t)
	times := *kills
	if testing.Short() {
		times = min(times, 10)
	}
	terminal.Build(t)
	var done tally
	const books = 2
	t.Run("books", func(t *testing.T) {
		for b := range books {
			t.Run(strconv.Itoa(b), func(t *testing.T) {
				t.Parallel()
				k := &killed{path: bookWith(t, killedBow), r: rand.New(rand.NewPCG(seed, uint64(b))), done: &done}
				for n := b; n < times; n += books {
					// Each in a test of its own, so that its terminal is closed before the next.
					if !t.Run(strconv.Itoa(n), k.once) {
						return
					}
				}
			})
		}
	})
	t.Logf("%d kills: %d values and %d entries were confirmed; %d times the book had more than the screen had said; %d half-typed forms taken up",
		done.kills.Load(), done.values.Load(), done.entries.Load(), done.ahead.Load(), done.takenUp.Load())
	if n := done.kills.Load(); !t.Failed() && (n != int64(times) || done.values.Load() < n/4) {
		t.Errorf("%d kills with %d confirmed values are no test", n, done.values.Load())
	}
}

// seeded is the seed of a test, which is printed.
func seeded(t *testing.T) uint64 {
	seed := *killSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	return seed
}

// tally counts what happened over all books.
type tally struct{ kills, values, entries, ahead, takenUp atomic.Int64 }

// killed is a book whose program is killed again and again.
type killed struct {
	path string
	r    *rand.Rand
	done *tally
	// What the book must have: so many pulls, and so many values of the next one.
	pulls, values int
}

// once starts the program, takes up what was left, types until the kill, and looks at the book.
func (k *killed) once(t *testing.T) {
	term := terminal.Start(t, bookAt(t, k.path))
	term.See("Rowan")
	term.Press(terminal.Enter)
	term.See("pull") // the bench's keys
	typist := typist{term: term, r: k.r, left: 1 + k.r.IntN(70)}
	if k.values > 0 {
		term.See("A half-typed pull")
		term.Type("c")
		term.See("Taken up where you left it", fmt.Sprintf("%d of 8", k.values+1))
		k.done.takenUp.Add(1)
	}
	said := k.typeOn(&typist)
	term.Kill()
	k.look(t, &said, term.Screen())
}

// confirmed is what the screen has said so far: so many pulls saved, and so many values of the next one
// gone on from.
type confirmed struct{ pulls, values int }

// typeOn types the rest of this pull and further ones until the typist is stopped. In half of the pulls
// each value waits for the screen, in the others the keys come as fast as they go.
func (k *killed) typeOn(typist *typist) confirmed {
	said := confirmed{k.pulls, k.values}
	for ; ; said = (confirmed{said.pulls + 1, 0}) {
		calm := k.r.IntN(2) == 0
		values := pullValues(said.pulls)
		for said.values < len(values) {
			text := values[said.values]
			opens := said.values == 0
			if opens { // the first digit opens the form
				if !typist.types(text[:1]) {
					return said
				}
				typist.term.See("1 of 8")
				text = text[1:]
			}
			if !typist.types(text) || !typist.types(string(terminal.Enter)) {
				return said
			}
			if !calm && said.values < len(values)-1 && !opens {
				// The rest of the form in one go; how far it came is seen on the last screen.
				if typist.types(strings.Join(values[said.values+1:], string(terminal.Enter)) + string(terminal.Enter)) {
					tarry(k.r)
				}
				return said
			}
			said.values++
			if said.values == len(values) {
				typist.term.See("Saved")
			} else {
				typist.term.See(fmt.Sprintf("%d of 8", said.values+1))
			}
		}
	}
}

// typist types until the kill.
type typist struct {
	term *terminal.Terminal
	r    *rand.Rand
	left int // keys until the kill
}

// types types a text, as fast as it goes; false where the kill comes within it. The last key is on its way,
// and no more is known of it, when the kill comes.
func (p *typist) types(text string) bool {
	for _, key := range text {
		p.term.Burst(string(key))
		if p.left--; p.left <= 0 {
			tarry(p.r)
			return false
		}
	}
	return true
}

// tarry lets other processes go on for a moment, of which nobody knows how long it is.
func tarry(r *rand.Rand) {
	for range r.IntN(1 << r.IntN(12)) {
		runtime.Gosched()
	}
}

var ofEight = regexp.MustCompile(`(?m)^.*Pull.* ([1-8]) of 8$`)

// look reads from the last screen what else was confirmed, and compares all of it with the book.
func (k *killed) look(t *testing.T, said *confirmed, screen string) {
	t.Helper()
	first, _, _ := strings.Cut(screen, "\n")
	if found := ofEight.FindStringSubmatch(first); found != nil {
		n, err := strconv.Atoi(found[1])
		if err != nil {
			t.Fatal(err)
		}
		said.values = max(said.values, n-1)
	} else if said.values > 0 && strings.Contains(screen, "Saved ") {
		*said = confirmed{said.pulls + 1, 0}
	}
	k.done.kills.Add(1)
	k.done.values.Add(int64(said.pulls-k.pulls)*8 + int64(max(0, said.values-k.values)))
	k.done.entries.Add(int64(said.pulls - k.pulls))
	var has confirmed
	wholeBook(t, k.path, func(book *storage.Book) { has = k.read(t, shop.Open(book, shop.Options{})) })
	if has.pulls < said.pulls || has.pulls == said.pulls && has.values < said.values {
		t.Errorf("the screen had confirmed %d pulls and %d values of the next, the book has %d and %d. The last screen:\n%s",
			said.pulls, said.values, has.pulls, has.values, screen)
	}
	if has != *said {
		k.done.ahead.Add(1)
	}
	k.pulls, k.values = has.pulls, has.values
}

// read is what the book has: each pull that was typed, and of the next one the values that were typed first.
func (k *killed) read(t *testing.T, s *shop.Shop) confirmed {
	t.Helper()
	bench, err := s.Bench("b1")
	if err != nil {
		t.Fatal(err)
	}
	story := bench.Story()
	for n, line := range story.Lines[1:] {
		want := form.Pull(story)
		pull, ok := line.Entry.What.(model.Pull)
		for i, text := range pullValues(n) {
			if v := want.Answer(text); v.State != form.Taken {
				t.Fatalf("value %d of pull %d: %s", i, n, v.Says)
			}
		}
		outcome, err := want.Finish()
		if err != nil {
			t.Fatal(err)
		}
		if got := fmt.Sprint(pull); !ok || got != fmt.Sprint(outcome.Event) {
			t.Errorf("entry %d is %s, not %v", n, got, outcome.Event)
		}
	}
	has := confirmed{pulls: len(story.Lines) - 1}
	draft, ok, err := s.Draft(shop.DraftKey("b1", "pull"))
	if err != nil {
		t.Fatal(err)
	}
	if !ok {
		return has
	}
	drawn := form.Pull(story)
	drawn.Restore(draft)
	place, _ := drawn.Place()
	has.values = place - 1
	for i, text := range pullValues(has.pulls) {
		got, _ := drawn.Given(1 + i)
		if i < has.values && got != text || i >= has.values && got != "" {
			t.Errorf("value %d of the half-typed pull is %q, typed was %q", i, got, text)
		}
	}
	return has
}

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
	path := bookWith(t, killedBow)
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
			keepsAnswered(t, has, confirmed, given)
		}
	}
	t.Logf("%d kills, %d lines given, %d answered", times, given, len(confirmed))
	if len(confirmed) < times {
		t.Errorf("%d answers in %d runs are no test", len(confirmed), times)
	}
}

// keepsAnswered fails where an exported bow lacks a note that was answered, or has one of those given twice.
func keepsAnswered(t *testing.T, has []byte, confirmed []string, given int) {
	t.Helper()
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
