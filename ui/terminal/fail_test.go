package terminal_test

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"bendbook/ui/terminal"
)

// recorder is a test that keeps how it was failed.
type recorder struct {
	*testing.T
	failure string
}

func (r *recorder) Helper() {}

func (r *recorder) Fatalf(format string, args ...any) {
	r.failure = fmt.Sprintf(format, args...)
	runtime.Goexit()
}

// failure runs a test that should fail and returns what it says.
func failure(t *testing.T, test func(testing.TB)) string {
	t.Helper()
	r := &recorder{T: t}
	done := make(chan struct{})
	go func() {
		defer close(done)
		test(r)
	}()
	<-done
	return r.failure
}

func TestAFailureShowsWhatWasAwaitedAndTheScreen(t *testing.T) {
	t.Parallel()
	got := failure(t, func(t testing.TB) {
		term := terminal.Start(t, program(t.(*recorder).T, "keys"), terminal.Size{Columns: 20, Rows: 5},
			terminal.Patience(2*time.Second))
		term.See("window 20×5.")
		term.See("a bow", "a string")
	})
	want := `waited 2s to see "a bow" and "a string". The program is running. The screen:
┌────────────────────┐
│弓 wide │           │
│text │              │
│keys 0, pastes 0, la│
│window 20×5.        │
│                    │
└────────────────────┘`
	if got != want {
		t.Errorf("failure:\n%s\nwant:\n%s", got, want)
	}
}

func TestWaitingForTheDeadFailsAtOnce(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		do   func(*terminal.Terminal)
		want string
	}{
		"see":  {func(term *terminal.Terminal) { term.See("more") }, "nothing more comes"},
		"type": {func(term *terminal.Terminal) { term.Type("more") }, `ended before "m" could be typed`},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got := failure(t, func(t testing.TB) {
				term := terminal.Start(t, program(t.(*recorder).T, "keys"), window, terminal.Patience(time.Hour))
				term.See("window 60×12.")
				term.Kill()
				c.do(term)
			})
			if !strings.Contains(got, c.want) || !strings.Contains(got, "(signal: killed)") {
				t.Errorf("failure:\n%s\nwant it to say %q", got, c.want)
			}
		})
	}
}

func TestKeysThatNobodyReadsFail(t *testing.T) {
	t.Parallel()
	got := failure(t, func(t testing.TB) {
		term := terminal.Start(t, program(t.(*recorder).T, "deaf"), window, terminal.Patience(time.Second))
		term.See("here")
		term.Type("q")
	})
	if !strings.Contains(got, `didn't read "q"`) {
		t.Errorf("failure:\n%s", got)
	}
}

// Not parallel: it counts the goroutines of the whole process.
func TestLeavesNoGoroutines(t *testing.T) {
	before := runtime.NumGoroutine()
	t.Run("terminal", func(t *testing.T) {
		terminal.Start(t, program(t, "keys"), window).See("window 60×12.")
		terminal.Start(t, program(t, "deaf"), window, terminal.Silent).Hangup()
	})
	// The last steps of a goroutine come after anything that could be waited for.
	for deadline := time.Now().Add(10 * time.Second); runtime.NumGoroutine() > before; runtime.Gosched() {
		if time.Now().After(deadline) {
			t.Fatalf("%d goroutines are left, %d were before", runtime.NumGoroutine(), before)
		}
	}
}
